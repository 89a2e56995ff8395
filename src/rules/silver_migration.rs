//! Mica with DC across it in a tuned circuit: silver creeps over its edge, so its leakage is read at voltage.

use super::draft::find;
use super::held::{is_over, is_under};
use super::say;
use super::{Rule, RuleMeta, Subject, Threshold};
use crate::model::finding::{Call, Finding, MeasureStage, OwnerCause};
use crate::model::kind::{PartKind, Place};
use crate::model::part::LeakageReading;
use crate::sources::SourceId;
use crate::units::Volt;

/// Silver migration in tuned mica.
#[derive(Debug)]
pub(super) struct SilverMigration;

static ACROSS: Threshold = Threshold {
    key: "silver-migration",
    default: 25.0,
    unit: "V",
    what: "DC across tuned mica from which its leakage is to be read",
    source: SourceId::SilverMigration,
};

static LEAKAGE: Threshold = Threshold {
    key: "silver-migration.leakage",
    default: 1.0,
    unit: "µA",
    what: "leakage of tuned mica up to which it stays",
    source: SourceId::SilverMigration,
};

static META: RuleMeta = RuleMeta {
    id: "silver-migration",
    title: "Mica with DC across it in a tuned circuit",
    what: "A mica capacitor, of a trimmer or padder too, in a tuned place that has DC across it and whose leakage was \
           not read at that voltage, or is too large.",
    why: "Under DC and damp the silver creeps over the edge of the mica. The part then crackles and pulls the tuned \
          circuit off, and a meter's few volts show nothing of it.",
    not_where: "Mica in other places, and tuned mica without DC across it. Where the DC is not known the rule says so \
                and asks for nothing.",
    remedy: "Read the leakage out of circuit at the working voltage. Over the limit: replace by silvered mica of the \
             same value, and align the circuit again.",
    safety: "The test puts the working voltage on the bench. DISCHARGE, THEN MEASURE, through a resistor.",
    thresholds: &[ACROSS, LEAKAGE],
    sources: &[SourceId::SilverMigration],
    owner: Some(OwnerCause::Passing),
};

impl Rule for SilverMigration {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn check(&self, subject: &Subject<'_>, findings: &mut Vec<Finding>) {
        let part = subject.part;
        if part.kind != PartKind::Mica || part.place != Some(Place::Tuned) {
            return;
        }
        if let Some(reading) = part.found.leakage
            && over(subject, reading, findings)
        {
            return;
        }
        let Some(across) = subject.stress.working.map(|known| known.value.abs()) else {
            find(&META, SourceId::MissingIsNotGood, Call::Note, "DC across tuned mica not known: its rule is off")
                .add_to(findings);
            return;
        };
        untested(subject, across, findings);
    }
}

/// Condemns a leakage over the limit, at whatever voltage it was read; tells whether it did.
fn over(subject: &Subject<'_>, reading: LeakageReading, findings: &mut Vec<Finding>) -> bool {
    let held = subject.held(&LEAKAGE);
    let micro = reading.current.abs().get() * 1e6;
    if !is_over(micro, held.value) {
        return false;
    }
    let limit = say::limit(&format!("{} µA", held.value), held.from_shop);
    let says = format!("tuned mica leaks {} ({limit}): silver has crept", reading.current.abs());
    find(&META, held.source, Call::Replace, says).held(micro, &held).add_to(findings);
    true
}

/// Asks for a reading at voltage where there is DC enough and none was taken at that voltage.
fn untested(subject: &Subject<'_>, across: Volt, findings: &mut Vec<Finding>) {
    let held = subject.held(&ACROSS);
    let tested = subject.part.found.leakage.and_then(|l| l.at).is_some_and(|at| across <= at.abs());
    if is_under(across.get(), held.value) || tested {
        return;
    }
    let limit = say::limit(&format!("from {} V", held.value), held.from_shop);
    let says = format!("tuned mica with {across} DC across it, leakage not read at that voltage ({limit})");
    find(&META, held.source, Call::Test, says)
        .held(across.get(), &held)
        .measure(MeasureStage::AtVoltage, "read the leakage at working voltage, out of circuit")
        .add_to(findings);
}
