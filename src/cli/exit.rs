//! Exit codes and the failures that lead to them.

use std::fmt;
use std::process::ExitCode;

/// Done, all needs met.
pub(super) const DONE: u8 = 0;
/// Done, but something is not met: an unmet need, a part that does not fit, a failed check, a job on hold.
pub(super) const NOT_MET: u8 = 1;
/// Bad usage or bad input, or a file in the way; nothing was written.
pub(super) const BAD_INPUT: u8 = 2;
/// Something could not be read or written.
pub(super) const CANNOT_READ_OR_WRITE: u8 = 3;
/// A fault of the program.
pub(super) const INTERNAL: u8 = 70;
/// Interrupted.
pub(super) const INTERRUPTED: u8 = 130;

/// How a command ended when it ran to its end.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Outcome {
    /// All needs met.
    Done,
    /// Something is not met.
    NotMet,
}

impl From<Outcome> for ExitCode {
    fn from(outcome: Outcome) -> Self {
        Self::from(match outcome {
            Outcome::Done => DONE,
            Outcome::NotMet => NOT_MET,
        })
    }
}

/// Why a command did not run to its end, with its exit code.
#[derive(Debug)]
pub(super) struct Failure {
    /// Exit code.
    pub(super) code: u8,
    /// What is printed on stderr, complete lines.
    pub(super) text: String,
}

impl Failure {
    /// Bad input or usage.
    pub(super) fn input(text: impl Into<String>) -> Self {
        Self { code: BAD_INPUT, text: text.into() }
    }

    /// Something could not be read or written.
    pub(super) fn io(text: impl Into<String>) -> Self {
        Self { code: CANNOT_READ_OR_WRITE, text: text.into() }
    }

    /// A fault of the program.
    pub(super) fn internal(text: impl Into<String>) -> Self {
        Self { code: INTERNAL, text: text.into() }
    }
}

impl fmt::Display for Failure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

impl std::error::Error for Failure {}
