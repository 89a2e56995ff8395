//! Counting against planning, in turn, on the same file.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::measure;

/// Writes the catalog where it is not there yet, runs everything in turn and prints the ratios.
///
/// # Errors
/// A file cannot be written, or a program fails.
pub(crate) fn run(rows: u64, runs: u64) -> io::Result<()> {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    let root = here.join("../..").canonicalize()?;
    let sample = root.join("catalog-sample");
    let shop = large_shop(&sample, &here.join("target").join(format!("shop-{rows}")), rows)?;
    let catalog = shop.join("catalog").join("large.csv");
    let me = std::env::current_exe()?;
    let job = sample.join("jobs/hall-amplifier");
    let commands: Vec<(&str, Box<dyn Fn() -> Command>)> = vec![
        ("count, csv crate", Box::new(|| with(&me, &[Path::new("count"), &catalog]))),
        ("plan, sample's catalog", Box::new(|| plan(&root, &job, &sample))),
        ("plan, large catalog", Box::new(|| plan(&root, &job, &shop))),
    ];
    println!("{rows} offers, {:.1} MB, {runs} runs in turn", fs::metadata(&catalog)?.len() as f64 / 1e6);
    let mut times: Vec<Vec<f64>> = vec![Vec::new(); commands.len()];
    for _ in 0..runs {
        for ((_, command), times) in commands.iter().zip(&mut times) {
            times.push(measure::seconds(&mut command())?);
        }
    }
    let counting = times[0].clone();
    for ((name, command), times) in commands.iter().zip(times) {
        let ratios = times.iter().zip(&counting).map(|(time, count)| time / count).collect();
        let peak = measure::peak_mib(&mut command())?;
        let peak = peak.map_or("not known here".to_owned(), |mib| format!("{mib:.1} MiB"));
        println!("{name:24} {:7.3} s  {:5.2} x counting  peak {peak}", median(times), median(ratios));
    }
    Ok(())
}

/// The sample shop with the large catalog beside its own.
fn large_shop(sample: &Path, shop: &Path, rows: u64) -> io::Result<PathBuf> {
    let catalog = shop.join("catalog");
    fs::create_dir_all(&catalog)?;
    for (from, to) in [(sample.to_path_buf(), shop.to_path_buf()), (sample.join("catalog"), catalog.clone())] {
        for entry in fs::read_dir(from)? {
            let entry = entry?;
            if entry.file_type()?.is_file() {
                fs::copy(entry.path(), to.join(entry.file_name()))?;
            }
        }
    }
    let large = catalog.join("large.csv");
    if !large.exists() {
        crate::written(&large, rows)?;
    }
    Ok(shop.to_path_buf())
}

fn plan(root: &Path, job: &Path, shop: &Path) -> Command {
    with(&root.join("target/release/capjob"), &[Path::new("plan"), job, Path::new("--shop"), shop])
}

fn with(program: &Path, words: &[&Path]) -> Command {
    let mut command = Command::new(program);
    command.args(words);
    command
}

/// The middle one.
fn median(mut figures: Vec<f64>) -> f64 {
    figures.sort_by(f64::total_cmp);
    figures.get(figures.len() / 2).copied().unwrap_or(f64::NAN)
}
