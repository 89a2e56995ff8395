//! What the terminal is like: its width, whether it wants colour; and printing that survives a closed pipe.

use std::io::{self, IsTerminal as _, Write as _};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{self, RecvTimeoutError, Sender};
use std::thread::{self, JoinHandle};
use std::time::Duration;

use super::args::{Color, Telling};
use super::exit::Failure;
use crate::export::safe::for_terminal;
use crate::export::text::Setting;

/// Widths below this are taken as this.
const LEAST_WIDTH: usize = 40;
/// Work that takes longer than this is told of while it lasts.
const LONG: Duration = Duration::from_millis(500);
/// Whether a line that tells of work under way stands on the terminal.
static UNDER_WAY: AtomicBool = AtomicBool::new(false);
/// Width of a terminal that does not tell its own.
const USUAL_WIDTH: usize = 80;

/// How to set text on stdout.
pub(super) fn setting(telling: &Telling) -> Setting {
    let terminal = io::stdout().is_terminal();
    let told = std::env::var("COLUMNS").ok().and_then(|c| c.parse::<usize>().ok()).filter(|c| *c > 0);
    let width = match (terminal, told) {
        (true, told) => Some(terminal_width().or(told).unwrap_or(USUAL_WIDTH)),
        (false, told) => told,
    };
    Setting { width: width.map(|w| w.max(LEAST_WIDTH)), colour: colour(telling.color, terminal) }
}

/// The terminal's own width, as the argument parser's terminal support reports it.
fn terminal_width() -> Option<usize> {
    terminal_size::terminal_size().map(|(width, _)| usize::from(width.0)).filter(|w| *w > 0)
}

fn colour(wish: Color, terminal: bool) -> bool {
    match wish {
        Color::Always => true,
        Color::Never => false,
        Color::Auto => {
            let refused = std::env::var_os("NO_COLOR").is_some_and(|v| !v.is_empty());
            let dumb = std::env::var_os("TERM").is_some_and(|v| v == "dumb");
            terminal && !refused && !dumb
        }
    }
}

/// Prints the result. A reader that has gone away is no error.
///
/// # Errors
/// Whatever else stdout refuses.
pub(super) fn result(text: &str) -> Result<(), Failure> {
    let mut out = io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(e) if e.kind() != io::ErrorKind::BrokenPipe => {
            Err(Failure::io(format!("error: cannot write to standard output: {e}")))
        }
        _ => Ok(()),
    }
}

/// Tells the person something that is not the result.
#[derive(Debug, Clone, Copy)]
pub(super) struct Reporter {
    level: u8,
}

impl Reporter {
    /// By the wish of the command line.
    pub(super) fn new(telling: &Telling) -> Self {
        Self { level: if telling.quiet { 0 } else { 1 + telling.verbose.min(2) } }
    }

    /// Whether progress is shown: on a terminal only, unless told to be quiet.
    pub(super) fn shows_progress(self) -> bool {
        self.level > 0 && io::stderr().is_terminal()
    }

    /// A note, unless told to be quiet.
    pub(super) fn note(self, text: &str) {
        self.at(1, text);
    }

    /// Why something is so, at `-v`.
    pub(super) fn why(self, text: &str) {
        self.at(2, text);
    }

    /// Timing and statistics, at `-vv`.
    pub(super) fn detail(self, text: &str) {
        self.at(3, text);
    }

    fn at(self, level: u8, text: &str) {
        if self.level >= level {
            error(text);
        }
    }
}

/// Prints on stderr; nothing can be done where that fails.
pub(super) fn error(text: &str) {
    clear_under_way();
    let mut err = io::stderr().lock();
    // What files and arguments hold never reaches the terminal as a control; our own line breaks do.
    let lines: Vec<String> = text.split('\n').map(for_terminal).collect();
    drop(writeln!(err, "{}", lines.join("\n")));
}

/// Tells on a terminal that work is under way, once it has lasted, and takes the line back at the end.
#[derive(Debug, Default)]
pub(super) struct UnderWay {
    ended: Option<Sender<()>>,
    telling: Option<JoinHandle<()>>,
}

impl UnderWay {
    /// From now on; silent off a terminal and when told to be quiet.
    pub(super) fn tell(what: &'static str, reporter: Reporter) -> Self {
        if reporter.level == 0 || !io::stderr().is_terminal() {
            return Self::default();
        }
        let (ended, wait) = mpsc::channel();
        let telling = thread::spawn(move || {
            if wait.recv_timeout(LONG) == Err(RecvTimeoutError::Timeout) {
                UNDER_WAY.store(true, Ordering::SeqCst);
                let mut err = io::stderr().lock();
                drop(write!(err, "\r{what}").and_then(|()| err.flush()));
                drop(err);
                // Nothing is ever sent: the end of the sender is the end of the work.
                if wait.recv().is_err() {
                    clear_under_way();
                }
            }
        });
        Self { ended: Some(ended), telling: Some(telling) }
    }
}

impl Drop for UnderWay {
    fn drop(&mut self) {
        drop(self.ended.take());
        if let Some(telling) = self.telling.take() {
            // A panic of that thread has been told of, and takes nothing from the result.
            drop(telling.join());
        }
    }
}

/// Wipes the line with blanks: not every terminal knows the sequence for it.
fn clear_under_way() {
    if UNDER_WAY.swap(false, Ordering::SeqCst) {
        let mut err = io::stderr().lock();
        drop(write!(err, "\r{}\r", " ".repeat(LEAST_WIDTH)).and_then(|()| err.flush()));
    }
}
