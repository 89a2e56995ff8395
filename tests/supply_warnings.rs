//! Limit warnings: each kind inside, at and outside its limit, and the broken limits of the reference supplies.

#![expect(clippy::unwrap_used, reason = "a fault in the reference must stop the test that reads it")]

mod supply_cases;

use capjob::physics::supply::{
    Circuit, RectifierLimits, Series, Supply, Warning, WarningKind, solve_cold, solve_loaded, warnings,
};
use capjob::units::{Ampere, Farad, Henry, Ohm, Volt};
use supply_cases::{figure, supply, table};

fn case(id: &str) -> Supply {
    let rows = table("cases_public.csv");
    supply(rows.iter().find(|row| row["id"] == id).unwrap())
}

fn judge(supply: &Supply, limits: &RectifierLimits) -> Vec<Warning> {
    let loaded = solve_loaded(supply);
    let cold = solve_cold(supply, 1.1).ok();
    warnings(supply, loaded.as_ref(), cold.as_ref(), limits)
}

/// The warnings' kinds and whether they are amber.
fn kinds(supply: &Supply, limits: &RectifierLimits) -> Vec<(WarningKind, bool)> {
    judge(supply, limits).iter().map(|warning| (warning.kind, warning.amber)).collect()
}

#[test]
fn nothing_known_nothing_said() {
    assert_eq!(kinds(&case("S01"), &RectifierLimits::default()), []);
}

#[test]
fn reservoir_above_limit() {
    let limits = |uf: f64| RectifierLimits { max_first: Some(Farad::from_micro(uf)), ..RectifierLimits::default() };
    // S01 has 50 µF; the limit itself is allowed.
    assert_eq!(kinds(&case("S01"), &limits(51.0)), []);
    assert_eq!(kinds(&case("S01"), &limits(50.0)), []);
    assert_eq!(kinds(&case("S01"), &limits(49.0)), [(WarningKind::ReservoirTooLarge, false)]);
    // Choke input (S53: 30 µF behind the choke) is not judged.
    assert_eq!(kinds(&case("S58"), &limits(1.0)), []);
}

#[test]
fn source_below_limit() {
    let table = |ohm: f64| RectifierLimits {
        min_source: vec![(Volt::new(300.0), Ohm::new(ohm))],
        ..RectifierLimits::default()
    };
    // S01: 120 Ω at 300 V.
    assert_eq!(kinds(&case("S01"), &table(119.0)), []);
    assert_eq!(kinds(&case("S01"), &table(120.0)), []);
    let found = judge(&case("S01"), &table(121.0));
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].kind, WarningKind::SourceTooLow);
    assert!((found[0].value_si - 120.0).abs() < 1e-9 && (found[0].limit_si - 121.0).abs() < 1e-9);
}

#[test]
fn source_limit_between_points() {
    let points = [(350.0, 100.0), (300.0, 75.0), (400.0, 125.0)];
    let min_source = points.map(|(volt, ohm)| (Volt::new(volt), Ohm::new(ohm))).to_vec();
    let limits = RectifierLimits { min_source, ..RectifierLimits::default() };
    // Below the table its first figure; on and between the points straight lines; above it the last line goes on.
    for (winding, least) in [(200.0, 75.0), (300.0, 75.0), (320.0, 85.0), (400.0, 125.0), (420.0, 135.0)] {
        let found = limits.min_source_at(Volt::new(winding)).unwrap();
        assert!((found.get() - least).abs() < 1e-9, "{winding} V: {found}");
    }
    assert_eq!(RectifierLimits::default().min_source_at(Volt::new(300.0)), None);
}

#[test]
fn winding_above_limit() {
    let limits = |volt: f64| RectifierLimits { max_winding: Some(Volt::new(volt)), ..RectifierLimits::default() };
    assert_eq!(kinds(&case("S01"), &limits(300.0)), []);
    assert_eq!(kinds(&case("S01"), &limits(299.0)), [(WarningKind::WindingTooHigh, false)]);
    assert_eq!(kinds(&case("S58"), &limits(299.0)), [], "choke input is not judged");
}

#[test]
fn average_above_limit() {
    let limits = |ma: f64| RectifierLimits { max_average: Some(Ampere::from_milli(ma)), ..RectifierLimits::default() };
    // S01 delivers 96 mA.
    assert_eq!(kinds(&case("S01"), &limits(96.1)), []);
    assert_eq!(kinds(&case("S01"), &limits(95.9)), [(WarningKind::AverageTooHigh, false)]);
}

#[test]
fn peak_amber_then_red() {
    let limits = |amp: f64| RectifierLimits { max_peak: Some(Ampere::new(amp)), ..RectifierLimits::default() };
    // S01 peaks at 0.3807 A; nine tenths of 0.424 and 0.422 are 0.3816 and 0.3798.
    assert_eq!(kinds(&case("S01"), &limits(0.424)), []);
    assert_eq!(kinds(&case("S01"), &limits(0.422)), [(WarningKind::PeakTooHigh, true)]);
    assert_eq!(kinds(&case("S01"), &limits(0.381)), [(WarningKind::PeakTooHigh, true)]);
    assert_eq!(kinds(&case("S01"), &limits(0.380)), [(WarningKind::PeakTooHigh, false)]);
}

