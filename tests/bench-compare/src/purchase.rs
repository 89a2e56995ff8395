//! `capjob plan` on the reference orders against SciPy's `milp` (HiGHS) on a model of its own.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::Instant;

use capjob::purchase::{Limits, solve};

use super::orders;
use super::times::{finished, median};
use super::{program, top};

/// Runs of the program on each order.
const RUNS: usize = 5;

/// Prints, order by order, the cost that both find and like held against like: building and solving alone, and the
/// whole process, which reads and judges here and starts Python there.
pub(crate) fn compare() {
    let orders = top().join("tests/data/purchase");
    let python = std::env::var("CAPJOB_PYTHON").unwrap_or_else(|_| "python3".to_owned());
    println!("purchase: the program (medians of {RUNS}) and SciPy milp: building and solving alone, whole process");
    let optima = orders::optima(&orders);
    for (order, _) in optima.iter().filter(|(name, _)| !name.starts_with('X')) {
        let folder = orders.join(order);
        let problem = orders::read(&folder);
        let alone = median(RUNS, || drop(solve(&problem, &Limits::default())));
        let ours = ours(&folder);
        let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("outside.py");
        let start = Instant::now();
        let said = finished(Command::new(&python).arg(script).arg(&folder), &[0]).stdout;
        let process = start.elapsed().as_secs_f64();
        let said = String::from_utf8_lossy(&said).trim().to_owned();
        let [_, landed, seconds] = said.split(',').collect::<Vec<_>>()[..] else { panic!("outside.py said {said:?}") };
        let theirs: f64 = seconds.parse().expect("seconds");
        println!(
            "  {order}  {:>7} {:6}  outside {landed:>7}  alone {alone:6.3} / {theirs:6.3} s = {:5.3}  process {:6.3} / {process:6.3} s = {:5.3}",
            ours.landed,
            if ours.proven { "proven" } else { "open" },
            alone / theirs,
            ours.seconds,
            ours.seconds / process
        );
    }
}

struct Ours {
    landed: String,
    proven: bool,
    seconds: f64,
}

fn ours(folder: &Path) -> Ours {
    let mut jobs: Vec<PathBuf> =
        std::fs::read_dir(folder).expect("an order").map(|e| e.expect("a job").path()).collect();
    jobs.retain(|p| p.file_name().is_some_and(|n| n.to_string_lossy().starts_with("job")));
    jobs.sort();
    let mut command = Command::new(program());
    command.arg("plan").args(jobs).arg("--shop").arg(folder.join("shop")).args(["--seconds", "5"]);
    let seconds = median(RUNS, || drop(finished(&mut command, &[0, 1])));
    let said = String::from_utf8(finished(command.arg("--json"), &[0, 1]).stdout).expect("JSON is UTF-8");
    Ours { landed: after(&said, "\"landed\":"), proven: after(&said, "\"proven\":") == "true", seconds }
}

/// The value after the first `key`: enough for two flat fields of our own document.
fn after(text: &str, key: &str) -> String {
    let value = text.split_once(key).map_or("", |t| t.1);
    value.trim_start().trim_start_matches('"').chars().take_while(|c| !"\",}\n ".contains(*c)).collect()
}
