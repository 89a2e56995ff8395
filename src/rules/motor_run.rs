//! Capacitors at a motor: AC rated, on value, never electrolytic or DC film.

use super::draft::find;
use super::{Rule, RuleMeta, Subject};
use crate::model::finding::{Call, Finding, MeasureStage, OwnerCause};
use crate::model::kind::{PartKind, Place};
use crate::sources::SourceId;

/// Motor capacitors.
#[derive(Debug)]
pub(super) struct MotorRun;

static META: RuleMeta = RuleMeta {
    id: "motor-run",
    title: "Capacitor at a motor",
    what: "A capacitor at a motor without an AC rating: an electrolytic, or film and paper marked for DC. A motor \
           capacitor that was not read.",
    why: "It carries mains voltage, and more by resonance, all the time. A DC part fails there, often by fire.",
    not_where: "The value itself is judged by capacitor-value.",
    remedy: "A motor-run capacitor, AC rated at least as high, within 10 % of the value.",
    safety: "Mains wiring is for people qualified to do it; local codes and licensed practice come first.",
    thresholds: &[],
    sources: &[SourceId::MotorPractice],
    owner: Some(OwnerCause::Overloaded),
};

impl Rule for MotorRun {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn check(&self, subject: &Subject<'_>, findings: &mut Vec<Finding>) {
        let part = subject.part;
        let at_motor = part.place == Some(Place::Motor) && part.kind.is_capacitor();
        if part.kind != PartKind::MotorRun && !at_motor {
            return;
        }
        let dc_kind = matches!(part.kind, PartKind::Electrolytic | PartKind::Tantalum);
        let unrated = part.kind != PartKind::MotorRun && part.rating.vac.is_none();
        if dc_kind || unrated {
            let says = format!("{} at a motor without an AC rating: never a DC part here", part.kind);
            find(&META, SourceId::MotorPractice, Call::Replace, says).safety().urgent().add_to(findings);
        } else if subject.reads_farad().is_some() {
            find(&META, SourceId::MotorPractice, Call::Keep, "motor capacitor, read").add_to(findings);
        } else {
            find(&META, SourceId::MissingIsNotGood, Call::Test, "motor capacitor not read")
                .measure(MeasureStage::OutOfCircuit, "lift one end and read the capacitance")
                .add_to(findings);
        }
    }
}