#[test]
fn surge_amber_then_red() {
    let limits = |amp: f64| RectifierLimits { max_surge: Some(Ampere::new(amp)), ..RectifierLimits::default() };
    // S01 takes 2.7795 A at switch-on; nine tenths of 3.10 and 3.08 are 2.79 and 2.772.
    assert_eq!(kinds(&case("S01"), &limits(3.10)), []);
    assert_eq!(kinds(&case("S01"), &limits(3.08)), [(WarningKind::SurgeTooHigh, true)]);
    assert_eq!(kinds(&case("S01"), &limits(2.77)), [(WarningKind::SurgeTooHigh, false)]);
}

#[test]
fn choke_below_critical() {
    let none = RectifierLimits::default();
    // S58: 380 V, 150 mA and 50 kΩ at 282 V: 2·√2·380/pi = 342.1 V over 155.6 mA, 2198 Ω, critical 2.333 H at 50 Hz.
    let mut supply = case("S58");
    assert_eq!(kinds(&supply, &none), []);
    for (henry, below) in [(2.45, false), (2.2, true)] {
        supply.nodes[0].series = Series::Choke { henry: Henry::new(henry), dcr: Ohm::new(110.0) };
        let found = judge(&supply, &none);
        assert_eq!(!found.is_empty(), below, "{henry} H");
        if let Some(warning) = found.first() {
            assert_eq!(warning.kind, WarningKind::ChokeBelowCritical);
            assert!((warning.limit_si - 2.333).abs() < 0.01, "{}", warning.limit_si);
        }
    }
    // A half-wave circuit has no critical inductance.
    supply.circuit = Circuit::HalfWave;
    assert_eq!(kinds(&supply, &none), []);
}

#[test]
fn dropper_too_large() {
    // 30 mA and 6 mA through 470 Ω in S01 leave 326 V; through 12 kΩ nothing is left.
    let mut supply = case("S01");
    supply.nodes[1].series = Series::Resistor(Ohm::new(12_000.0));
    assert_eq!(kinds(&supply, &RectifierLimits::default()), [(WarningKind::DropperTooLarge { node: 1 }, false)]);
}

#[test]
fn reservoir_missing_under_a_constant_load() {
    // Without the reservoir the first node is carried by the second through 470 Ω: 60 mA there is a drop of 28 V.
    let mut supply = case("S01");
    supply.nodes[0].capacitor = None;
    assert_eq!(kinds(&supply, &RectifierLimits::default()), []);
    // Through 10 kΩ it would be 600 V: the load cannot be constant.
    supply.nodes[1].series = Series::Resistor(Ohm::new(10_000.0));
    supply.nodes[1].load = Ampere::ZERO;
    let found = kinds(&supply, &RectifierLimits::default());
    assert!(found.contains(&(WarningKind::FallsBelowZero { node: 0 }, false)), "{found:?}");
}

/// `75@300;100@350`; entries by capacitance (`150@8uF`) are another rule and left out.
fn min_source(text: &str) -> Vec<(Volt, Ohm)> {
    let points = text.split(';').filter_map(|point| point.split_once('@'));
    points.filter_map(|(ohm, volt)| Some((Volt::new(volt.parse().ok()?), Ohm::new(ohm.parse().ok()?)))).collect()
}

fn limits_of(rectifier: &str) -> RectifierLimits {
    let rows = table("rect_limits.csv");
    let row = rows.iter().find(|row| row["type"] == rectifier).unwrap();
    let optional = |column: &str| row[column].parse::<f64>().ok();
    RectifierLimits {
        max_first: optional("c_max_uF").map(Farad::from_micro),
        max_peak: optional("ipk_steady_A").map(Ampere::new),
        max_surge: optional("isurge_max_A").map(Ampere::new),
        max_average: optional("idc_max_mA").map(Ampere::from_milli),
        min_source: min_source(&row["rs_min_ohm@vrms"]),
        max_winding: optional("vrms_max_per_anode_cap_input").map(Volt::new),
    }
}

/// A broken limit in the reference's words: `Rs<138`, `Vrms>375`, `Ipk 0.815>0.75`.
fn in_words(warning: &Warning) -> String {
    let (value, limit) = (warning.value_si, warning.limit_si);
    match warning.kind {
        WarningKind::SourceTooLow => format!("Rs<{limit:.0}"),
        WarningKind::WindingTooHigh => format!("Vrms>{limit:.0}"),
        WarningKind::ReservoirTooLarge => format!("C>{:.0}", limit * 1e6),
        WarningKind::AverageTooHigh => format!("Idc>{:.0}", limit * 1e3),
        WarningKind::PeakTooHigh => format!("Ipk {value:.3}>{limit}"),
        WarningKind::SurgeTooHigh => format!("Isurge {value:.2}>{limit}"),
        other => format!("{other:?}"),
    }
}

#[test]
fn broken_limits_of_the_reference() {
    let cases = table("cases_public.csv");
    for row in &table("warn_expect.csv") {
        let id = &row["id"];
        let supply = supply(cases.iter().find(|case| &case["id"] == id).unwrap());
        let output = solve_loaded(&supply).unwrap().output;
        assert!((output.milli() - figure(row, "idc_mA")).abs() < 0.06, "{id}: {output}");
        let found = judge(&supply, &limits_of(&row["rectifier"]));
        // The reference lists broken limits of the rectifier only: no amber, no choke.
        let broken = found.iter().filter(|warning| !warning.amber && warning.kind != WarningKind::ChokeBelowCritical);
        let words: Vec<String> = broken.map(in_words).collect();
        let text = if words.is_empty() { "none".to_owned() } else { words.join("; ") };
        assert_eq!(text, row["flags"], "{id}");
    }
}
