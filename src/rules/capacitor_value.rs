//! Film, mica, ceramic, tantalum and motor capacitors off their marked value.

use super::draft::find;
use super::held::{Held, is_over};
use super::say;
use super::{Rule, RuleMeta, Subject, Threshold};
use crate::model::finding::{Call, Finding, MeasureStage, OwnerCause};
use crate::model::kind::{PartKind, Place};
use crate::sources::SourceId;

/// Value of capacitors that are not electrolytic or paper.
#[derive(Debug)]
pub(super) struct CapacitorValue;

static GENERAL: Threshold = Threshold {
    key: "capacitor-value",
    default: 20.0,
    unit: "%",
    what: "reading off the marking, or the marked tolerance where that is wider",
    source: SourceId::ValueRule,
};

static CLOSE: Threshold = Threshold {
    key: "capacitor-value.close",
    default: 10.0,
    unit: "%",
    what: "reading off the marking where the value sets a frequency or a time",
    source: SourceId::ValueRule,
};

static MOTOR: Threshold = Threshold {
    key: "capacitor-value.motor",
    default: 10.0,
    unit: "%",
    what: "reading off the marking at a motor",
    source: SourceId::MotorPractice,
};

static META: RuleMeta = RuleMeta {
    id: "capacitor-value",
    title: "Capacitor off its marked value",
    what: "The reading of a film, mica, ceramic, tantalum, suppressor or motor capacitor against its marking: 10 % in \
           tuned, tone, timing and motor places, else 20 %, or the marked tolerance where that is wider.",
    why: "A value that has moved is a fault of its own and upsets what the place was made for.",
    not_where: "Electrolytics and paper, which have rules of their own. In circuit a reading that is high proves \
                nothing: the part beside it adds to it.",
    remedy: "Replace by the marked value, with the tolerance that the place asks for.",
    safety: "",
    thresholds: &[GENERAL, CLOSE, MOTOR],
    sources: &[SourceId::ValueRule, SourceId::MotorPractice],
    owner: Some(OwnerCause::Changed),
};

impl Rule for CapacitorValue {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn check(&self, subject: &Subject<'_>, findings: &mut Vec<Finding>) {
        let part = subject.part;
        if !part.kind.is_capacitor() || matches!(part.kind, PartKind::Electrolytic | PartKind::Paper) {
            return;
        }
        let Some((reads, marked)) = subject.reads_farad().zip(part.farad()) else { return };
        let off = (reads / marked - 1.0) * 100.0;
        let (held, limit) = limit(subject, off);
        let figure = format!(
            "reads {reads}, {} ({})",
            say::change_near(off, limit),
            say::limit(&format!("{limit} %"), held.from_shop)
        );
        let draft =
            |call, says: String| find(&META, held.source, call, says).against(off, limit, "%").shop(held.from_shop);
        if !is_over(off.abs(), limit) {
            draft(Call::Note, figure).add_to(findings);
        } else if off > 0.0 && part.read_in_circuit() {
            draft(Call::Test, format!("{figure}, in circuit: the part beside it adds to it"))
                .measure(MeasureStage::OutOfCircuit, "lift one end and read again")
                .add_to(findings);
        } else {
            draft(Call::Replace, figure).add_to(findings);
        }
    }
}

/// The limit for this place, at least the marked tolerance on the side that the reading is off to.
fn limit(subject: &Subject<'_>, off: f64) -> (Held, f64) {
    let held = match (subject.part.kind, subject.part.place) {
        (PartKind::MotorRun, _) | (_, Some(Place::Motor)) => subject.held(&MOTOR),
        (_, Some(Place::Tuned | Place::Tone | Place::Timing)) => subject.held(&CLOSE),
        _ => subject.held(&GENERAL),
    };
    let tolerance =
        subject.part.rating.tolerance.map_or(0.0, |t| if off > 0.0 { t.plus_percent } else { t.minus_percent });
    (held, held.value.max(tolerance))
}
