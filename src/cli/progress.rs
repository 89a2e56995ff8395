//! Progress on the terminal, for readings that take more than half a second.

use std::io::{self, Write as _};
use std::time::{Duration, Instant};

use super::screen::Reporter;

/// Nothing is shown before.
const PATIENCE: Duration = Duration::from_millis(500);
/// Time between two tellings.
const STEP: Duration = Duration::from_millis(200);

/// Lines read so far, on one line of the terminal that is written over.
pub(super) struct Progress {
    wanted: bool,
    next: Instant,
    shown: bool,
}

impl Progress {
    /// From now on, where stderr is a terminal and the person does not want quiet.
    pub(super) fn new(reporter: Reporter) -> Self {
        Self { wanted: reporter.shows_progress(), next: Instant::now() + PATIENCE, shown: false }
    }

    /// Tells of so many lines, if it is time to.
    pub(super) fn tell(&mut self, lines: usize) {
        if self.wanted && self.next <= Instant::now() {
            self.next = Instant::now() + STEP;
            self.shown = true;
            write(&format!("\r{lines} catalog lines read"));
        }
    }

    /// Wipes the line, so that what is told next begins at its beginning.
    pub(super) fn wipe(&mut self) {
        if std::mem::take(&mut self.shown) {
            write("\r\u{1b}[K");
        }
    }
}

/// Writes on stderr; nothing can be done where that fails.
fn write(text: &str) {
    let mut err = io::stderr().lock();
    drop(err.write_all(text.as_bytes()).and_then(|()| err.flush()));
}
