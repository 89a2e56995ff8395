//! Parts of unknown place that could be mains parts: treated as such until denied.

use super::draft::find;
use super::{Rule, RuleMeta, Subject};
use crate::model::finding::{Call, Finding, MeasureStage};
use crate::model::kind::PartKind;
use crate::sources::SourceId;

/// Parts that could be on the mains.
#[derive(Debug)]
pub(super) struct MainsUnknown;

static META: RuleMeta = RuleMeta {
    id: "mains-unknown",
    title: "Place unknown, could be a mains part",
    what: "A capacitor without a place whose value and rating are those of mains parts: .001 to .1 µF, and 600 V or \
           more, or marked for AC, or with a class mark. It is treated as a mains part until its place is known.",
    why: "A plain part fitted from the mains to the chassis is the worst mistake that a parts list can hold.",
    not_where: "Parts with a place, or whose nodes are nodes of the supplies (with a mains transformer also the chassis).",
    remedy: "Trace both ends. Write the place into the parts list. A paper part is replaced wherever it is.",
    safety: "Trace with the set unplugged and its capacitors discharged.",
    thresholds: &[],
    sources: &[SourceId::MainsSuspected],
};

impl Rule for MainsUnknown {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn check(&self, subject: &Subject<'_>, findings: &mut Vec<Finding>) {
        if !subject.could_be_mains() {
            return;
        }
        let paper = subject.part.kind == PartKind::Paper;
        let call = if paper { Call::Replace } else { Call::FindOut };
        let says =
            "place not known and could be on the mains by its value and rating: treated as a mains part until denied";
        find(&META, SourceId::MainsSuspected, call, says)
            .safety()
            .measure(MeasureStage::Look, "trace both ends: is one of them on the mains?")
            .add_to(findings);
    }
}
