//! Valves, lamps, fuses, leads, holders, rectifiers and hardware: kept unless something speaks against it.

use super::draft::find;
use super::state::sight_words;
use super::{Rule, RuleMeta, Subject};
use crate::model::finding::{Call, Finding, OwnerCause};
use crate::model::kind::PartKind;
use crate::sources::SourceId;

/// Parts known by a designation.
#[derive(Debug)]
pub(super) struct NamedParts;

static META: RuleMeta = RuleMeta {
    id: "named-parts",
    title: "Valve, lamp, fuse, lead, holder, rectifier or hardware",
    what: "Parts known by a type. They stay, unless damage is seen on them; open and short readings are judged by \
           reads-dead.",
    why: "A valve is judged in the working set, not by its age.",
    not_where: "Selenium (selenium), mains leads of two cores or perished rubber (mains-lead), missing fuses (fuse).",
    remedy: "Replace what is cracked, burnt or corroded; write a wish for what the set needs besides.",
    safety: "A damaged mains lead is not used again.",
    thresholds: &[],
    sources: &[SourceId::WorkshopHabit, SourceId::SightPractice],
    owner: Some(OwnerCause::Damaged),
};

impl Rule for NamedParts {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn check(&self, subject: &Subject<'_>, findings: &mut Vec<Finding>) {
        let kind = subject.part.kind;
        if !kind.is_designated() {
            return;
        }
        let damage = subject.damage();
        if damage.is_empty() {
            find(&META, SourceId::WorkshopHabit, Call::Keep, "nothing speaks against it").add_to(findings);
            return;
        }
        let draft = find(&META, SourceId::SightPractice, Call::Replace, sight_words(&damage));
        if kind == PartKind::Lead { draft.safety().urgent() } else { draft }.add_to(findings);
    }
}
