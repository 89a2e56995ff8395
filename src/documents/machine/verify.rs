//! The machine output of `verify`.

use serde::Serialize;

use super::Common;
use crate::model::chassis::Job;
use crate::model::plan::Plan;
use crate::verify::{Check, Read, Verification};

/// The whole document of `verify`.
#[derive(Debug, Clone, Serialize)]
pub struct VerifyDocument {
    /// Common keys.
    #[serde(flatten)]
    pub common: Common,
    mains_v: Option<f64>,
    checks: Vec<CheckRow>,
    /// What the readings do not show to be done; with any of it the answer is `fail`.
    open: Vec<OpenRow>,
    answer: &'static str,
}

/// One thing that is open.
#[derive(Debug, Clone, Serialize)]
struct OpenRow {
    /// `urgent`, `not-met`, `undecided`, `iron` or `not-read`.
    kind: &'static str,
    /// The part, the key of the reading, or what is said about the iron.
    what: String,
}

/// One check; figures in the SI unit named in `unit`.
#[derive(Debug, Clone, Serialize)]
struct CheckRow {
    what: String,
    expected: Option<f64>,
    /// Where there is no such figure, what it lies between.
    expected_from: Option<f64>,
    expected_to: Option<f64>,
    read: Option<f64>,
    /// `figure`, `open`, `short`, `yes`, `no` or `not-taken`.
    reading: &'static str,
    /// The bound that the reading is nearest to or beyond.
    limit: Option<f64>,
    low: Option<f64>,
    high: Option<f64>,
    unit: &'static str,
    /// `None`: not taken, or nothing to hold it against.
    ok: Option<bool>,
    says: String,
    source: &'static str,
    note: Option<String>,
}

impl VerifyDocument {
    /// From the checks and the plan and job that they were made for.
    pub fn new(job: &Job, plan: &Plan, verification: &Verification) -> Self {
        let own: Vec<_> = plan.inspections.iter().filter(|i| i.job == job.name).cloned().collect();
        Self {
            common: Common::new("verify", &own, &plan.assumed, plan.set_aside).with_diagnostics(&plan.diagnostics),
            mains_v: verification.mains.map(crate::units::Volt::get),
            checks: verification.checks.iter().map(CheckRow::new).collect(),
            open: verification
                .open
                .iter()
                .map(|open| OpenRow { kind: open.kind.word(), what: open.what.clone() })
                .collect(),
            answer: if verification.pass { "pass" } else { "fail" },
        }
    }
}

impl CheckRow {
    fn new(check: &Check) -> Self {
        let expected = &check.expected;
        let read = match check.read {
            Read::Figure(si, _) => Some(si),
            Read::Open | Read::Short | Read::Yes | Read::No | Read::NotTaken => None,
        };
        Self {
            what: expected.what.key(),
            expected: expected.figure,
            expected_from: expected.between.map(|(from, _)| from),
            expected_to: expected.between.map(|(_, to)| to),
            read,
            reading: match check.read {
                Read::Figure(..) => "figure",
                Read::Open => "open",
                Read::Short => "short",
                Read::Yes => "yes",
                Read::No => "no",
                Read::NotTaken => "not-taken",
            },
            limit: nearest(expected.low, expected.high, read.map(|si| expected.sign.of(si))),
            low: expected.low,
            high: expected.high,
            unit: expected.unit.word(),
            ok: check.ok,
            says: check.says.clone(),
            source: expected.source,
            note: check.note.clone(),
        }
    }
}

/// The bound that counts: the only one, or the one nearer to the reading.
fn nearest(low: Option<f64>, high: Option<f64>, read: Option<f64>) -> Option<f64> {
    match (low, high, read) {
        (Some(low), Some(high), Some(read)) => Some(if (read - low).abs() < (high - read).abs() { low } else { high }),
        (low, high, _) => high.or(low),
    }
}
