//! Resistors that have drifted: 20 % in general, less where the circuit asks for it.

use super::draft::find;
use super::held::Held;
use super::say;
use super::{Rule, RuleMeta, Subject, Threshold};
use crate::model::finding::{Call, Finding};
use crate::model::kind::Place;
use crate::physics::resistor::drift;
use crate::sources::SourceId;
use crate::units::Ohm;

/// Drift of resistors.
#[derive(Debug)]
pub(super) struct ResistorDrift;

static GENERAL: Threshold = Threshold {
    key: "resistor-drift",
    default: 20.0,
    unit: "%",
    what: "drift in general",
    source: SourceId::DriftByPlace,
};

static CRITICAL: Threshold = Threshold {
    key: "resistor-drift.critical",
    default: 10.0,
    unit: "%",
    what: "drift where it sets bias, screen or HT (cathode, bias, screen, dropper), or above 470 k",
    source: SourceId::DriftByPlace,
};

static PAIR: Threshold = Threshold {
    key: "resistor-drift.pair",
    default: 5.0,
    unit: "%",
    what: "drift in a matched pair and in equalisation",
    source: SourceId::DriftByPlace,
};

/// Above this value the closer limit holds.
const HIGH_VALUE: Ohm = Ohm::new(470_000.0);

static META: RuleMeta = RuleMeta {
    id: "resistor-drift",
    title: "Resistor drifted",
    what: "The reading against the marking: 20 % in general; 10 % where it sets bias, screen or HT, or is above 470 k; \
           5 % in pairs and in equalisation.",
    why: "Carbon composition goes high with age and heat, from 33 k up most of all, and takes the working point along.",
    not_where: "A low reading in circuit (resistor-low-in-circuit). High in circuit is high: a part beside it can only \
                pull the reading down.",
    remedy: "Replace by film of twice the dissipation and at least the old watts, and mind its working voltage. Measure \
             again after soldering nearby: heat shifts old composition parts.",
    safety: "",
    thresholds: &[GENERAL, CRITICAL, PAIR],
    sources: &[SourceId::DriftByPlace],
};

impl Rule for ResistorDrift {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn check(&self, subject: &Subject<'_>, findings: &mut Vec<Finding>) {
        let Some(off) = drift_percent(subject) else { return };
        let (held, why) = limit(subject);
        if low_in_circuit(subject) {
            return;
        }
        let reads = subject.reads_ohm().unwrap_or(Ohm::ZERO);
        let over = is_over(off, held.value);
        let remark = if !over && subject.part.read_in_circuit() { ", in circuit" } else { "" };
        let limit = say::limit(&format!("{} %{why}", held.value), held.from_shop);
        let says = format!("reads {reads}, {}{remark} ({limit})", say::change_near(off, held.value));
        find(&META, held.source, if over { Call::Replace } else { Call::Keep }, says).held(off, &held).add_to(findings);
    }
}

/// Drift of a resistor with value and reading, percent.
pub(crate) fn drift_percent(subject: &Subject<'_>) -> Option<f64> {
    let marked = subject.part.ohm()?;
    drift(marked, subject.reads_ohm()?).map(|share| share * 100.0)
}

/// The limit for this place and why it is that one.
pub(crate) fn limit(subject: &Subject<'_>) -> (Held, &'static str) {
    let part = subject.part;
    if part.pair.is_some() {
        return (subject.held(&PAIR), " in a pair");
    }
    match part.place {
        Some(Place::Tone) => (subject.held(&PAIR), " in equalisation"),
        Some(Place::Cathode | Place::Bias) => (subject.held(&CRITICAL), ", it sets bias"),
        Some(Place::Screen) => (subject.held(&CRITICAL), " at a screen"),
        Some(Place::Dropper) => (subject.held(&CRITICAL), ", it sets HT"),
        _ if part.ohm().is_some_and(|ohm| HIGH_VALUE < ohm) => (subject.held(&CRITICAL), " above 470 k"),
        _ => (subject.held(&GENERAL), ""),
    }
}

/// Whether a reading is beyond its limit to the low side and was taken in circuit.
pub(crate) fn low_in_circuit(subject: &Subject<'_>) -> bool {
    let (held, _) = limit(subject);
    let low = drift_percent(subject).is_some_and(|off| off < 0.0 && is_over(off, held.value));
    subject.part.kind.is_resistor() && low && subject.part.read_in_circuit()
}

/// Beyond a limit, a hair allowed so that exactly the limit stays whatever the last bit says.
fn is_over(off: f64, limit: f64) -> bool {
    limit + 1e-9 < off.abs()
}
