//! The machine output of `new`.

use serde::Serialize;

use super::Common;

/// What was started.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Started {
    /// The files, as paths; with `--dry-run` those that would be written.
    pub written: Vec<String>,
    /// The commands to go on with.
    pub next: Vec<String>,
}

/// The whole document of `new`.
#[derive(Debug, Clone, Serialize)]
pub struct NewDocument {
    /// Common keys.
    #[serde(flatten)]
    pub common: Common,
    /// What was started.
    #[serde(flatten)]
    pub started: Started,
}

impl NewDocument {
    /// From what was started.
    pub fn new(started: Started) -> Self {
        Self { common: Common::new("new", &[], &[], 0), started }
    }
}
