//! The program beside outside programs, on one machine in one run; ratios count, seconds are of the day.
//!
//! Build the program first (`cargo build --release`), then in this folder
//! `cargo run --release -- plan supply purchase`. Each word is one comparison:
//! - `plan`: the whole process of `capjob plan` on the sample jobs;
//! - `supply`: the library's loaded supply against an ngspice run of the same circuit (needs `ngspice`);
//! - `purchase`: the library's purchase and `capjob plan` on the reference orders against SciPy's `milp`, that is HiGHS
//!   (needs Python with SciPy; `CAPJOB_PYTHON` names the interpreter, else `python3`).
//!
//! `CAPJOB` names another binary than the repository's own release build.

#[path = "../../support/orders.rs"]
mod orders;
#[path = "../../supply_cases/mod.rs"]
mod supply_cases;

mod deck;
mod plan;
mod purchase;
mod supply;
mod times;

use std::path::PathBuf;

/// Top of the repository.
fn top() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// The binary that is measured.
fn program() -> PathBuf {
    std::env::var_os("CAPJOB").map_or_else(|| top().join("target/release/capjob"), PathBuf::from)
}

fn main() {
    let words: Vec<String> = std::env::args().skip(1).collect();
    if words.is_empty() {
        println!("say what to compare: plan supply purchase");
    }
    for word in &words {
        match word.as_str() {
            "plan" => plan::compare(),
            "supply" => supply::compare(),
            "purchase" => purchase::compare(),
            other => println!("{other}: not known; plan, supply or purchase"),
        }
    }
}
