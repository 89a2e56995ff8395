//! What holds for every supply: an answer or a typed refusal, charge and energy in balance.

mod supply_cases;

use capjob::physics::supply::{
    Capacitor, Circuit, Conduction, Loaded, Node, Rectifier, Series, Supply, SupplyError, solve_cold, solve_loaded,
};
use capjob::units::{Ampere, Farad, Henry, Hertz, Ohm, Volt};
use proptest::prelude::*;
use supply_cases::{figure, supply, table};

/// The bounds that supplies are drawn from; every pair is spread evenly over its decades.
#[derive(Debug, Clone, Copy)]
struct Bounds {
    winding_v: (f64, f64),
    source_ohm: (f64, f64),
    farad: (f64, f64),
    esr_ohm: (f64, f64),
    henry: (f64, f64),
    dropper_ohm: (f64, f64),
    load_a: (f64, f64),
    perveance: (f64, f64),
    /// Share of nodes that have a capacitor.
    fitted: f64,
}

/// The ranges of the reference supplies, a little widened.
const USUAL: Bounds = Bounds {
    winding_v: (15.0, 550.0),
    source_ohm: (0.5, 2000.0),
    farad: (1e-6, 5e-3),
    esr_ohm: (0.01, 20.0),
    henry: (2.0, 25.0),
    dropper_ohm: (4.0, 3e5),
    load_a: (1e-4, 1.0),
    perveance: (3e-4, 5e-3),
    fitted: 0.98,
};

/// What nobody builds.
const WILD: Bounds = Bounds {
    winding_v: (2.0, 3000.0),
    source_ohm: (1e-2, 1e5),
    farad: (1e-8, 0.5),
    esr_ohm: (1e-3, 1000.0),
    henry: (1e-2, 200.0),
    dropper_ohm: (0.1, 1e7),
    load_a: (1e-6, 5.0),
    perveance: (1e-5, 0.1),
    fitted: 0.8,
};

fn decades((low, high): (f64, f64)) -> impl Strategy<Value = f64> {
    (low.ln()..high.ln()).prop_map(f64::exp)
}

/// Zero now and then, else from the decades.
fn or_zero(bounds: (f64, f64)) -> impl Strategy<Value = f64> {
    prop_oneof![1 => Just(0.0), 4 => decades(bounds)]
}

fn capacitor(bounds: Bounds) -> impl Strategy<Value = Capacitor> {
    (decades(bounds.farad), or_zero(bounds.esr_ohm))
        .prop_map(|(farad, esr)| Capacitor { farad: Farad::new(farad), esr: Ohm::new(esr) })
}

fn node(bounds: Bounds) -> impl Strategy<Value = Node> {
    let choke = (decades(bounds.henry), or_zero((10.0, 400.0)))
        .prop_map(|(henry, dcr)| Series::Choke { henry: Henry::new(henry), dcr: Ohm::new(dcr) });
    let series = prop_oneof![
        2 => decades(bounds.dropper_ohm).prop_map(|ohm| Series::Resistor(Ohm::new(ohm))),
        1 => choke,
    ];
    let bleeder = prop_oneof![4 => Just(None), 1 => decades((3e3, 1e6)).prop_map(|ohm| Some(Ohm::new(ohm)))];
    let fitted = prop::option::weighted(bounds.fitted, capacitor(bounds));
    (series, fitted, or_zero(bounds.load_a), bleeder).prop_map(|(series, capacitor, load, load_ohm)| Node {
        series,
        capacitor,
        load: Ampere::new(load),
        load_ohm,
    })
}

fn rectifier(bounds: Bounds) -> impl Strategy<Value = Rectifier> {
    let silicon = (decades((1e-12, 1e-6)), 1.0..2.0, or_zero((0.01, 1.0))).prop_map(|(saturation, emission, ohm)| {
        Rectifier::Diode { saturation: Ampere::new(saturation), emission, ohm: Ohm::new(ohm) }
    });
    let valve = decades(bounds.perveance).prop_map(|perveance_a_per_v15| Rectifier::Valve { perveance_a_per_v15 });
    prop_oneof![silicon, valve]
}

