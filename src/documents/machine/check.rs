//! The machine output of `check`.

use serde::Serialize;

use super::Common;
use super::needs::PointRow;
use crate::model::need::Verdict;

/// The whole document of `check`.
#[derive(Debug, Clone, Serialize)]
pub struct CheckDocument {
    /// Common keys.
    #[serde(flatten)]
    pub common: Common,
    /// The place.
    #[serde(rename = "ref")]
    pub reference: String,
    /// What was offered.
    pub offered: String,
    /// `fit`, `caution`, `unsuitable` or `barred`.
    pub answer: &'static str,
    /// Every point.
    pub points: Vec<PointRow>,
    /// Polarity, place and mounting; empty where it may not be used.
    pub notes: Vec<String>,
}

impl CheckDocument {
    /// From one verdict.
    pub fn new(checked: (&str, &str), verdict: &Verdict, notes: &[String], common: Common) -> Self {
        Self {
            common,
            reference: checked.0.to_owned(),
            offered: checked.1.to_owned(),
            answer: verdict.answer.word(),
            points: verdict.points.iter().map(PointRow::new).collect(),
            notes: if verdict.usable() { notes.to_vec() } else { Vec::new() },
        }
    }
}
