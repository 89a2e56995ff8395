//! The readings after the work against what the plan leads to expect: pass or fail, line by line.
//!
//! A reading that was not taken never passes. The set goes back only when nothing failed and nothing is open: both
//! touch readings are there, what is urgent is said to be done, and what was to be found out is settled.

mod bias;
pub mod expected;
mod grids;
pub mod limits;
pub mod open;
pub(crate) mod own;
pub mod row;

use crate::model::chassis::Job;
use crate::model::finding::Decision;
use crate::model::plan::{Inspection, Plan};
use crate::units::Volt;

pub use expected::{Expected, Sign};
pub use open::{Open, OpenKind};
pub use row::{AfterRow, Read, Unit, What};

/// Why readings cannot be held against a plan.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum VerifyError {
    /// The job is not in the plan.
    #[error("job '{job}' is not in the plan")]
    NotPlanned {
        /// The job.
        job: String,
    },
    /// A node or part that the job does not have.
    #[error("'{what}' names no node or part of this job")]
    Unknown {
        /// The key.
        what: String,
    },
    /// The same reading twice.
    #[error("'{what}' is there twice")]
    Twice {
        /// The key.
        what: String,
    },
    /// A reading in a unit that cannot be compared.
    #[error("'{what}' is read in {got}; expected {wanted}")]
    Unit {
        /// The key.
        what: String,
        /// As read.
        got: &'static str,
        /// What would do.
        wanted: &'static str,
    },
}

/// One reading, judged.
#[derive(Debug, Clone, PartialEq)]
pub struct Check {
    /// What was expected.
    pub expected: Expected,
    /// The reading.
    pub read: Read,
    /// Whether it is within its limits; `None` where it was not taken or has no limit.
    pub ok: Option<bool>,
    /// What is to be said about it.
    pub says: String,
    /// The remark beside the reading.
    pub note: Option<String>,
}

/// All readings, judged.
#[derive(Debug, Clone, PartialEq)]
pub struct Verification {
    /// The job's name.
    pub job: String,
    /// Readings, in the order in which they are taken.
    pub checks: Vec<Check>,
    /// The mains while they were taken, where written down.
    pub mains: Option<Volt>,
    /// What the readings do not show to be done.
    pub open: Vec<Open>,
    /// Nothing failed, and nothing that is open is a failure; see [`Verification::ready`].
    pub pass: bool,
}

/// Holds the readings of one job against its plan.
///
/// # Errors
/// Readings that the job does not know, that stand twice or in a wrong unit; see [`VerifyError`].
pub fn verify(job: &Job, plan: &Plan, rows: &[AfterRow]) -> Result<Verification, VerifyError> {
    let inspection = plan
        .inspections
        .iter()
        .find(|i| i.job == job.name)
        .ok_or_else(|| VerifyError::NotPlanned { job: job.name.clone() })?;
    refuse_doubles(rows)?;
    let mains = rows.iter().find(|r| r.what == What::Mains).and_then(volts);
    let mut checks = Vec::new();
    for expected in expected::expected(job, inspection, plan, mains) {
        let row = rows.iter().find(|r| r.what == expected.what);
        if row.is_none() && !expected.due {
            continue;
        }
        checks.push(check(job, expected, row, rows)?);
    }
    for row in rows.iter().filter(|r| r.what != What::Mains) {
        if !checks.iter().any(|c| c.expected.what == row.what) {
            checks.push(unjudged(job, inspection, row)?);
        }
    }
    let open = open::open(job, (inspection, plan), rows, &checks);
    let pass = open.iter().all(|o| !o.fails) && checks.iter().all(|c| c.ok != Some(false));
    Ok(Verification { job: job.name.clone(), checks, mains, open, pass })
}

fn refuse_doubles(rows: &[AfterRow]) -> Result<(), VerifyError> {
    let double = rows.iter().enumerate().find(|(n, r)| rows.iter().take(*n).any(|before| before.what == r.what));
    double.map_or(Ok(()), |(_, row)| Err(VerifyError::Twice { what: row.what.key() }))
}

