//! Series resistance of electrolytics, judged only with its test frequency.

use super::draft::find;
use super::say;
use super::{Rule, RuleMeta, Subject, Threshold};
use crate::limits::electrolytic::LOSS_REPLACE;
use crate::model::finding::{Call, Finding, MeasureStage, OwnerCause};
use crate::physics::electrolytic::new_esr;
use crate::sources::SourceId;

/// Series resistance of electrolytics.
#[derive(Debug)]
pub(super) struct ElectrolyticEsr;

pub(crate) static TIMES: Threshold = Threshold {
    key: "electrolytic-esr",
    default: 2.0,
    unit: "times",
    what: "series resistance above which it is replaced, multiple of a new part's limit at that frequency",
    source: LOSS_REPLACE.source,
};

static META: RuleMeta = RuleMeta {
    id: "electrolytic-esr",
    title: "Series resistance of an electrolytic",
    what: "The series resistance (ESR) against the one that a new part may show at the same frequency: from the loss \
           factor at 120 Hz, brought to the test frequency by the ripple multipliers.",
    why: "A dried-out part loses ripple current as heat. 12 ohm may be new at 120 Hz and worn out at 100 kHz, so a \
          reading without its frequency is shown and not judged.",
    not_where: "In circuit only a high reading counts: a good part in parallel hides a bad one. On HT parts leakage \
                decides first. Readings below 50 Hz, and parts without value or voltage, have no limit.",
    remedy: "Replace. Read at 18 to 28 °C; a cold part reads two to three times as high.",
    safety: "",
    thresholds: &[TIMES],
    sources: &[SourceId::OurElectrolyticRule, SourceId::RgaSheet, SourceId::Vishay28340],
    owner: Some(OwnerCause::DriedOut),
};

impl Rule for ElectrolyticEsr {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn check(&self, subject: &Subject<'_>, findings: &mut Vec<Finding>) {
        if !subject.is_electrolytic() {
            return;
        }
        let Some(esr) = subject.part.found.esr else { return };
        let Some(at) = esr.at else {
            let says = format!("ESR {} without its test frequency: shown, not judged", esr.ohm);
            find(&META, SourceId::MissingIsNotGood, Call::Note, says)
                .measure(MeasureStage::Cold, "write down the ESR meter's test frequency")
                .add_to(findings);
            return;
        };
        let times = subject.held(&TIMES);
        let new = subject.part.farad().zip(subject.rated_or_working()).and_then(|(c, v)| new_esr(v, c, at));
        let Some(new) = new else {
            let says = format!("ESR {} at {at}: no limit for this value, voltage and frequency", esr.ohm);
            find(&META, SourceId::MissingIsNotGood, Call::Note, says).add_to(findings);
            return;
        };
        let limit = new.value * times.value;
        let high = limit < esr.ohm;
        let worth = if !high && subject.part.read_in_circuit() { ", in circuit: proves nothing" } else { "" };
        let text = say::limit(&limit.to_string(), times.from_shop);
        find(
            &META,
            times.source,
            if high { Call::Replace } else { Call::Note },
            format!("ESR {} at {at}{worth} ({text})", esr.ohm),
        )
        .against(esr.ohm.get(), limit.get(), "ohm")
        .shop(times.from_shop)
        .add_to(findings);
    }
}

/// Whether an ESR reading with its frequency, out of circuit, speaks for the part.
pub(crate) fn good(subject: &Subject<'_>) -> bool {
    let Some(esr) = subject.part.found.esr else { return false };
    let limit = esr.at.and_then(|at| {
        let (c, v) = subject.part.farad().zip(subject.rated_or_working())?;
        new_esr(v, c, at)
    });
    limit.is_some_and(|l| esr.ohm <= l.value * subject.held(&TIMES).value) && !subject.part.read_in_circuit()
}
