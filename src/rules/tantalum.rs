//! Tantalum capacitors: kept on a reading.

use super::draft::find;
use super::{Rule, RuleMeta, Subject};
use crate::model::finding::{Call, Finding, MeasureStage, OwnerCause};
use crate::model::kind::PartKind;
use crate::sources::SourceId;

/// Tantalum capacitors.
#[derive(Debug)]
pub(super) struct Tantalum;

static META: RuleMeta = RuleMeta {
    id: "tantalum",
    title: "Tantalum capacitor",
    what: "A tantalum capacitor: it stays on a capacitance reading out of circuit and is to be read where there is \
           none.",
    why: "Tantalum fails short and without warning; it holds its value otherwise.",
    not_where: "Damage and readings off the marking have rules of their own (capacitor-damage, capacitor-value).",
    remedy: "Read it out of circuit.",
    safety: "",
    thresholds: &[],
    sources: &[SourceId::WorkshopHabit],
    owner: Some(OwnerCause::KindOrAge),
};

impl Rule for Tantalum {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn check(&self, subject: &Subject<'_>, findings: &mut Vec<Finding>) {
        if subject.part.kind != PartKind::Tantalum {
            return;
        }
        if subject.reads_farad().is_some() && !subject.part.read_in_circuit() {
            find(&META, SourceId::WorkshopHabit, Call::Keep, "tantalum, read out of circuit").add_to(findings);
        } else {
            find(&META, SourceId::MissingIsNotGood, Call::Test, "tantalum, not read out of circuit")
                .measure(MeasureStage::OutOfCircuit, "lift one end and read capacitance, or ESR with its frequency")
                .add_to(findings);
        }
    }
}
