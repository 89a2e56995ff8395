//! Circuits that the reference table has no case of, against ngspice 39 (Gear order 2, `reltol` 1e-6, 2000 points a
//! period, 4 s from discharged): doublers with chokes, a resistor ahead of a half-wave reservoir.

#![expect(clippy::unwrap_used, reason = "a supply that is not computed must stop the test")]

use capjob::physics::supply::{Capacitor, Circuit, Node, Rectifier, Series, Supply, solve_loaded};
use capjob::units::{Ampere, Farad, Henry, Hertz, Ohm, Volt};

fn part(uf: f64, esr_ohm: f64) -> Capacitor {
    Capacitor { farad: Farad::from_micro(uf), esr: Ohm::new(esr_ohm) }
}

fn node(series: Series, capacitor: Capacitor, load_ma: f64) -> Node {
    Node { series, capacitor: Some(capacitor), load: Ampere::from_milli(load_ma), load_ohm: None }
}

fn ohm(ohm: f64) -> Series {
    Series::Resistor(Ohm::new(ohm))
}

fn choke(henry: f64, dcr_ohm: f64) -> Series {
    Series::Choke { henry: Henry::new(henry), dcr: Ohm::new(dcr_ohm) }
}

/// What the other solver gave for a node: mean V, ripple peak to peak V, mean and rms A of the series element, rms A
/// of the capacitor.
type Figures = (f64, f64, f64, f64, f64);

fn check(circuit: Circuit, (winding_v, hz, source_ohm): (f64, f64, f64), nodes: Vec<Node>, expected: &[Figures]) {
    let supply = Supply {
        circuit,
        mains: Hertz::new(hz),
        winding: Volt::new(winding_v),
        source: Ohm::new(source_ohm),
        rectifier: Rectifier::Valve { perveance_a_per_v15: 1.9e-3 },
        nodes,
    };
    let loaded = solve_loaded(&supply).unwrap();
    assert_eq!(loaded.nodes.len(), expected.len());
    for (at, &(mean, ripple, series, series_rms, capacitor)) in loaded.nodes.iter().zip(expected) {
        let close = |found: f64, other: f64, part: f64| {
            assert!((found - other).abs() <= part * other, "{circuit:?}: {found}, ngspice {other}");
        };
        close(at.mean.get(), mean, 1e-5);
        close(at.ripple_pp.get(), ripple, 5e-4);
        close(at.series.mean.get(), series, 1e-4);
        close(at.series.rms.get(), series_rms, 1e-4);
        close(at.capacitor.unwrap().total.get(), capacitor, 5e-4);
    }
}

#[test]
fn half_wave_doubler_with_a_choke() {
    let nodes = vec![node(Series::Direct, part(16.0, 1.0), 10.0), node(choke(8.0, 200.0), part(32.0, 1.0), 30.0)];
    let expected =
        [(242.32974, 33.615, 0.04, 0.093_602_6, 0.087_17), (236.32974, 0.752_86, 0.03, 0.030_180_1, 0.003_292_11)];
    check(Circuit::DoublerHalfWave { series: part(24.0, 1.0) }, (117.0, 60.0, 30.0), nodes, &expected);
}

#[test]
fn full_wave_doubler_with_a_choke() {
    let nodes = vec![
        node(Series::Direct, part(50.0, 1.0), 20.0),
        node(choke(5.0, 100.0), part(32.0, 1.5), 60.0),
        node(ohm(2200.0), part(16.0, 2.0), 10.0),
    ];
    let expected = [
        (400.65886, 20.691, 0.09, 0.090_025_7, 0.183_665),
        (393.65886, 0.301_64, 0.07, 0.070_033, 0.002_144_77),
        (371.65886, 0.013_546, 0.01, 0.010_000_1, 4.819_22e-5),
    ];
    check(Circuit::Doubler, (200.0, 50.0, 60.0), nodes, &expected);
}

#[test]
fn half_wave_with_a_resistor_ahead_of_the_reservoir() {
    let nodes = vec![node(ohm(220.0), part(32.0, 1.0), 20.0), node(choke(10.0, 250.0), part(32.0, 1.0), 40.0)];
    let expected =
        [(217.98044, 23.167, 0.06, 0.124_172, 0.110_243), (207.98044, 0.422_12, 0.04, 0.040_042_1, 0.001_834_79)];
    check(Circuit::HalfWave, (250.0, 60.0, 100.0), nodes, &expected);
}
