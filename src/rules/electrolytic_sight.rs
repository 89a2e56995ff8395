//! Electrolytics condemned by what is seen.

use super::draft::find;
use super::state::sight_words;
use super::{Rule, RuleMeta, Subject};
use crate::model::finding::{Call, Finding, OwnerCause};
use crate::model::kind::Sight;
use crate::sources::SourceId;

/// Sight of electrolytics.
#[derive(Debug)]
pub(super) struct ElectrolyticSight;

static META: RuleMeta = RuleMeta {
    id: "electrolytic-sight",
    title: "Electrolytic bulged, weeping, crusted or otherwise damaged",
    what: "Anything seen on an electrolytic: bulged, weeping, crusted at the bung, cracked, burnt, corroded.",
    why: "Gas or electrolyte has come out. Sight alone condemns; no reading is needed and none excuses it.",
    not_where: "`ok` is no proof of health, and not looked at is not `ok`.",
    remedy: "Replace. A damaged part is never reformed.",
    safety: "A bulged or weeping can may burst at the next switch-on. Electrolyte is caustic: gloves, and wipe it up.",
    thresholds: &[],
    sources: &[SourceId::SightPractice],
    owner: Some(OwnerCause::Damaged),
};

impl Rule for ElectrolyticSight {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn check(&self, subject: &Subject<'_>, findings: &mut Vec<Finding>) {
        let damage = subject.damage();
        if !subject.is_electrolytic() || damage.is_empty() {
            return;
        }
        let hurry = damage.iter().any(|s| matches!(s, Sight::Bulged | Sight::Weeping | Sight::Burnt));
        let draft =
            find(&META, SourceId::SightPractice, Call::Replace, format!("{}: sight condemns it", sight_words(&damage)));
        if hurry { draft.urgent() } else { draft }.add_to(findings);
    }
}
