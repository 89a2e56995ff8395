//! Large catalogs: made-up offers by the million, and what planning with them costs beside only counting them.
//!
//! ```text
//! cargo build --release
//! cargo run --release --manifest-path tests/bench-catalog/Cargo.toml -- compare [ROWS] [RUNS]
//! ```
//!
//! `compare` writes a catalog of ROWS offers (1 000 000 unless told otherwise, about 120 MB) below the package's
//! `target`, then runs in turn, RUNS times (5): a program that only counts the records with the `csv` crate
//! (one record used again, a buffer of 256 KiB), `capjob plan` for the sample's hall amplifier with the sample's
//! own catalog, and the same with the large one beside it. It prints the median times, the median of the paired
//! ratios, and on Linux the peak memory of each. `generate ROWS FILE` only writes a catalog.

mod article;
mod compare;
mod dice;
mod generate;
mod measure;

use std::fs::File;
use std::io::{self, BufWriter};
use std::path::Path;
use std::process::ExitCode;

/// Writes a catalog of so many lines into a file.
fn written(file: &Path, rows: u64) -> io::Result<()> {
    generate::write(&mut BufWriter::with_capacity(1 << 20, File::create(file)?), rows)
}

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let number = |text: &str, else_is: u64| text.parse().unwrap_or(else_is);
    let done = match words.as_slice() {
        ["generate", rows, file] => written(Path::new(file), number(rows, 1_000_000)),
        ["count", file] => measure::count(Path::new(file)).map(|records| println!("{records}")),
        ["compare"] => compare::run(1_000_000, 5),
        ["compare", rows] => compare::run(number(rows, 1_000_000), 5),
        ["compare", rows, runs] => compare::run(number(rows, 1_000_000), number(runs, 5)),
        _ => {
            eprintln!("usage: compare [ROWS] [RUNS] | generate ROWS FILE | count FILE");
            return ExitCode::from(2);
        }
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("error: {error}");
            ExitCode::FAILURE
        }
    }
}
