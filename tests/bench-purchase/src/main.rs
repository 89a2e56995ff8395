//! Seconds and gap of the purchase on the reference orders, or on a generated large one.
//!
//! `cargo run --release -- S M L X` or `cargo run --release -- 5000`; `seconds=10` limits each.

#[path = "../../support/orders.rs"]
mod orders;
mod generated;

use std::path::Path;
use std::time::Instant;

use capjob::purchase::{Limits, Problem, by_hand, solve};

fn show(name: &str, problem: &Problem, limits: &Limits, optimum: &str) {
    let start = Instant::now();
    let purchase = solve(problem, limits).expect("a plan that stands the check");
    let seconds = start.elapsed().as_secs_f64();
    let start = Instant::now();
    let hand = by_hand(problem, |p| purchase.unmet.iter().all(|u| u.position != p));
    let by_hand_seconds = start.elapsed().as_secs_f64();
    let t = &purchase.totals;
    println!(
        "{name:5} {seconds:8.3} s  landed {:>10} optimum {optimum:>8} bound {:>10} gap {:.3} % {} by hand {} / {} ({by_hand_seconds:.3} s) {:?}",
        t.landed.text(2),
        t.bound.text(2),
        t.gap_percent,
        if t.proven { "proven" } else { "open" },
        hand.landed.map_or("-".to_owned(), |m| m.text(2)),
        hand.one_supplier.map_or("-".to_owned(), |m| m.1.text(2)),
        purchase.statistics
    );
}

fn main() {
    let mut limits = Limits::default();
    let dir = Path::new(env!("CARGO_MANIFEST_DIR")).join("../data/purchase");
    for word in std::env::args().skip(1) {
        if let Some(seconds) = word.strip_prefix("seconds=") {
            limits.seconds = Some(seconds.parse().expect("a number of seconds"));
        } else if let Ok(positions) = word.parse::<u32>() {
            show(&word, &generated::order(positions, 1), &limits, "?");
        } else {
            for (name, optimum) in orders::optima(&dir).iter().filter(|o| o.0.starts_with(&word)) {
                show(name, &orders::read(&dir.join(name)), &limits, &optimum.text(2));
            }
        }
    }
}