fn any_supply(bounds: Bounds) -> impl Strategy<Value = Supply> {
    let circuit = prop_oneof![
        Just(Circuit::CentreTap),
        Just(Circuit::Bridge),
        Just(Circuit::HalfWave),
        Just(Circuit::Doubler),
        capacitor(bounds).prop_map(|series| Circuit::DoublerHalfWave { series }),
    ];
    let nodes = prop::collection::vec(node(bounds), 1..=5);
    let source = (decades(bounds.winding_v), or_zero(bounds.source_ohm), prop_oneof![Just(50.0), Just(60.0)]);
    // Most supplies have no element into the first node, and a full-wave doubler never has.
    (circuit, nodes, source, rectifier(bounds), capacitor(bounds), prop::bool::weighted(0.7)).prop_map(
        |(circuit, mut nodes, (winding, source, hz), rectifier, reservoir, direct)| {
            let doubler = matches!(circuit, Circuit::Doubler);
            if let Some(first) = nodes.first_mut().filter(|_| direct || doubler) {
                first.series = Series::Direct;
                first.capacitor = first.capacitor.or(doubler.then_some(reservoir));
            }
            Supply {
                circuit,
                mains: Hertz::new(hz),
                winding: Volt::new(winding),
                source: Ohm::new(source),
                rectifier,
                nodes,
            }
        },
    )
}

/// What the loads draw at the computed means.
fn drawn_a(supply: &Supply, loaded: &Loaded) -> f64 {
    let pairs = supply.nodes.iter().zip(&loaded.nodes);
    pairs.map(|(node, at)| node.load.get() + node.load_ohm.map_or(0.0, |ohm| (at.mean / ohm).get())).sum()
}

/// Every figure is there and finite, currents flow forwards, and means lie between their extremes.
fn check_sane(loaded: &Loaded) -> Result<(), TestCaseError> {
    for node in &loaded.nodes {
        let slack = 1e-9 * node.crest.get().abs();
        prop_assert!(node.trough.get() <= node.mean.get() + slack && node.mean.get() <= node.crest.get() + slack);
        prop_assert!(node.ripple_rms.is_finite() && node.series.power.is_finite());
        if let Some(part) = node.capacitor {
            let split = part.at_mains.get().hypot(part.at_twice.get()).hypot(part.rest.get());
            prop_assert!((split - part.total.get()).abs() <= 1e-6 * part.total.get());
        }
    }
    let rectifier = loaded.rectifier;
    prop_assert!(Ampere::ZERO <= rectifier.average && rectifier.average.get() <= rectifier.rms.get() * (1.0 + 1e-9));
    prop_assert!(rectifier.rms.get() <= rectifier.peak.get() * (1.0 + 1e-9) && rectifier.power.is_finite());
    Ok(())
}

/// A supply is computed or refused for a reason of its own; with what is computed, charge is in balance.
fn check(supply: &Supply, balance: f64) -> Result<(), TestCaseError> {
    match solve_loaded(supply) {
        Ok(loaded) => {
            check_sane(&loaded)?;
            let drawn = drawn_a(supply, &loaded);
            let off = (loaded.output.get() - drawn).abs() / drawn.max(1e-12);
            prop_assert!(off <= balance, "the rectifiers give {}, the loads draw {drawn} A", loaded.output);
            let idle = loaded.conduction == Conduction::None;
            prop_assert_eq!(idle, drawn <= 0.0);
        }
        Err(SupplyError::Collapsed { node, mean }) => {
            prop_assert!(node < supply.nodes.len() && mean <= Volt::ZERO);
        }
        Err(SupplyError::NothingHoldsVoltage) => {
            prop_assert!(supply.nodes.iter().all(|node| node.capacitor.is_none() && node.load_ohm.is_none()));
        }
        Err(error) => prop_assert!(false, "{error}"),
    }
    let cold = solve_cold(supply, 1.1);
    prop_assert!(cold.is_ok(), "{cold:?}");
    let cold = cold.map_err(|error| TestCaseError::fail(error.to_string()))?;
    for node in &cold.nodes {
        prop_assert!(node.no_load <= node.highest && node.highest.is_finite() && Volt::ZERO < node.no_load);
    }
    prop_assert!(cold.surge.is_finite() && cold.inverse.is_finite());
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 150, ..ProptestConfig::default() })]

    #[test]
    fn usual_supplies(supply in any_supply(USUAL)) {
        check(&supply, 1e-3)?;
    }

    #[test]
    fn wild_supplies(supply in any_supply(WILD)) {
        // Pulses far narrower than any step leave the sums less exact, never the answer out.
        check(&supply, 0.2)?;
    }

    #[test]
    fn more_load_never_raises_a_resistive_supply(
        supply in any_supply(USUAL).prop_filter("resistors only", |supply| {
            supply.nodes.iter().all(|node| !matches!(node.series, Series::Choke { .. }))
        }),
        more in 1.01_f64..3.0,
    ) {
        let mut heavier = supply.clone();
        for node in &mut heavier.nodes {
            node.load = node.load * more;
        }
        if let (Ok(light), Ok(heavy)) = (solve_loaded(&supply), solve_loaded(&heavier)) {
            for (a, b) in light.nodes.iter().zip(&heavy.nodes) {
                prop_assert!(b.mean.get() <= a.mean.get() + 1e-4 * supply.winding.get());
            }
            let cold = solve_cold(&supply, 1.0).map_err(|error| TestCaseError::fail(error.to_string()))?;
            for (a, b) in light.nodes.iter().zip(&cold.nodes) {
                prop_assert!(a.crest.get() <= b.no_load.get() * (1.0 + 1e-4));
            }
        }
    }
}

