//! What hangs on the whole job: holds, what to measure next, reforming, cautions, ranking.

#[cfg(test)]
#[path = "support/judging.rs"]
mod judging;

use capjob::model::chassis::{Iron, Job, SupplyKind};
use capjob::model::finding::{Basis, Caution, Decision, HoldReason, Judgement, Known, MeasureStage, Stress};
use capjob::model::supply::SupplyUnproved;
use capjob::money::{Currency, Money};
use capjob::rules::{TotalOf, cautions, holds, judge, money_holds, reform_plans, trouble, what_to_measure};
use capjob::sources::SourceId;
use capjob::units::{Ampere, Celsius, Ohm, Volt};
use judging::{data, jobs, judged, set, table};

/// The job of this name in the table of jobs, judged.
#[expect(clippy::panic, reason = "a test stops at bad data")]
fn job(name: &str) -> (Job, Vec<Judgement>) {
    let rows = table(&data("judging/jobs.csv"));
    let groups = jobs(&rows);
    let group = groups.iter().find(|g| g.iter().any(|r| r.text("job") == Some(name)));
    let group = group.unwrap_or_else(|| panic!("no job {name}"));
    (set(group).0, judged(group))
}

#[test]
fn bad_iron_holds_the_order_and_unchecked_iron_does_not() {
    let (mut amplifier, judgements) = job("amplifier");
    assert!(holds(&amplifier, &judgements, &[]).is_empty());
    amplifier.chassis.iron.output_transformer = Some(Iron::Open);
    amplifier.chassis.iron.choke = Some(Iron::LowInsulation);
    let held = holds(&amplifier, &judgements, &[]);
    assert_eq!(held.iter().map(|h| h.reason).collect::<Vec<_>>(), [HoldReason::Iron, HoldReason::Iron]);
    assert!(held[0].says.contains("output transformer is open"), "{}", held[0].says);
    assert!(held[1].says.contains("choke has low insulation"), "{}", held[1].says);
}

#[test]
fn a_live_set_is_not_asked_for_a_mains_transformer_unless_it_has_one() {
    let (mut set, judgements) = job("amplifier");
    let told = |set: &Job| {
        let all: Vec<String> = cautions(set, &judgements, &[]).iter().map(ToString::to_string).collect();
        all.iter().any(|c| c.contains("not checked") && c.contains("mains transformer"))
    };
    set.chassis.iron.mains_transformer = None;
    set.chassis.supply = SupplyKind::Transformer;
    assert!(told(&set));
    set.chassis.supply = SupplyKind::Live;
    assert!(!told(&set));
    // One that is named, an autotransformer say, is judged as any other.
    set.chassis.iron.mains_transformer = Some(Iron::Open);
    assert_eq!(holds(&set, &judgements, &[])[0].reason, HoldReason::Iron);
}

#[test]
fn a_rating_that_nothing_proves_holds_the_order() {
    let (unrated, judgements) = job("unrated");
    assert_eq!(judgements[0].decision, Decision::Replace);
    let held = holds(&unrated, &judgements, &[]);
    assert_eq!(held.len(), 1);
    assert!(held[0].reason == HoldReason::Unproved && held[0].says.starts_with("C1: "), "{}", held[0].says);
}

#[test]
fn a_supply_that_contradicts_itself_holds_one_that_lacks_data_does_not() {
    let (amplifier, judgements) = job("amplifier");
    let outcome = |fault| Err(SupplyUnproved { name: "HT".to_owned(), says: "collapsed".to_owned(), fault });
    assert_eq!(holds(&amplifier, &judgements, &[outcome(true)]).len(), 1);
    assert!(holds(&amplifier, &judgements, &[outcome(false)]).is_empty());
}

