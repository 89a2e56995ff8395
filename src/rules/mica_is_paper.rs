//! Flat moulded parts marked in microfarads: they look like mica and are paper.

use super::draft::find;
use super::held::is_under;
use super::{Rule, RuleMeta, Subject};
use crate::model::finding::{Call, Finding, OwnerCause};
use crate::model::kind::PartKind;
use crate::sources::SourceId;
use crate::units::Farad;

/// Moulded paper taken for mica.
#[derive(Debug)]
pub(super) struct MicaIsPaper;

/// From this value on a flat moulded part marked in microfarads is paper.
const FROM: Farad = Farad::new(1e-9);

static META: RuleMeta = RuleMeta {
    id: "mica-is-paper",
    title: "Flat moulded part marked in microfarads",
    what: "A part listed as mica of .001 µF or more whose marking is in microfarads.",
    why: "Makers moulded paper in the same flat bodies as mica. Mica of that age is marked in picofarads or by \
          colours.",
    not_where: "Parts marked in picofarads, by colours, or as silvered mica.",
    remedy: "Replace like any paper capacitor.",
    safety: "",
    thresholds: &[],
    sources: &[SourceId::MouldedPaper],
    owner: Some(OwnerCause::KindOrAge),
};

impl Rule for MicaIsPaper {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn check(&self, subject: &Subject<'_>, findings: &mut Vec<Finding>) {
        let part = subject.part;
        let large = part.farad().is_some_and(|c| !is_under(c.get(), FROM.get()));
        if part.kind == PartKind::Mica && large && marked_in_microfarads(&part.marked) {
            let says =
                format!("marked {} in microfarads: moulded paper, not mica; changed like paper", part.marked.trim());
            find(&META, SourceId::MouldedPaper, Call::Replace, says).add_to(findings);
        }
    }
}

/// Whether a marking is in microfarads: a bare decimal below one, or with the unit.
fn marked_in_microfarads(marked: &str) -> bool {
    let text = marked.trim().to_lowercase();
    if ["mmf", "µµ", "uuf", "silver", "pf"].iter().any(|word| text.contains(word)) {
        return false;
    }
    ["mfd", "uf", "µf", "μf"].iter().any(|unit| text.contains(unit)) || text.starts_with('.') || text.starts_with("0.")
}