/// Heat in everything between the winding's emf and the loads, and in the loads, W.
fn spent_w(supply: &Supply, loaded: &Loaded) -> f64 {
    let heat = |amp: Ampere, ohm: Ohm| amp.get().powi(2) * ohm.get();
    // The reference's circuits: what flows in the source resistance, and how many rectifiers there are.
    let (sources, rectifiers) = match supply.circuit {
        Circuit::CentreTap => (2.0, 2.0),
        Circuit::Bridge => (1.0, 4.0),
        Circuit::Doubler => (1.0, 2.0),
        // The half-wave doubler's other rectifier is added below.
        Circuit::HalfWave | Circuit::DoublerHalfWave { .. } => (1.0, 1.0),
    };
    let mut watt = sources * heat(loaded.winding_rms, supply.source) + rectifiers * loaded.rectifier.power.get();
    watt += loaded.shunt_rectifier.map_or(0.0, |shunt| shunt.power.get());
    if let (Circuit::DoublerHalfWave { series }, Some(at)) = (supply.circuit, loaded.series_capacitor) {
        watt += heat(at.total, series.esr);
    }
    for (index, (node, at)) in supply.nodes.iter().zip(&loaded.nodes).enumerate() {
        let reservoirs = if matches!(supply.circuit, Circuit::Doubler) && index == 0 { 2.0 } else { 1.0 };
        if let (Some(part), Some(current)) = (node.capacitor, at.capacitor) {
            watt += reservoirs * heat(current.total, part.esr);
        }
        let square = at.mean.get().powi(2) + at.ripple_rms.get().powi(2);
        watt += at.series.power.get() + at.mean.get() * node.load.get();
        watt += node.load_ohm.map_or(0.0, |ohm| square / ohm.get());
    }
    watt
}

/// What the emf gives, W, from the waveform of the rectifiers' current and the emf itself.
fn given_w(supply: &Supply, loaded: &Loaded) -> f64 {
    let crest = supply.winding.get() * std::f64::consts::SQRT_2;
    let samples = &loaded.waveform.samples;
    let turn = std::f64::consts::TAU / f64::from(u32::try_from(samples.len()).unwrap_or(u32::MAX));
    let powers = samples.iter().zip(1..).map(|(sample, index)| {
        let emf = crest * (turn * f64::from(index)).sin();
        // Each half period the conducting rectifier sees the emf the right way round.
        emf.abs() * sample.current.get()
    });
    powers.sum::<f64>() * turn / std::f64::consts::TAU
}

#[test]
fn energy_balances() {
    // Choke input is left out: there both rectifiers conduct at once, which the waveform does not tell apart.
    let rows = table("cases_public.csv");
    let mut checked = 0;
    for row in rows.iter().filter(|row| !row["fam"].starts_with("choke")) {
        let supply = supply(row);
        let loaded = solve_loaded(&supply).unwrap_or_else(|error| panic!("{}: {error}", row["id"]));
        let (given, spent) = (given_w(&supply, &loaded), spent_w(&supply, &loaded));
        assert!((given / spent - 1.0).abs() < 1e-3, "{}: {given} W given, {spent} W spent", row["id"]);
        assert!(0.0 < figure(row, "vrms"));
        checked += 1;
    }
    assert_eq!(checked, 33);
}

