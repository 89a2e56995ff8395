//! The library's loaded supply against an ngspice run of the same circuit.

use std::hint::black_box;
use std::process::Command;

use capjob::physics::supply::solve_loaded;

use super::times::{finished, median};
use super::{deck, supply_cases};

/// Runs of each supply by the library, and by ngspice.
const RUNS: (usize, usize) = (15, 3);

/// Prints the ratio of times and the difference of the last node's mean voltage.
///
/// The comparison favours ngspice: it starts from the voltages that the library found, so that it needs
/// to follow the circuit for a few periods only, and its start-up is taken off.
pub(crate) fn compare() {
    let folder = std::env::temp_dir().join(format!("capjob-bench-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a folder for the decks");
    let file = folder.join("supply.cir");
    let start = median(RUNS.1, || {
        std::fs::write(&file, "nothing\nr1 1 0 1\nv1 1 0 1\n.op\n.end\n").expect("a deck");
        finished(Command::new("ngspice").arg("-b").arg(&file), &[0]);
    });
    println!("supply: library / ngspice, {} periods from the library's own voltages", deck::PERIODS);
    let (mut ratios, mut worst) = (Vec::new(), 0.0_f64);
    for row in &supply_cases::table("cases_public.csv") {
        let supply = supply_cases::supply(row);
        let ours = median(RUNS.0, || drop(black_box(solve_loaded(&supply))));
        let loaded = solve_loaded(&supply).expect("a loaded supply");
        std::fs::write(&file, deck::write(row, &loaded)).expect("a deck");
        let mut said = String::new();
        let theirs = median(RUNS.1, || {
            said = String::from_utf8_lossy(&finished(Command::new("ngspice").arg("-b").arg(&file), &[0]).stdout).into();
        }) - start;
        let mean = deck::mean(&said).unwrap_or_else(|| panic!("ngspice gave no mean: {said}"));
        let own = loaded.nodes.last().expect("a node").mean.get();
        worst = worst.max((mean / own - 1.0).abs());
        ratios.push(theirs / ours);
        println!(
            "  {}  {:7.2} ms / {:8.1} ms  1 : {:6.0}   last node {own:.2} V / {mean:.2} V",
            row["id"],
            ours * 1e3,
            theirs * 1e3,
            theirs / ours
        );
    }
    ratios.sort_by(f64::total_cmp);
    println!("  median 1 : {:.0}; the last node differs by at most {:.2} %,", ratios[ratios.len() / 2], worst * 100.0);
    println!("  most where slow filters have not settled in so few periods; accuracy is tested elsewhere");
    std::fs::remove_dir_all(&folder).expect("the folder of the decks");
}
