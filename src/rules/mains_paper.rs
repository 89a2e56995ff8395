//! Paper capacitors on the mains: never kept, whatever they read.

use super::draft::find;
use super::state::earthed;
use super::{Rule, RuleMeta, Subject};
use crate::model::finding::{Call, Finding, OwnerCause};
use crate::model::kind::{PartKind, Place};
use crate::sources::SourceId;

/// Paper capacitors on the mains.
#[derive(Debug)]
pub(super) struct MainsPaper;

static META: RuleMeta = RuleMeta {
    id: "mains-paper",
    title: "Paper capacitor on the mains",
    what: "A paper capacitor from line to chassis, from line to line, or between a touchable socket and a live \
           chassis. It is replaced by a part of the right class, or left out from line to chassis where the chassis is \
           earthed.",
    why: "Old paper leaks and fails short. On the mains that puts the line on the chassis or sets the part on fire. \
          A good reading says nothing on the next switch-on.",
    not_where: "Paper parts elsewhere in the set; see the rule paper. A part of class X or Y in resin is judged by \
                mains-class and mains-cracked.",
    remedy: "Line to chassis: class Y2 or better, at most 4.7 nF; or nothing where the chassis is earthed, unless \
             interference calls for it. Line to line, and line to a live chassis, which is the other line: class X2 or \
             better. Socket to live chassis: class Y1, or two Y2 in series. Never a plain film part.",
    safety: "Mains wiring is for people qualified to do it; local codes and licensed practice come first.",
    thresholds: &[],
    sources: &[SourceId::MainsPaperPractice, SourceId::MainsClasses],
    owner: Some(OwnerCause::Mains),
};

impl Rule for MainsPaper {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn check(&self, subject: &Subject<'_>, findings: &mut Vec<Finding>) {
        if subject.part.kind != PartKind::Paper || !subject.on_mains() {
            return;
        }
        let (call, advice) = renewal(subject);
        let says = format!("paper on the mains: never kept; {advice}");
        find(&META, SourceId::MainsPaperPractice, call, says).safety().urgent().add_to(findings);
    }
}

/// What becomes of a mains capacitor that may not stay, and the words for it.
pub(crate) fn renewal(subject: &Subject<'_>) -> (Call, &'static str) {
    match subject.mains_place() {
        Some(Place::LineToChassis) if earthed(subject.job) => (Call::Omit, "leave it out, the chassis is earthed"),
        Some(Place::LineToLine) => (Call::Replace, "fit class X2 or better"),
        Some(Place::AerialIsolation) => (Call::Replace, "fit class Y1, or two Y2 in series"),
        _ => (Call::Replace, "fit class Y2 or better, up to 4.7 nF"),
    }
}
