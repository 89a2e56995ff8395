//! What speaks for keeping an electrolytic, and what is missing for that.

use super::draft::find;
use super::electrolytic_capacitance::LOW;
use super::electrolytic_high::reads_high;
use super::leak::{Leak, assess, minutes};
use super::{Rule, RuleMeta, Subject, Threshold};
use crate::limits::leakage::VINTAGE_AFTER;
use crate::model::finding::{Call, Finding, MeasureStage};
use crate::model::kind::Place;
use crate::sources::SourceId;

/// Readings that an electrolytic needs to stay.
#[derive(Debug)]
pub(super) struct ElectrolyticReadings;

static HIGH_VOLTAGE: Threshold = Threshold {
    key: "electrolytic-readings",
    default: 100.0,
    unit: "V",
    what: "rated voltage from which the part stays on a leakage reading only",
    source: SourceId::OurElectrolyticRule,
};

static META: RuleMeta = RuleMeta {
    id: "electrolytic-readings",
    title: "Readings that an electrolytic needs to stay",
    what: "An HT electrolytic stays only on a leakage reading near its working voltage; one rated below 100 V on that, \
           or on capacitance or ESR with its frequency, out of circuit. Without them it is to be tested.",
    why: "No reading is not good. On HT parts leakage decides, and a good capacitance says nothing on it.",
    not_where: "Where damage, a failing reading or age decides already, the missing reading changes nothing. Museum \
                pieces are reformed first (electrolytic-reform).",
    remedy: "Take the reading named.",
    safety: "The leakage test puts the full HT on the bench. DISCHARGE, THEN MEASURE.",
    thresholds: &[HIGH_VOLTAGE],
    sources: &[SourceId::OurElectrolyticRule, SourceId::MissingIsNotGood],
    owner: None,
};

impl Rule for ElectrolyticReadings {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn check(&self, subject: &Subject<'_>, findings: &mut Vec<Finding>) {
        if !subject.is_electrolytic() || subject.part.place == Some(Place::Motor) {
            return;
        }
        let say = |source, call, says| {
            let held = subject.held(&HIGH_VOLTAGE);
            let draft = find(&META, source, call, says);
            match subject.rated_or_working() {
                Some(volts) => draft.held(volts.get(), &held),
                None => draft,
            }
        };
        if enough(subject) {
            say(SourceId::OurElectrolyticRule, Call::Keep, "the readings that it needs to stay are there and good")
                .add_to(findings);
        } else if nothing_said(subject) && !super::electrolytic_reform::reformable(subject) {
            let draft = say(SourceId::MissingIsNotGood, Call::Test, missing(subject));
            if is_high_voltage(subject) {
                draft.measure(MeasureStage::AtVoltage, leakage_reading(subject)).add_to(findings);
            } else {
                draft
                    .measure(MeasureStage::OutOfCircuit, "lift one end and read capacitance, or ESR with its frequency")
                    .add_to(findings);
            }
        }
    }
}

/// Whether the leakage reading has not been judged already, for or against the part.
fn nothing_said(subject: &Subject<'_>) -> bool {
    matches!(assess(subject), Leak::Missing | Leak::NoLimit | Leak::TooLow(_))
}

/// Whether enough was read, and was good, for the part to stay.
pub(crate) fn enough(subject: &Subject<'_>) -> bool {
    if matches!(assess(subject), Leak::Good(_)) {
        return true;
    }
    if is_high_voltage(subject) || !matches!(assess(subject), Leak::Missing | Leak::TooLow(_)) {
        return false;
    }
    let capacitance = subject.reads_farad().zip(subject.part.farad()).is_some_and(|(reads, marked)| {
        subject.held(&LOW).value <= reads / marked * 100.0 && !reads_high(subject) && !subject.part.read_in_circuit()
    });
    capacitance || super::electrolytic_esr::good(subject)
}

/// Whether leakage decides: rated from 100 V on, or of unknown rating outside cathode and bias places.
fn is_high_voltage(subject: &Subject<'_>) -> bool {
    match subject.rated_or_working() {
        Some(volts) => subject.held(&HIGH_VOLTAGE).value <= volts.get(),
        None => !matches!(subject.part.place, Some(Place::Cathode | Place::Bias)),
    }
}

/// The leakage reading to take, with its voltage and minutes.
pub(crate) fn leakage_reading(subject: &Subject<'_>) -> String {
    let after = minutes(super::leak::limit(subject).map_or(VINTAGE_AFTER.value, |l| l.after));
    match subject.leakage_reference() {
        Some(volts) => format!("read the leakage at {volts} after {after}, out of circuit"),
        None => format!("find its working voltage and read the leakage there after {after}, out of circuit"),
    }
}

/// What was not read.
fn missing(subject: &Subject<'_>) -> &'static str {
    let found = &subject.part.found;
    match (found.leakage.is_some(), found.reads.is_some() || found.esr.is_some()) {
        (false, false) if found.sight.is_empty() => "not measured and not looked at",
        (false, false) => "not measured",
        (false, true) => "leakage not measured, and nothing else that was read speaks for it",
        (true, _) => "no reading that counts for it",
    }
}
