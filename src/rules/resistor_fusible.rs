//! Fusible resistors: like for like.

use super::draft::find;
use super::{Rule, RuleMeta, Subject};
use crate::model::finding::{Call, Finding, OwnerCause};
use crate::model::kind::PartKind;
use crate::sources::SourceId;

/// Fusible resistors.
#[derive(Debug)]
pub(super) struct ResistorFusible;

static META: RuleMeta = RuleMeta {
    id: "resistor-fusible",
    title: "Fusible resistor",
    what: "A fusible resistor, told so that its substitute is one.",
    why: "It is made for one application: resistance, fusing power and time. A stronger part does not open.",
    not_where: "Ordinary resistors. Its drift and damage have rules of their own.",
    remedy: "Replace like for like, never by composition or plain film, never uprated.",
    safety: "It is there so that a fault does not become a fire.",
    thresholds: &[],
    sources: &[SourceId::LikeForLike],
    owner: Some(OwnerCause::KindOrAge),
};

impl Rule for ResistorFusible {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn check(&self, subject: &Subject<'_>, findings: &mut Vec<Finding>) {
        if subject.part.kind == PartKind::Fusible {
            let says = "fusible: like for like, never uprated";
            find(&META, SourceId::LikeForLike, Call::Note, says).add_to(findings);
        }
    }
}