fn simple(nodes: Vec<Node>) -> Supply {
    Supply {
        circuit: Circuit::CentreTap,
        mains: Hertz::new(50.0),
        winding: Volt::new(300.0),
        source: Ohm::new(100.0),
        rectifier: Rectifier::Valve { perveance_a_per_v15: 2e-3 },
        nodes,
    }
}

fn plain(series: Series, uf: Option<f64>, load_a: f64) -> Node {
    let capacitor = uf.map(|uf| Capacitor { farad: Farad::from_micro(uf), esr: Ohm::new(1.0) });
    Node { series, capacitor, load: Ampere::new(load_a), load_ohm: None }
}

#[test]
fn no_load_stands_at_the_crest() {
    let supply = simple(vec![plain(Series::Direct, Some(50.0), 0.0)]);
    let loaded = solve_loaded(&supply).unwrap();
    // √2·300 = 424.264 V, and 1.1 times that cold.
    assert!((loaded.nodes[0].mean.get() - 424.264).abs() < 1e-3);
    assert_eq!(loaded.conduction, Conduction::None);
    assert!((solve_cold(&supply, 1.1).unwrap().nodes[0].highest.get() - 466.690).abs() < 1e-3);
}

#[test]
fn a_joint_changes_nothing() {
    // A node without capacitor and load in the middle of a dropper is only a joint: 470 Ω as 200 Ω and 270 Ω.
    let whole = simple(vec![
        plain(Series::Direct, Some(50.0), 0.05),
        plain(Series::Resistor(Ohm::new(470.0)), Some(50.0), 0.03),
    ]);
    let parted = simple(vec![
        plain(Series::Direct, Some(50.0), 0.05),
        plain(Series::Resistor(Ohm::new(200.0)), None, 0.0),
        plain(Series::Resistor(Ohm::new(270.0)), Some(50.0), 0.03),
    ]);
    let (whole, parted) = (solve_loaded(&whole).unwrap(), solve_loaded(&parted).unwrap());
    assert!((whole.nodes[1].mean - parted.nodes[2].mean).abs().get() < 1e-6);
    // The joint lies 200/470 of the way down the 14.1 V.
    assert!((whole.nodes[0].mean - parted.nodes[1].mean - Volt::new(6.0)).abs().get() < 1e-6);
}

#[test]
fn refusals_are_typed() {
    let nothing = solve_loaded(&simple(vec![plain(Series::Direct, None, 0.05)]));
    assert_eq!(nothing.unwrap_err(), SupplyError::NothingHoldsVoltage);
    assert_eq!(solve_loaded(&simple(Vec::new())).unwrap_err(), SupplyError::Nodes { count: 0 });
    let mut doubler = simple(vec![plain(Series::Resistor(Ohm::new(10.0)), Some(50.0), 0.05)]);
    doubler.circuit = Circuit::Doubler;
    assert_eq!(solve_loaded(&doubler).unwrap_err(), SupplyError::DoublerWithoutReservoirs);
    let mut broken = simple(vec![plain(Series::Direct, Some(50.0), 0.05)]);
    broken.winding = Volt::new(f64::NAN);
    assert!(matches!(solve_loaded(&broken), Err(SupplyError::OutOfRange { what: "winding voltage", .. })));
    let collapsed = simple(vec![
        plain(Series::Direct, Some(50.0), 0.05),
        plain(Series::Resistor(Ohm::new(100_000.0)), Some(50.0), 0.01),
    ]);
    assert!(matches!(solve_loaded(&collapsed), Err(SupplyError::Collapsed { node: 1, .. })));
}

#[test]
fn a_resistive_supply_without_capacitors_is_a_rectified_sine() {
    // Mean 2/pi of the crest, over 100 Ω of source and 10 kΩ of load; the rectifier has next to no drop.
    let mut supply = simple(vec![plain(Series::Direct, None, 0.0)]);
    supply.nodes[0].load_ohm = Some(Ohm::new(10_000.0));
    supply.rectifier = Rectifier::Diode { saturation: Ampere::new(1e-9), emission: 1e-3, ohm: Ohm::ZERO };
    let loaded = solve_loaded(&supply).unwrap();
    let mean = 424.264 * 2.0 / std::f64::consts::PI * 10_000.0 / 10_100.0;
    assert!((loaded.nodes[0].mean.get() - mean).abs() < 0.01, "{}", loaded.nodes[0].mean);
}
