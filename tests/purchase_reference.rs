//! Orders with optima from an outside solver (`SciPy` 1.17 `milp`, `HiGHS`): the same cost, proven.

#[cfg(test)]
#[path = "support/orders.rs"]
mod orders;

use std::path::Path;

use capjob::purchase::{Limits, by_hand, solve};

#[cfg(test)]
fn same_optimum(size: char) {
    let dir = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/purchase");
    let optima: Vec<_> = orders::optima(&dir).into_iter().filter(|o| o.0.starts_with(size)).collect();
    assert!(!optima.is_empty());
    for (name, optimum) in optima {
        let problem = orders::read(&dir.join(&name));
        let purchase = solve(&problem, &Limits::default()).unwrap();
        let totals = &purchase.totals;
        assert!(purchase.unmet.is_empty(), "{name}");
        assert_eq!(totals.landed.text(4), optimum.text(4), "{name}");
        assert!(totals.proven, "{name}: bound {}", totals.bound.text(4));
        let hand = by_hand(&problem, |_| true);
        assert!(hand.landed.is_ok_and(|m| m >= optimum), "{name}");
        assert!(hand.one_supplier.is_ok_and(|m| m.1 >= optimum), "{name}");
    }
}

#[test]
fn one_small_chassis() {
    same_optimum('S');
}

#[test]
fn one_chassis() {
    same_optimum('M');
}

#[test]
fn five_jobs() {
    same_optimum('L');
}

// The search may be stopped, but bound and plan must enclose the optimum.
#[test]
fn twenty_five_jobs() {
    let dir = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/purchase");
    for (name, optimum) in orders::optima(&dir).into_iter().filter(|o| o.0.starts_with('X')) {
        let problem = orders::read(&dir.join(&name));
        let limits = Limits { seconds: Some(10.0), ..Limits::default() };
        let totals = solve(&problem, &limits).unwrap().totals;
        assert!(totals.bound <= optimum && optimum <= totals.landed, "{name}");
        assert!(!totals.proven || totals.landed == optimum, "{name}");
    }
}