#[test]
fn money_holds_above_ceiling_and_value_only() {
    let (mut amplifier, _) = job("amplifier");
    let money = |text| Money::parse(text).expect("money");
    let pounds = Currency::new("GBP").expect("a currency");
    assert!(money_holds(&amplifier.chassis, money("9000.00"), TotalOf::Quote, &pounds).is_empty());
    amplifier.chassis.ceiling = Some(money("350.00"));
    amplifier.chassis.value = Some(money("600.00"));
    assert!(money_holds(&amplifier.chassis, money("350.00"), TotalOf::Landed, &pounds).is_empty());
    let held = money_holds(&amplifier.chassis, money("350.01"), TotalOf::Landed, &pounds);
    assert_eq!(held.len(), 1);
    assert_eq!(held[0].reason, HoldReason::Ceiling);
    assert!(held[0].says.contains("350.01") && held[0].says.contains("350.00"), "{}", held[0].says);
    let held = money_holds(&amplifier.chassis, money("700.00"), TotalOf::Quote, &pounds);
    assert_eq!(held.iter().map(|h| h.reason).collect::<Vec<_>>(), [HoldReason::Ceiling, HoldReason::Uneconomic]);
}

#[test]
fn readings_come_in_the_order_of_the_bench() {
    let (amplifier, judgements) = job("amplifier");
    let list = what_to_measure(&amplifier, &judgements);
    let got: Vec<(MeasureStage, Vec<&str>, usize)> =
        list.iter().map(|n| (n.measure.stage, n.refs.iter().map(String::as_str).collect(), n.changes)).collect();
    // Two transformers first (one part is ordered: C3), then the trace, the three cold readings, one
    // end lifted (R4 and its mate), the grid.
    assert_eq!(
        got,
        [
            (MeasureStage::Cold, vec![], 1),
            (MeasureStage::Cold, vec![], 1),
            (MeasureStage::Look, vec!["C5"], 1),
            (MeasureStage::Cold, vec!["R1", "R2", "R3"], 3),
            (MeasureStage::OutOfCircuit, vec!["R4"], 2),
            (MeasureStage::AtVoltage, vec!["C4"], 1),
        ]
    );
}

// The figures of the re-ageing note (100 k above 75 V, 10 k up to 75 V, four hours) and of the old
// leakage rule (8 µF 450 V: 0.62 mA).
#[test]
fn reforming_is_told_in_figures() {
    let (museum, judgements) = job("museum");
    let plans = reform_plans(&museum, &judgements, &capjob::model::shop::Margins::default());
    assert_eq!(plans.iter().map(|p| p.reference.as_str()).collect::<Vec<_>>(), ["C1", "C2"]);
    let high = &plans[0];
    assert_eq!(high.series, Ohm::new(100_000.0));
    assert_eq!(high.target, Volt::new(450.0));
    assert!((high.pass.milli() - 0.62).abs() < 1e-9);
    assert_eq!(high.measured, Some(Ampere::from_milli(0.11)));
    assert!((high.shorted_watts.get() - 2.025).abs() < 1e-9 && high.series_watts > high.shorted_watts);
    assert!((high.hold.get() - 4.0 * 3600.0).abs() < 1e-9);
    let last = high.steps.last().expect("steps");
    assert!(last.volts == high.target && (last.at_start.milli() - 4.5).abs() < 1e-9);
    // A tenth of the supply across 100 k is 0.45 mA, less than the 0.62 mA that pass: those it must not stop.
    assert!((last.stop_above.milli() - 0.62).abs() < 1e-9);
    // At a quarter of the voltage a quarter of that, 0.155 mA, against 0.1125 mA.
    assert!((high.steps[0].stop_above.milli() - 0.155).abs() < 1e-9);
    assert!(high.steps.windows(2).all(|w| w[0].volts < w[1].volts));
    assert_eq!(plans[1].series, Ohm::new(10_000.0));
}

