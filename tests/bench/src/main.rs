//! Median times of the supply's computations over the reference supplies: `cargo run --release` in this folder.
//!
//! A time is the median of several runs of one supply. The budget on one core is 3 ms loaded and 30 ms cold.

#[path = "../../supply_cases/mod.rs"]
mod supply_cases;

use std::hint::black_box;
use std::time::Instant;

use capjob::physics::supply::{solve_cold, solve_loaded};

/// Runs of each supply.
const RUNS: usize = 15;

fn main() {
    let rows = supply_cases::table("cases_public.csv");
    let (mut loaded, mut cold) = (Vec::new(), Vec::new());
    for row in &rows {
        let (supply, high) = (supply_cases::supply(row), supply_cases::figure(row, "vhi"));
        loaded.push((median(|| drop(black_box(solve_loaded(&supply)))), row["id"].clone()));
        cold.push((median(|| drop(black_box(solve_cold(&supply, high)))), row["id"].clone()));
    }
    report("loaded", &mut loaded);
    report("cold", &mut cold);
}

/// The median time of a run, ms.
fn median(mut run: impl FnMut()) -> f64 {
    let mut times: Vec<f64> = (0..RUNS)
        .map(|_| {
            let start = Instant::now();
            run();
            start.elapsed().as_secs_f64() * 1e3
        })
        .collect();
    times.sort_by(f64::total_cmp);
    times[RUNS / 2]
}

/// Prints the median and the three slowest of all supplies.
fn report(what: &str, times: &mut [(f64, String)]) {
    times.sort_by(|a, b| a.0.total_cmp(&b.0));
    println!("{what}: median {:.2} ms over {} supplies", times[times.len() / 2].0, times.len());
    for (ms, id) in times.iter().rev().take(3) {
        println!("  slowest {id}: {ms:.2} ms");
    }
}
