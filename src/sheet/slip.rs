//! What the next one at this chassis must know: left inside it.

use super::steps::{Action, Step};
use crate::model::chassis::Job;
use crate::model::finding::{Decision, How};
use crate::model::kind::PartKind;
use crate::model::part::{Part, Reading};
use crate::model::plan::{Fitting, Inspection};
use crate::units::Volt;

/// One change.
#[derive(Debug, Clone, PartialEq)]
pub struct Change {
    /// The part as it was.
    pub part: Part,
    /// What is there now; `None`: out of use.
    pub now: Option<Fitting>,
    /// How it was done.
    pub how: Option<How>,
    /// Whether it stays in its place, disconnected.
    pub left_in_place: bool,
}

/// A part that stays although it reads off its marking.
#[derive(Debug, Clone, PartialEq)]
pub struct OffValue {
    /// The part.
    pub part: Part,
    /// What it read.
    pub reads: Reading,
}

/// The slip.
#[derive(Debug, Clone, PartialEq)]
pub struct Slip {
    /// What was changed.
    pub changes: Vec<Change>,
    /// Resistors kept off their marking by more than a tenth.
    pub off_value: Vec<OffValue>,
    /// Valves by position and designation, as they belong.
    pub valves: Vec<(String, String)>,
    /// Fuses by position and designation.
    pub fuses: Vec<(String, String)>,
    /// Mains tapping.
    pub tapping: Option<Volt>,
}

/// Writes the slip from the steps.
pub fn slip(job: &Job, inspection: &Inspection, steps: &[Step]) -> Slip {
    let named = |kind: PartKind| -> Vec<(String, String)> {
        let of_kind = job.parts.iter().filter(|p| p.kind == kind);
        of_kind.map(|p| (p.reference.clone(), p.designation().unwrap_or(&p.marked).to_owned())).collect()
    };
    let place = |c: &Change| job.parts.iter().position(|p| p.reference == c.part.reference);
    let mut changes: Vec<Change> = steps.iter().filter_map(change).collect();
    changes.sort_by_key(place);
    Slip {
        changes,
        off_value: off_value(job, inspection),
        valves: named(PartKind::Valve),
        fuses: named(PartKind::Fuse),
        tapping: job.chassis.mains.tapping,
    }
}

fn change(step: &Step) -> Option<Change> {
    let (now, left_in_place) = match &step.action {
        Action::Fit(fit) => (Some((**fit).clone()), false),
        Action::TakeOut => (None, false),
        Action::Disconnect => (None, true),
        Action::NotMet(_) | Action::Reform | Action::Settle(_) => return None,
    };
    Some(Change { part: step.part.clone(), now, how: step.how, left_in_place })
}

fn off_value(job: &Job, inspection: &Inspection) -> Vec<OffValue> {
    let kept = inspection.judgements.iter().filter(|j| j.decision == Decision::Keep);
    kept.filter_map(|j| job.part(&j.reference))
        .filter_map(|part| {
            let (marked, Some(Reading::Ohm(read))) = (part.ohm()?, part.found.reads) else { return None };
            let off = (read.get() - marked.get()).abs() > 0.1 * marked.get();
            (off && !part.read_in_circuit()).then(|| OffValue { part: part.clone(), reads: Reading::Ohm(read) })
        })
        .collect()
}
