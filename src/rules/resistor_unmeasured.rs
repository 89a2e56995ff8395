//! Resistors that nobody has measured.

use super::draft::find;
use super::{Rule, RuleMeta, Subject};
use crate::model::finding::{Call, Finding, MeasureStage};
use crate::sources::SourceId;

/// Resistors without a reading.
#[derive(Debug)]
pub(super) struct ResistorUnmeasured;

static META: RuleMeta = RuleMeta {
    id: "resistor-unmeasured",
    title: "Resistor not measured",
    what: "A resistor without a reading.",
    why: "What was not measured is not taken as sound. A cold reading in circuit takes seconds and shows every one \
          that has gone high.",
    not_where: "Damage or stress that decides already.",
    remedy: "Read it cold, in circuit; lift one end only where it reads low.",
    safety: "DISCHARGE, THEN MEASURE.",
    thresholds: &[],
    sources: &[SourceId::MissingIsNotGood],
    owner: None,
};

impl Rule for ResistorUnmeasured {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn check(&self, subject: &Subject<'_>, findings: &mut Vec<Finding>) {
        let part = subject.part;
        if part.kind.is_resistor() && part.found.reads.is_none() {
            find(&META, SourceId::MissingIsNotGood, Call::Test, "not measured")
                .measure(MeasureStage::Cold, "read the resistance cold, in circuit")
                .add_to(findings);
        }
    }
}
