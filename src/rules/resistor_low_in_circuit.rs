//! Resistors that read low with both ends connected: lift one end.

use super::draft::find;
use super::resistor_drift::{drift_percent, limit, low_in_circuit};
use super::say;
use super::{Rule, RuleMeta, Subject};
use crate::model::finding::{Call, Finding, MeasureStage, OwnerCause};
use crate::sources::SourceId;

/// Low readings in circuit.
#[derive(Debug)]
pub(super) struct ResistorLowInCircuit;

static META: RuleMeta = RuleMeta {
    id: "resistor-low-in-circuit",
    title: "Resistor reads low in circuit",
    what: "A reading below the marking by more than the drift limit of the place, taken with both ends connected.",
    why: "Other paths pull a reading down. Old resistors go high, hardly ever low.",
    not_where: "Readings with one end lifted, and high readings; those are judged by resistor-drift.",
    remedy: "Lift one end and read again. Nothing is ordered yet.",
    safety: "",
    thresholds: &[],
    sources: &[SourceId::LiftOneEnd],
    owner: Some(OwnerCause::Changed),
};

impl Rule for ResistorLowInCircuit {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn check(&self, subject: &Subject<'_>, findings: &mut Vec<Finding>) {
        if !low_in_circuit(subject) {
            return;
        }
        let (Some(off), Some(reads)) = (drift_percent(subject), subject.reads_ohm()) else { return };
        let (held, why) = limit(subject);
        let text = say::limit(&format!("{} %{why}", held.value), held.from_shop);
        let says = format!("reads {reads} in circuit, {} ({text}): parallel path?", say::change_near(off, held.value));
        find(&META, SourceId::LiftOneEnd, Call::Test, says)
            .held(off, &held)
            .measure(MeasureStage::OutOfCircuit, "lift one end and read again")
            .add_to(findings);
    }
}
