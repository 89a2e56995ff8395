//! Times of processes, their peak memory, and the counting that everything is compared with.

use std::fs::File;
use std::io;
use std::path::Path;
use std::process::{Command, Stdio};
use std::thread::sleep;
use std::time::{Duration, Instant};

/// Counts the records of a CSV file, and does nothing else with them.
///
/// # Errors
/// The file cannot be read.
pub(crate) fn count(file: &Path) -> io::Result<u64> {
    let mut reader =
        csv::ReaderBuilder::new().buffer_capacity(256 * 1024).flexible(true).from_reader(File::open(file)?);
    let mut record = csv::ByteRecord::new();
    let mut records = 0;
    while reader.read_byte_record(&mut record).map_err(io::Error::other)? {
        records += 1;
    }
    Ok(records)
}

/// Wall seconds of a command, its output thrown away. An exit code of 1 is a result, not a failure:
/// something in the job is not met.
///
/// # Errors
/// It cannot be started, or ends with another exit code.
pub(crate) fn seconds(command: &mut Command) -> io::Result<f64> {
    let start = Instant::now();
    let status = command.stdout(Stdio::null()).stderr(Stdio::null()).status()?;
    let took = start.elapsed().as_secs_f64();
    match status.code() {
        Some(0 | 1) => Ok(took),
        _ => Err(io::Error::other(format!("{command:?} ended with {status}"))),
    }
}

/// The peak resident memory of a command in MiB, from the kernel's own record; Linux only, `None` elsewhere.
///
/// # Errors
/// It cannot be started.
pub(crate) fn peak_mib(command: &mut Command) -> io::Result<Option<f64>> {
    let mut child = command.stdout(Stdio::null()).stderr(Stdio::null()).spawn()?;
    let record = format!("/proc/{}/status", child.id());
    let mut most = None;
    while child.try_wait()?.is_none() {
        // The record holds the highest so far, so that the last look before the end is the one that counts.
        let kib = std::fs::read_to_string(&record).ok().and_then(|text| {
            let line = text.lines().find_map(|l| l.strip_prefix("VmHWM:"))?;
            line.trim().trim_end_matches("kB").trim().parse::<f64>().ok()
        });
        most = kib.map(|k| k / 1024.0).or(most);
        sleep(Duration::from_millis(1));
    }
    Ok(most)
}