fn volts(row: &AfterRow) -> Option<Volt> {
    match row.read {
        Read::Figure(si, Unit::Volt) => Some(Volt::new(si)),
        _ => None,
    }
}

/// A reading of the job that nothing is expected of: shown, not judged.
fn unjudged(job: &Job, inspection: &Inspection, row: &AfterRow) -> Result<Check, VerifyError> {
    let known = match &row.what {
        What::Grid(part) | What::Reads(part) | What::Done(part) => job.part(part).is_some(),
        What::Node(node) | What::Ripple(node) => {
            let of_parts = job.parts.iter().any(|p| p.touches(node));
            of_parts || job.chassis.supplies.iter().any(|s| s.nodes.iter().any(|n| n.name == *node))
        }
        _ => true,
    };
    if !known {
        return Err(VerifyError::Unknown { what: row.what.key() });
    }
    let gone = match &row.what {
        What::Reads(part) => inspection
            .judgements
            .iter()
            .any(|j| j.reference == *part && matches!(j.decision, Decision::Omit | Decision::Disconnect)),
        _ => false,
    };
    let unit = match row.read {
        Read::Figure(_, unit) => unit,
        _ => Unit::Volt,
    };
    let says = match (&row.what, row.read) {
        (What::Done(_), Read::Yes) => "",
        (What::Done(_), Read::No) => "not done",
        _ if gone => "this part was to be taken out of use",
        (_, Read::NotTaken) => "not measured",
        _ => "nothing to compare it with",
    };
    let expected = Expected::open(row.what.clone(), unit);
    Ok(Check { expected, read: row.read, ok: None, says: says.to_owned(), note: row.note.clone() })
}

fn check(job: &Job, expected: Expected, row: Option<&AfterRow>, rows: &[AfterRow]) -> Result<Check, VerifyError> {
    let note = row.and_then(|r| r.note.clone());
    let read = row.map_or(Read::NotTaken, |r| r.read);
    let expected = grids::against_reading(job, fit_to(expected, read, rows)?, rows);
    let ok = match read {
        Read::NotTaken | Read::Yes | Read::No => None,
        Read::Open | Read::Short => Some(read == Read::Open && expected.what == What::Cold),
        Read::Figure(si, _) if expected.sign.is_reversed(si) => Some(false),
        // Without a limit a figure is shown and not judged.
        Read::Figure(..) if expected.low.is_none() && expected.high.is_none() => None,
        Read::Figure(si, _) => {
            let si = expected.sign.of(si);
            Some(expected.low.is_none_or(|low| low <= si) && expected.high.is_none_or(|high| si <= high))
        }
    };
    let says = says(&expected, read, ok);
    Ok(Check { expected, read, ok, says, note })
}

/// Takes the limits over into the unit of the reading where it may be taken in another.
fn fit_to(expected: Expected, read: Read, rows: &[AfterRow]) -> Result<Expected, VerifyError> {
    let Read::Figure(_, got) = read else { return Ok(expected) };
    match (&expected.what, got) {
        (What::Touch(_), Unit::Volt | Unit::Ampere) => {
            let [one, two] = expected::touch(got);
            Ok(if expected.what == one.what { one } else { two })
        }
        (What::Hum, Unit::Volt) => Ok(Expected { high: output_volts(rows).map(|v| v / limits::HUM_TIMES), ..expected }),
        (What::Power, Unit::Watt | Unit::Volt) => Ok(Expected { unit: got, ..expected }),
        (_, got) if got == expected.unit => Ok(expected),
        (what, got) => {
            let wanted = if matches!(what, What::Touch(_)) { "mA or V" } else { expected.unit.word() };
            Err(VerifyError::Unit { what: what.key(), got: got.word(), wanted })
        }
    }
}

