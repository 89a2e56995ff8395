//! Small awkward orders against an enumeration of everything that could be bought.
//!
//! The enumeration shares nothing with the search but the types of the problem.

#[cfg(test)]
#[path = "support/brute.rs"]
mod brute;
#[cfg(test)]
#[path = "support/small_orders.rs"]
mod small_orders;

use capjob::purchase::{Limits, Method, Problem, Purchase, solve};

#[cfg(test)]
/// What a reader of the order sees, free of the order of the rows.
fn seen(problem: &Problem, purchase: &Purchase) -> Vec<String> {
    let number = |s: usize| {
        let source = &problem.sources[s];
        let supplier = source.supplier.map_or("shelf", |v| problem.suppliers[v].name.as_str());
        format!("{supplier}:{}", source.number)
    };
    let mut lines: Vec<String> = purchase
        .buy
        .iter()
        .map(|l| format!("{} {} = {} + {:?} {}", number(l.source), l.quantity, l.needed, l.spare, l.line.text(4)))
        .collect();
    for fit in &purchase.fits {
        let mut parts: Vec<_> = fit.parts.iter().map(|p| (number(p.source), p.count, p.extra)).collect();
        parts.sort();
        lines.push(format!("{} {parts:?}", problem.positions[fit.position].key));
    }
    lines.extend(purchase.unmet.iter().map(|u| format!("{} unmet", problem.positions[u.position].key)));
    lines.sort();
    lines
}

#[cfg(test)]
fn check(seed: u64, method: Method) {
    let problem = small_orders::order(seed);
    let limits = Limits { method, ..Limits::default() };
    let purchase = solve(&problem, &limits).unwrap_or_else(|e| panic!("seed {seed}: {e}"));
    let (unmet, _) = brute::best(&problem);
    assert_eq!(purchase.unmet.len(), unmet, "seed {seed}: unmet");
    let mut rest = problem.clone();
    let lost: Vec<usize> = purchase.unmet.iter().map(|u| u.position).collect();
    let mut at = 0;
    rest.positions.retain(|_| {
        at += 1;
        !lost.contains(&(at - 1))
    });
    let (_, key) = brute::best(&rest);
    let ours = brute::key_of(&problem, &purchase);
    assert!(purchase.totals.bound.ten_thousandths() <= key.cost, "seed {seed}: bound above the optimum");
    let shuffled = small_orders::shuffled(&problem, seed ^ 0x5eed);
    let again = solve(&shuffled, &limits).unwrap();
    assert_eq!(seen(&problem, &purchase), seen(&shuffled, &again), "seed {seed}: rows permuted");
    assert_eq!(purchase.totals, again.totals, "seed {seed}: rows permuted, totals");
    if method != Method::Whole && !purchase.totals.proven {
        // A threshold that goods cannot meet to the grain stays open in this method, and says so.
        assert!(ours.cost >= key.cost, "seed {seed}: cheaper than the optimum");
        return;
    }
    assert_eq!(ours.cost, key.cost, "seed {seed}: cost\n{problem:#?}\n{purchase:#?}");
    if method != Method::Whole {
        return;
    }
    assert!(purchase.totals.proven, "seed {seed}: not proven");
    assert_eq!(ours, key, "seed {seed}: ties\n{problem:#?}\n{purchase:#?}");
}

/// Orders for each way of searching: few without optimisation, where each takes a hundred times as long.
#[cfg(test)]
fn rounds() -> u64 {
    let usual = if cfg!(debug_assertions) { 40 } else { 500 };
    std::env::var("CAPJOB_ROUNDS").ok().and_then(|n| n.parse().ok()).unwrap_or(usual)
}

#[test]
fn one_programme_finds_the_same_plan() {
    for seed in 0..rounds() {
        check(seed, Method::Whole);
    }
}

#[test]
fn sets_of_suppliers_find_the_same_cost() {
    for seed in 0..rounds() {
        check(seed, Method::Sets);
    }
}

#[test]
fn bounds_and_branches_find_the_same_cost() {
    for seed in 0..rounds() {
        check(seed, Method::Branch);
    }
}
