//! Resistors that have drifted: 20 % in general, less where the circuit asks for it.

use super::draft::find;
use super::held::{Held, is_over};
use super::say;
use super::{Rule, RuleMeta, Subject, Threshold};
use crate::model::finding::{Call, Finding, MeasureStage, OwnerCause};
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
    what: "drift where it sets bias, screen or HT (cathode, bias, screen, dropper), or in high values",
    source: SourceId::DriftByPlace,
};

static PAIR: Threshold = Threshold {
    key: "resistor-drift.pair",
    default: 5.0,
    unit: "%",
    what: "drift in a matched pair and in equalisation",
    source: SourceId::DriftByPlace,
};

static HIGH_VALUE: Threshold = Threshold {
    key: "resistor-drift.high-value",
    default: 470.0,
    unit: "k",
    what: "value above which the closer limit holds, in kilohms",
    source: SourceId::DriftByPlace,
};

/// From this share of its limit on, a high reading in circuit proves nothing (our own rule).
const NEARLY: f64 = 0.75;

static META: RuleMeta = RuleMeta {
    id: "resistor-drift",
    title: "Resistor drifted",
    what: "The reading against the marking: 20 % in general; 10 % where it sets bias, screen or HT, or is above 470 k; \
           5 % in pairs and in equalisation.",
    why: "Carbon composition goes high with age and heat, from 33 k up most of all, and takes the working point along.",
    not_where: "A low reading in circuit (resistor-low-in-circuit). High in circuit is high: a part beside it can only \
                pull the reading down; from three quarters of the limit on, one end is lifted before it stays.",
    remedy: "Replace by film of twice the dissipation and at least the old watts, and mind its working voltage. \
             Measure again after soldering nearby: heat shifts old composition parts.",
    safety: "",
    thresholds: &[GENERAL, CRITICAL, PAIR, HIGH_VALUE],
    sources: &[SourceId::DriftByPlace],
    owner: Some(OwnerCause::Changed),
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
        let over = is_over(off.abs(), held.value);
        if !over && could_be_over(subject, off, held.value) {
            let limit = say::limit(&format!("{} %{why}", held.value), held.from_shop);
            let says = format!(
                "reads {reads} in circuit, {} ({limit}): it can only be more",
                say::change_near(off, held.value)
            );
            find(&META, held.source, Call::Test, says)
                .held(off, &held)
                .measure(MeasureStage::OutOfCircuit, "lift one end and read again")
                .add_to(findings);
            return;
        }
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
pub(crate) fn limit(subject: &Subject<'_>) -> (Held, String) {
    let part = subject.part;
    let from = subject.held(&HIGH_VALUE);
    let high = Ohm::new(from.value * 1000.0);
    let by_value = part.ohm().is_some_and(|ohm| high < ohm);
    let (threshold, why) = match part.place {
        _ if part.pair.is_some() => (&PAIR, " in a pair".to_owned()),
        Some(Place::Tone) => (&PAIR, " in equalisation".to_owned()),
        Some(Place::Cathode | Place::Bias) => (&CRITICAL, ", it sets bias".to_owned()),
        Some(Place::Screen) => (&CRITICAL, " at a screen".to_owned()),
        Some(Place::Dropper) => (&CRITICAL, ", it sets HT".to_owned()),
        _ if by_value => {
            let held = subject.held(&CRITICAL);
            return (Held { from_shop: held.from_shop || from.from_shop, ..held }, format!(" above {high}"));
        }
        _ => (&GENERAL, String::new()),
    };
    (subject.held(threshold), why)
}

/// Whether a reading is beyond its limit to the low side and was taken in circuit.
pub(crate) fn low_in_circuit(subject: &Subject<'_>) -> bool {
    let (held, _) = limit(subject);
    let low = drift_percent(subject).is_some_and(|off| off < 0.0 && is_over(off.abs(), held.value));
    subject.part.kind.is_resistor() && low && subject.part.read_in_circuit()
}

/// Whether a resistor read in circuit is so near its limit to the high side that the truth, which can only be
/// higher, may be beyond it.
fn could_be_over(subject: &Subject<'_>, off: f64, limit: f64) -> bool {
    subject.part.read_in_circuit() && NEARLY * limit < off
}