#[test]
fn cautions_go_by_what_the_job_holds() {
    let has = |lines: &[Caution], words: &str| lines.iter().any(|c| c.to_string().contains(words));
    let (amplifier, judgements) = job("amplifier");
    let lines = cautions(&amplifier, &judgements, &[]);
    for words in [
        "local codes",
        "NOT TO BE PLUGGED IN",
        "DISCHARGE, THEN MEASURE",
        "HT up to 520 V, and 60 V",
        "ONE HAND",
        "not checked",
    ] {
        assert!(has(&lines, words), "{words} in {lines:?}");
    }
    for words in ["LIVE CHASSIS", "SELENIUM", "ASBESTOS", "PCB", "two-core"] {
        assert!(!has(&lines, words), "{words} in {lines:?}");
    }
    let (recorder, judgements) = job("recorder");
    let lines = cautions(&recorder, &judgements, &[]);
    for words in
        ["LIVE CHASSIS", "DOES NOT ISOLATE", "SELENIUM", "ASBESTOS", "PCB", "no power until done: C1", "class X or Y"]
    {
        assert!(has(&lines, words), "{words} in {lines:?}");
    }
    // IEC 62368-1 lets 60 V dc be touched: 369 V is as deadly as 520 V.
    let mut low = job("amplifier");
    for judgement in &mut low.1 {
        judgement.stress.highest = None;
    }
    assert!(!has(&cautions(&low.0, &low.1, &[]), "ONE HAND"));
    low.1[0].stress.highest = Some(Known::new(Volt::new(369.0), Basis::Computed));
    assert!(has(&cautions(&low.0, &low.1, &[]), "HT up to 369 V"));
    // 255 V on the 220 V tapping is 15.9 % high; 234 V is 6.4 %.
    let mains = |set: &mut capjob::model::chassis::Job, volts: f64| {
        set.chassis.mains.tapping = Some(Volt::new(220.0));
        set.chassis.mains.measured = Some(Volt::new(volts));
    };
    mains(&mut low.0, 255.0);
    assert!(has(&cautions(&low.0, &low.1, &[]), "255 V on the 220 V tapping: heaters and HT 16 % high"));
    mains(&mut low.0, 234.0);
    assert!(!has(&cautions(&low.0, &low.1, &[]), "tapping"));
    for line in &lines {
        assert_eq!(
            line.source == Some(SourceId::WorkshopHabit),
            line.to_string().ends_with("(common practice, no source)")
        );
    }
}

// Rates worked out once from the tables of MIL-HDBK-217F Notice 2 (commercial, ground benign, 50 °C):
// electrolytic 47 µF 400 V on 450 V 0.0680, composition 0.25 W of 0.5 W 0.0271 in a million hours.
#[test]
fn trouble_ranks_by_the_failure_rates() {
    let (parts, _) = job("ranking");
    let rows = table(&data("judging/jobs.csv"));
    let groups = jobs(&rows);
    let group = groups.iter().find(|g| g.iter().any(|r| r.text("job") == Some("ranking"))).expect("the job");
    let stresses: Vec<Stress> = set(group).1;
    let of = |at: usize| trouble(&parts.parts[at], &stresses[at], Celsius::new(50.0));
    assert!((of(0) - 0.0680).abs() < 0.0005, "{}", of(0));
    assert!((of(1) - 0.0271).abs() < 0.0005, "{}", of(1));
    assert!(of(2) > of(0), "nothing known of its voltage ranks as fully stressed");
    assert!(of(3) > of(1), "a valve ranks like a fully stressed electrolytic");
}

// Safety is no setting: a shop may ask for more of it, never for less.
#[test]
fn a_shop_cannot_set_safety_aside() {
    let (recorder, _) = job("recorder");
    let mut lax = capjob::model::shop::Margins::default();
    for key in ["mains-touch", "mains-touch.capacitance", "highest-voltage"] {
        lax.0.insert(key.to_owned(), 1e6);
    }
    let strict = capjob::model::shop::Margins::default();
    assert_eq!(judge(&recorder, &[], &lax, &[]), judge(&recorder, &[], &strict, &[]));
    let (ranking, _) = job("ranking");
    let known = capjob::model::finding::Known::new(Volt::new(460.0), capjob::model::finding::Basis::Computed);
    let stress = Stress { highest: Some(known), highest_proved: true, ..Stress::default() };
    let judgements = judge(&ranking, &[stress], &lax, &[]);
    assert!(judgements[0].decision == Decision::Replace && judgements[0].findings[0].rule == "highest-voltage");
}

#[test]
fn a_part_without_its_stress_is_judged_as_unknown_and_order_is_kept() {
    let (amplifier, _) = job("amplifier");
    let judgements = judge(&amplifier, &[], &capjob::model::shop::Margins::default(), &[]);
    let refs: Vec<&str> = judgements.iter().map(|j| j.reference.as_str()).collect();
    assert_eq!(refs, amplifier.parts.iter().map(|p| p.reference.as_str()).collect::<Vec<_>>());
    assert_eq!(judgements, judge(&amplifier, &[], &capjob::model::shop::Margins::default(), &[]));
}
