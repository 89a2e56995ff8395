//! The whole process of `capjob plan` on the sample jobs.

use std::process::Command;

use super::times::{finished, median};
use super::{program, top};

/// Goal for the first sample job, milliseconds.
const GOAL_MS: f64 = 50.0;
/// Runs of each.
const RUNS: usize = 21;

/// Prints the median of each job, and of all in one order.
pub(crate) fn compare() {
    let shop = top().join("catalog-sample");
    let jobs = ["hall-amplifier", "lark-recorder", "corran-radiogram"];
    let sets: Vec<&[&str]> = jobs.chunks(1).chain(std::iter::once(&jobs[..])).collect();
    let start = 1e3 * median(RUNS, || drop(finished(Command::new(program()).arg("--version"), &[0])));
    println!("plan: whole process, median of {RUNS} runs; starting alone takes {start:.1} ms; goal {GOAL_MS} ms");
    for set in sets {
        let folders = set.iter().map(|job| shop.join("jobs").join(job));
        let mut command = Command::new(program());
        command.arg("plan").args(folders).arg("--shop").arg(&shop);
        let ms = 1e3 * median(RUNS, || drop(finished(&mut command, &[0, 1])));
        println!("  {ms:8.1} ms  {}", set.join(" + "));
    }
}
