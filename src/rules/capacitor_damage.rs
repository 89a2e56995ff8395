//! Damage seen on capacitors that are not electrolytic.

use super::draft::find;
use super::state::sight_words;
use super::{Rule, RuleMeta, Subject};
use crate::model::finding::{Call, Finding, OwnerCause};
use crate::model::kind::PartKind;
use crate::sources::SourceId;

/// Damage of capacitors.
#[derive(Debug)]
pub(super) struct CapacitorDamage;

static META: RuleMeta = RuleMeta {
    id: "capacitor-damage",
    title: "Capacitor damaged",
    what: "Anything seen on a film, mica, ceramic, tantalum, paper or motor capacitor: cracked, burnt, wax run, \
           corroded.",
    why: "A case that has opened lets moisture in; what burnt it is still there.",
    not_where: "Electrolytics (electrolytic-sight) and mains suppressors (mains-cracked).",
    remedy: "Replace, and find what heated it.",
    safety: "",
    thresholds: &[],
    sources: &[SourceId::SightPractice],
    owner: Some(OwnerCause::Damaged),
};

impl Rule for CapacitorDamage {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn check(&self, subject: &Subject<'_>, findings: &mut Vec<Finding>) {
        let kind = subject.part.kind;
        let damage = subject.damage();
        let elsewhere = matches!(kind, PartKind::Electrolytic | PartKind::Suppressor);
        if kind.is_capacitor() && !elsewhere && !damage.is_empty() {
            find(&META, SourceId::SightPractice, Call::Replace, sight_words(&damage)).add_to(findings);
        }
    }
}
