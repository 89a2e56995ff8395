//! Parts that read open or short.

use super::draft::find;
use super::{Rule, RuleMeta, Subject};
use crate::model::finding::{Call, Finding, MeasureStage, OwnerCause};
use crate::model::kind::PartKind;
use crate::model::part::{Part, Reading};
use crate::sources::SourceId;

/// Open and shorted parts.
#[derive(Debug)]
pub(super) struct ReadsDead;

static META: RuleMeta = RuleMeta {
    id: "reads-dead",
    title: "Part reads open or short",
    what: "A reading of `open` or `short`. In circuit only open counts on its own; a short may be the part beside it.",
    why: "The part does nothing, or passes everything.",
    not_where: "Fuses, lamps and leads, whose good reading is a short circuit from end to end.",
    remedy: "Replace. Behind a shorted capacitor look at the resistor that feeds it and the rectifier.",
    safety: "The set is not powered while a capacitor is shorted.",
    thresholds: &[],
    sources: &[SourceId::WorkshopHabit, SourceId::LiftOneEnd],
    owner: Some(OwnerCause::Dead),
};

impl Rule for ReadsDead {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn check(&self, subject: &Subject<'_>, findings: &mut Vec<Finding>) {
        let part = subject.part;
        match part.found.reads {
            Some(Reading::Open) => {
                find(&META, SourceId::WorkshopHabit, Call::Replace, "reads open").add_to(findings);
            }
            Some(Reading::Short) if !through_is_good(part.kind) => short(part, findings),
            _ => {}
        }
    }
}

/// Whether a short circuit from end to end is what a good part shows.
const fn through_is_good(kind: PartKind) -> bool {
    matches!(kind, PartKind::Fuse | PartKind::Lamp | PartKind::Lead)
}

/// A short, which in circuit may be a part beside it.
fn short(part: &Part, findings: &mut Vec<Finding>) {
    let value_part = part.kind.is_capacitor() || part.kind.is_resistor();
    if value_part && part.read_in_circuit() {
        find(&META, SourceId::LiftOneEnd, Call::Test, "reads short in circuit: it or a part beside it")
            .urgent()
            .measure(MeasureStage::OutOfCircuit, "lift one end and read again")
            .add_to(findings);
    } else {
        find(&META, SourceId::WorkshopHabit, Call::Replace, "reads short").urgent().add_to(findings);
    }
}
