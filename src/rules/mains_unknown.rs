//! Parts of unknown place that could be mains parts: treated as such until denied.

use super::draft::find;
use super::{Rule, RuleMeta, Subject};
use crate::model::finding::{Call, Finding, MeasureStage, OwnerCause};
use crate::model::kind::PartKind;
use crate::sources::SourceId;

/// Parts that could be on the mains.
#[derive(Debug)]
pub(super) struct MainsUnknown;

static META: RuleMeta = RuleMeta {
    id: "mains-unknown",
    title: "Place unknown, could be a mains part",
    what: "A capacitor without a place that could be a mains part: .001 to .1 µF, and 600 V or more, or marked for AC, \
           or with a class mark. Of film and paper also one without a rating; of paper, in a set that may have a live \
           chassis, also one of 400 V or more and up to .25 µF. It is a mains part until its place is known: not kept, \
           not powered, and not ordered, since line to chassis asks for class Y of a small value and line to line for \
           class X.",
    why: "A plain part fitted from the mains to the chassis is the worst mistake that a parts list can hold.",
    not_where: "Parts with a place, or whose nodes are nodes of the supplies (with a mains transformer also the \
                chassis).",
    remedy: "Trace both ends. Write the place into the parts list; then the new part can be chosen. A paper part goes \
             wherever it is.",
    safety: "Trace with the set unplugged and its capacitors discharged.",
    thresholds: &[],
    sources: &[SourceId::MainsSuspected],
    owner: Some(OwnerCause::Mains),
};

impl Rule for MainsUnknown {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn check(&self, subject: &Subject<'_>, findings: &mut Vec<Finding>) {
        if !subject.could_be_mains() {
            return;
        }
        let paper = if subject.part.kind == PartKind::Paper { "; paper, never kept" } else { "" };
        let says = format!("could be on the mains: a mains part until traced{paper}");
        find(&META, SourceId::MainsSuspected, Call::FindOut, says)
            .safety()
            .urgent()
            .measure(MeasureStage::Look, "trace both ends, to see whether one is on the mains")
            .add_to(findings);
    }
}
