//! What the readings do not show to be done: with any of it open the set is not shown to be ready.

use super::own::own_fit;
use super::row::{AfterRow, Read, What};
use super::{Check, Verification};
use crate::model::chassis::Job;
use crate::model::finding::{Decision, HoldReason, Judgement};
use crate::model::plan::{Inspection, Plan};

/// Why something is open.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum OpenKind {
    /// No power before it is done, and the readings say that it was not.
    Urgent,
    /// The plan has nothing to fit there, and nothing says what was.
    NotMet,
    /// To be tested further or found out, and not settled.
    Undecided,
    /// A transformer or choke that holds the job.
    Iron,
    /// A reading that the set must not go back without.
    NotRead,
}

impl OpenKind {
    /// The kind in machine output.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Urgent => "urgent",
            Self::NotMet => "not-met",
            Self::Undecided => "undecided",
            Self::Iron => "iron",
            Self::NotRead => "not-read",
        }
    }
}

/// One thing that is open.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Open {
    /// Why.
    pub kind: OpenKind,
    /// The part, or the key of the reading; of the iron what is said about it.
    pub what: String,
    /// Whether the set fails with it. Parts still to be tested and readings still to be taken alone are no failure:
    /// the set is then not shown to be ready. An urgent doubt and a touch current that was not read are one.
    pub fails: bool,
}

/// Everything that is open, by kind, parts in the order of the job.
pub(super) fn open(
    job: &Job,
    (inspection, plan): (&Inspection, &Plan),
    rows: &[AfterRow],
    checks: &[Check],
) -> Vec<Open> {
    let of_parts = job.parts.iter().filter_map(|part| {
        let judgement = inspection.judgements.iter().find(|j| j.reference == part.reference)?;
        let kind = of_part(judgement, (inspection, plan), (rows, checks))?;
        Some(Open { kind, what: part.reference.clone(), fails: judgement.urgent || kind != OpenKind::Undecided })
    });
    let iron = inspection.holds.iter().filter(|h| h.reason == HoldReason::Iron);
    let unread = checks.iter().filter(|c| c.expected.needed && c.read == Read::NotTaken);
    let mut list: Vec<Open> = of_parts
        .chain(iron.map(|h| Open { kind: OpenKind::Iron, what: h.says.clone(), fails: true }))
        .chain(unread.map(|c| Open {
            kind: OpenKind::NotRead,
            what: c.expected.what.key(),
            fails: matches!(c.expected.what, What::Touch(_)),
        }))
        .collect();
    list.sort_by_key(|open| open.kind);
    list
}

fn of_part(
    judgement: &Judgement,
    (inspection, plan): (&Inspection, &Plan),
    (rows, checks): (&[AfterRow], &[Check]),
) -> Option<OpenKind> {
    let reference = &judgement.reference;
    let said = rows.iter().find(|r| r.what == What::Done(reference.clone())).map(|r| r.read);
    if said == Some(Read::Yes) {
        return None;
    }
    let own = |c: &&Check| matches!(&c.expected.what, What::Reads(r) | What::Grid(r) if r == reference);
    let taken: Vec<&Check> = checks.iter().filter(own).filter(|c| c.read != Read::NotTaken).collect();
    let shown_good = taken.iter().any(|c| c.ok == Some(true));
    match judgement.decision {
        Decision::Replace if own_fit(plan, &inspection.job, reference).is_none() => Some(OpenKind::NotMet),
        // A reading that failed stands among the failures already.
        Decision::Test | Decision::FindOut if !judgement.urgent => taken.is_empty().then_some(OpenKind::Undecided),
        Decision::Test | Decision::FindOut => (!shown_good).then_some(OpenKind::Undecided),
        // The readings are of the time after the work: what the plan has done counts as done, unless
        // it was asked for part by part and not answered with yes.
        Decision::Replace | Decision::Reform | Decision::Omit | Decision::Disconnect | Decision::Keep => {
            (judgement.urgent && said.is_some()).then_some(OpenKind::Urgent)
        }
    }
}

impl Verification {
    /// Whether the set may go back: nothing failed and nothing is open.
    pub const fn ready(&self) -> bool {
        self.pass && self.open.is_empty()
    }

    /// What is open of one kind.
    pub fn open_of(&self, kind: OpenKind) -> Vec<&str> {
        self.open.iter().filter(|o| o.kind == kind).map(|o| o.what.as_str()).collect()
    }
}