/// The output voltage at clipping, as read or from the watts and the load in the remark beside them.
fn output_volts(rows: &[AfterRow]) -> Option<f64> {
    let row = rows.iter().find(|r| r.what == What::Power)?;
    match row.read {
        Read::Figure(volts, Unit::Volt) => Some(volts.abs()),
        Read::Figure(watts, Unit::Watt) => {
            load_ohm(row.note.as_deref()?).map(|ohm| (watts.abs() * ohm).sqrt()).filter(|v| v.is_finite())
        }
        _ => None,
    }
}

/// The load in a remark such as `into 15 ohm at 1 kHz`.
fn load_ohm(note: &str) -> Option<f64> {
    let words: Vec<&str> = note.split_whitespace().collect();
    words.windows(2).find_map(|pair| {
        let [number, unit] = pair else { return None };
        let is_ohm = matches!(unit.trim_end_matches([',', ';', '.']), "ohm" | "ohms" | "\u{3a9}" | "\u{2126}");
        number.parse::<f64>().ok().filter(|ohm| is_ohm && 0.0 < *ohm && ohm.is_finite())
    })
}

/// What the reading means.
fn says(expected: &Expected, read: Read, ok: Option<bool>) -> String {
    let failed = match &expected.what {
        What::Touch(_) => {
            "not to be returned: look at capacitors from the mains to the chassis and at the mains transformer's insulation, then repeat"
        }
        What::Cold => "not to be plugged in",
        What::Grid(_) => "the coupling capacitor passes current, or the valve draws grid current",
        What::Ripple(_) => "more than the new capacitors should leave",
        What::Hum => "more than 60 dB below the output would be",
        What::Node(_) | What::Bias | What::Reads(_) | What::Power | What::Mains | What::Done(_) => "outside its limits",
    };
    match (ok, read, &expected.what) {
        (Some(false), Read::Figure(si, Unit::Volt), _) if expected.sign.is_reversed(si) => reversed(expected.sign, si),
        (Some(false), ..) => format!("{failed}{}", touch_current(expected, read)),
        (None, Read::NotTaken, _) if expected.needed => "not measured; not to be returned without it".to_owned(),
        (None, Read::NotTaken, _) => "not measured".to_owned(),
        (None, ..) => "no limit known".to_owned(),
        (Some(true), Read::Figure(si, Unit::Volt), What::Touch(_)) if limits::TOUCH_STRICT_V < si.abs() => {
            "passes; one maker allows no more than 0.35 V".to_owned()
        }
        (Some(true), Read::Figure(si, Unit::Volt), What::Grid(_)) if below_rest(expected, si) => {
            "below its rest, which no leakage does: the valve's own contact current through its grid leak, or a signal"
                .to_owned()
        }
        (Some(true), ..) => String::new(),
    }
}

/// A reading on the wrong side of the chassis.
fn reversed(sign: Sign, si: f64) -> String {
    let read = Unit::Volt.shown(si.abs());
    match sign {
        Sign::Below => format!(
            "WRONG POLARITY: it must be below the chassis and reads {read} above it: no power to the output stage; look \
             at the rectifier and the capacitors of this supply (where the meter showed minus, write -{read})"
        ),
        Sign::Size | Sign::AsRead | Sign::Above => format!(
            "WRONG POLARITY: it must be above the chassis and reads {read} below it: look at the rectifier and the \
             capacitors of this supply, or at the meter's leads"
        ),
    }
}

/// Whether a grid is under its voltage of rest by more than it might be above it.
fn below_rest(expected: &Expected, si: f64) -> bool {
    let rest = expected.figure.unwrap_or(0.0);
    expected.high.is_some_and(|high| si < rest - (high - rest))
}

/// The current behind a touch reading in volts.
fn touch_current(expected: &Expected, read: Read) -> String {
    match (&expected.what, read) {
        (What::Touch(_), Read::Figure(volts, Unit::Volt)) => {
            let current = Unit::Ampere.shown(volts.abs() / limits::TOUCH_OHM);
            format!(" ({current} through the test network)")
        }
        _ => String::new(),
    }
}
