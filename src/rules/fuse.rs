//! Fuses that are missing or bridged.

use super::draft::find;
use super::{Rule, RuleMeta, Subject};
use crate::model::finding::{Call, Finding};
use crate::model::kind::PartKind;
use crate::sources::SourceId;

/// Missing fuses.
#[derive(Debug)]
pub(super) struct Fuse;

static META: RuleMeta = RuleMeta {
    id: "fuse",
    title: "Fuse missing or bridged",
    what: "A fuse whose line says none, missing, bridged, wire or foil.",
    why: "Without it a shorted reservoir or winding burns the transformer.",
    not_where: "Sets whose list has no line for a fuse; the cautions say so there.",
    remedy: "A time-delay fuse of high breaking capacity at 1.5 to 2 times the normal primary current, in the live side.",
    safety: "Mains wiring is for people qualified to do it; local codes and licensed practice come first.",
    thresholds: &[],
    sources: &[SourceId::FusePractice],
};

impl Rule for Fuse {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn check(&self, subject: &Subject<'_>, findings: &mut Vec<Finding>) {
        let part = subject.part;
        if part.kind != PartKind::Fuse {
            return;
        }
        let text = format!("{} {}", part.marked, part.note.as_deref().unwrap_or_default()).to_lowercase();
        let words = ["none", "missing", "bridged", "wire", "foil"];
        let Some(word) = words.iter().find(|w| text.split(|c: char| !c.is_alphanumeric()).any(|t| t == **w)) else {
            return;
        };
        let says = format!("fuse missing or bridged ({word}): fit one before power");
        find(&META, SourceId::FusePractice, Call::Replace, says).safety().urgent().add_to(findings);
    }
}
