//! Medians of repeated runs.

use std::process::{Command, Output};
use std::time::Instant;

/// The median of `runs` runs, seconds.
pub(crate) fn median(runs: usize, mut run: impl FnMut()) -> f64 {
    let mut times: Vec<f64> = (0..runs)
        .map(|_| {
            let start = Instant::now();
            run();
            start.elapsed().as_secs_f64()
        })
        .collect();
    times.sort_by(f64::total_cmp);
    times[runs / 2]
}

/// Runs a command to its end; a command that cannot be started or fails stops the comparison.
pub(crate) fn finished(command: &mut Command, may_exit: &[i32]) -> Output {
    let output = command.output().unwrap_or_else(|e| panic!("{}: {e}", command.get_program().display()));
    assert!(
        output.status.code().is_some_and(|code| may_exit.contains(&code)),
        "{}: {}\n{}",
        command.get_program().display(),
        output.status,
        String::from_utf8_lossy(&output.stderr)
    );
    output
}
