//! The machine output of `check`.

use serde::Serialize;

use super::Common;
use super::needs::PointRow;
use crate::model::need::Verdict;
use crate::model::plan::Inspection;

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
}

impl CheckDocument {
    /// From one verdict.
    pub fn new(inspection: &Inspection, checked: (&str, &str), verdict: &Verdict, assumed: &[String]) -> Self {
        Self {
            common: Common::new("check", std::slice::from_ref(inspection), assumed, 0),
            reference: checked.0.to_owned(),
            offered: checked.1.to_owned(),
            answer: verdict.answer.word(),
            points: verdict.points.iter().map(PointRow::new).collect(),
        }
    }
}
