//! Film, mica and ceramic: kept unless there is a reason.

use super::draft::find;
use super::{Rule, RuleMeta, Subject};
use crate::model::finding::{Call, Finding};
use crate::model::kind::PartKind;
use crate::sources::SourceId;

/// Film, mica and ceramic capacitors.
#[derive(Debug)]
pub(super) struct StableKinds;

static META: RuleMeta = RuleMeta {
    id: "stable-kinds",
    title: "Film, mica or ceramic: kept unless there is a reason",
    what: "Plastic-film, mica, silvered-mica and ceramic capacitors, without damage or a failing reading.",
    why: "These kinds seldom fail. Changing them costs time and may shift tuning and tone.",
    not_where: "Parts on the mains (mains-class), coupling parts until their leakage is known (coupling-grid), flat \
                moulded parts marked in microfarads (mica-is-paper), crackle or mistuning traced to the part (write a \
                wish).",
    remedy: "Leave it.",
    safety: "",
    thresholds: &[],
    sources: &[SourceId::StableKinds, SourceId::FilmPractice],
    owner: None,
};

impl Rule for StableKinds {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn check(&self, subject: &Subject<'_>, findings: &mut Vec<Finding>) {
        if subject.on_mains() {
            return;
        }
        let (source, says) = match subject.part.kind {
            PartKind::Film => (SourceId::FilmPractice, "plastic film: kept unless there is a reason"),
            PartKind::Mica | PartKind::Ceramic => {
                (SourceId::StableKinds, "mica and ceramic are kept unless there is a reason")
            }
            _ => return,
        };
        find(&META, source, Call::Keep, says).add_to(findings);
    }
}
