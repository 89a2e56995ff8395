//! What holds for every part that can be written down.

use proptest::prelude::*;

use super::*;
use crate::model::chassis::{Chassis, Conditions, Earth, IronChecks, Mains, OwnerWish, Policy, SupplyKind};
use crate::model::finding::{Basis, Call, Decision, Known};
use crate::model::kind::{PartKind, Place, Sight, Wish};
use crate::model::part::{Accept, AsFound, LeakageReading, Part, Rating, Reading, Space, Value};
use crate::units::{Ampere, Farad, Ohm, Second, Volt};

fn chassis() -> impl Strategy<Value = Chassis> {
    let words = (
        proptest::sample::select(SupplyKind::ALL),
        proptest::sample::select(OwnerWish::ALL),
        proptest::sample::select(Policy::ALL),
        proptest::option::of(proptest::sample::select(Earth::ALL)),
        proptest::option::of(1930..2026_i32),
        any::<bool>(),
    );
    words.prop_map(|(supply, wish, policy, earth, year, dated)| Chassis {
        name: "any".to_owned(),
        year,
        supply,
        wish,
        policy,
        inspected: dated.then(|| jiff::civil::date(2026, 11, 20)),
        promised_days: None,
        ceiling: None,
        value: None,
        iron: IronChecks::default(),
        conditions: Conditions::default(),
        mains: Mains { earth, ..Mains::default() },
        supplies: Vec::new(),
        assumed: Vec::new(),
    })
}

/// A value of the right sort for the kind.
fn value_of(kind: PartKind, size: f64) -> Value {
    if kind.is_capacitor() {
        Value::Farad(Farad::from_micro(size))
    } else if kind.is_resistor() {
        Value::Ohm(Ohm::new(size * 1000.0))
    } else {
        Value::Designation("EF86".to_owned())
    }
}

fn found() -> impl Strategy<Value = (Option<f64>, AsFound)> {
    let reading = proptest::option::of(0.2..2.0_f64);
    let leakage = proptest::option::of((0.0..5.0_f64, proptest::option::of(3.0..500.0_f64)));
    let sight = proptest::collection::vec(proptest::sample::select(Sight::ALL), 0..2);
    (reading, leakage, sight, proptest::option::of(any::<bool>()), proptest::option::of(0.0..2.0_f64)).prop_map(
        |(reading, leakage, sight, in_circuit, grid_v)| {
            let leakage = leakage.map(|(ma, at)| LeakageReading {
                current: Ampere::from_milli(ma),
                at: at.map(Volt::new),
                after: Some(Second::new(600.0)),
            });
            let grid = grid_v.map(Volt::new);
            (
                reading,
                AsFound { leakage, sight, in_circuit, grid, bias: grid.map(|_| Volt::new(10.0)), ..AsFound::default() },
            )
        },
    )
}

fn part() -> impl Strategy<Value = Part> {
    let kind = proptest::sample::select(PartKind::ALL);
    let place = proptest::option::of(proptest::sample::select(Place::ALL));
    let wish = proptest::option::of(proptest::sample::select(Wish::ALL));
    let rated = proptest::option::of(10.0..700.0_f64);
    let size = proptest::option::of(0.001..50.0_f64);
    (kind, place, wish, rated, size, found()).prop_map(|(kind, place, wish, rated, size, (reading, mut found))| {
        let value = size.map(|s| value_of(kind, s));
        found.reads = match (&value, reading) {
            (_, Some(r)) if r > 1.9 => Some(Reading::Open),
            (Some(Value::Farad(farad)), Some(r)) => Some(Reading::Farad(*farad * r)),
            (Some(Value::Ohm(ohm)), Some(r)) => Some(Reading::Ohm(*ohm * r)),
            _ => None,
        };
        Part {
            reference: "P1".to_owned(),
            kind,
            marked: String::new(),
            value,
            rating: Rating { volts: rated.map(Volt::new), ..Rating::default() },
            place,
            plus: None,
            minus: None,
            can: None,
            pair: None,
            fitted: None,
            found,
            space: Space::default(),
            accept: Accept::default(),
            wish,
            note: None,
            line: 2,
        }
    })
}

proptest! {
    #[test]
    fn every_part_comes_to_one_honest_decision(
        chassis in chassis(), part in part(), volts in proptest::option::of(1.0..700.0_f64),
    ) {
        let job = Job { name: "any".to_owned(), chassis, parts: vec![part.clone()] };
        let known = volts.map(|v| Known::new(Volt::new(v), Basis::Computed));
        let stress = Stress { working: known, highest: known, highest_proved: true, ..Stress::default() };
        let judgements = judge(&job, &[stress], &Margins::default(), &[]);
        prop_assert_eq!(judgements.len(), 1);
        let judgement = &judgements[0];
        let first = &judgement.findings[0];
        let decision = judgement.decision;

        // Safety is not overridden by anything.
        if judgement.findings.iter().any(|f| f.safety && matches!(f.call, Call::Replace | Call::Omit | Call::FindOut)) {
            prop_assert!(!matches!(decision, Decision::Keep | Decision::Test | Decision::Reform | Decision::Disconnect));
        }
        // What is kept is kept for a reason that is printed: a rule that speaks for it, or the wish.
        if decision == Decision::Keep {
            let speaks = judgement.findings.iter().any(|f| f.call == Call::Keep);
            prop_assert!(speaks, "{:?}", judgement.findings);
        }
        // Missing is not good: an electrolytic, paper or coupling part without any reading stays on a wish only.
        let suspect = matches!(part.kind, PartKind::Electrolytic | PartKind::Paper) || part.place == Some(Place::Coupling);
        let blank = part.found.reads.is_none() && part.found.leakage.is_none() && part.found.grid.is_none();
        if suspect && part.kind.is_capacitor() && blank && decision == Decision::Keep {
            prop_assert_eq!(first.rule, "wish");
        }
        // What is to be measured is named.
        if matches!(decision, Decision::Test | Decision::FindOut | Decision::Reform) {
            prop_assert!(!judgement.measure_next.is_empty() || first.rule == "electrolytic-reform" || first.rule == " \
                owner-wish",
                "{:?}", judgement.findings);
        }
        // Only a replacement has a way of doing it.
        prop_assert_eq!(judgement.how.is_some(), decision == Decision::Replace);
        // Every figure has its unit.
        for finding in &judgement.findings {
            prop_assert_eq!(finding.value.is_some(), !finding.unit.is_empty());
            prop_assert!(!finding.says.is_empty());
        }
    }
}
