//! Capacitance of electrolytics gone low.

use super::draft::find;
use super::held::is_under;
use super::say;
use super::{Rule, RuleMeta, Subject, Threshold};
use crate::model::finding::{Call, Finding, OwnerCause};
use crate::sources::SourceId;

/// Low capacitance of electrolytics.
#[derive(Debug)]
pub(super) struct ElectrolyticCapacitance;

pub(crate) static LOW: Threshold = Threshold {
    key: "electrolytic-capacitance",
    default: 80.0,
    unit: "%",
    what: "capacitance below which it is replaced, share of its marking",
    source: SourceId::CapacitanceEnd,
};

static META: RuleMeta = RuleMeta {
    id: "electrolytic-capacitance",
    title: "Electrolytic low in capacitance",
    what: "A capacitance reading below the limit. In circuit only a low reading counts, since parallel parts add to \
           it.",
    why: "A part that has lost a fifth of its value is drying out.",
    not_where: "A reading above the marking is judged by electrolytic-high. A good reading does not speak for an HT \
                part whose leakage is not known.",
    remedy: "Replace.",
    safety: "",
    thresholds: &[LOW],
    sources: &[SourceId::CapacitanceEnd],
    owner: Some(OwnerCause::DriedOut),
};

impl Rule for ElectrolyticCapacitance {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn check(&self, subject: &Subject<'_>, findings: &mut Vec<Finding>) {
        if !subject.is_electrolytic() {
            return;
        }
        let Some((reads, marked)) = subject.reads_farad().zip(subject.part.farad()) else { return };
        let held = subject.held(&LOW);
        let share = reads / marked * 100.0;
        let low = is_under(share, held.value);
        let call = if low { Call::Replace } else { Call::Note };
        let worth = if !low && subject.part.read_in_circuit() { ", in circuit: proves nothing" } else { "" };
        let limit = say::limit(&format!("{} %", held.value), held.from_shop);
        let says = format!("reads {reads}, {} of {marked}{worth} ({limit})", say::percent(share));
        find(&META, held.source, call, says).held(share, &held).add_to(findings);
    }
}
