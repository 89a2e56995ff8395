//! Electrolytics fitted from old stock: unused is not new.

use super::draft::find;
use super::leak::{Leak, assess};
use super::{Rule, RuleMeta, Subject, Threshold};
use crate::model::finding::{Call, Finding, MeasureStage, OwnerCause};
use crate::sources::SourceId;

/// Electrolytics of old stock.
#[derive(Debug)]
pub(super) struct ElectrolyticShelf;

static YEARS: Threshold = Threshold {
    key: "electrolytic-shelf",
    default: 2.0,
    unit: "years",
    what: "age above which an electrolytic from stock is checked or reformed before use",
    source: SourceId::ShelfLife,
};

static META: RuleMeta = RuleMeta {
    id: "electrolytic-shelf",
    title: "Electrolytic from old stock",
    what: "An electrolytic whose remark says that it came from old stock (NOS, old stock, shelf), older than the limit \
           and without a leakage reading that counts.",
    why: "The oxide thins out on the shelf. Makers give two to three years; unused never means good.",
    not_where: "Parts whose leakage was read near the working voltage; parts whose remark says nothing of stock.",
    remedy: "Reform it and read the leakage before the set is powered.",
    safety: "Full HT on the bench while reforming.",
    thresholds: &[YEARS],
    sources: &[SourceId::ShelfLife],
    owner: Some(OwnerCause::KindOrAge),
};

impl Rule for ElectrolyticShelf {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn check(&self, subject: &Subject<'_>, findings: &mut Vec<Finding>) {
        let from_stock = subject.part.note.as_deref().is_some_and(says_stock);
        if !subject.is_electrolytic() || !from_stock || matches!(assess(subject), Leak::Good(_)) {
            return;
        }
        let held = subject.held(&YEARS);
        let Some(age) = subject.age_years().map(f64::from).filter(|age| held.value < *age) else { return };
        let limit = super::say::limit(&format!("{} years", held.value), held.from_shop);
        let says = format!("from stock and {age} years old ({limit}): unused is not new");
        find(&META, held.source, Call::Test, says)
            .held(age, &held)
            .measure(MeasureStage::AtVoltage, "reform out of circuit, then read the leakage")
            .add_to(findings);
    }
}

/// Whether a remark says that the part is from old stock.
fn says_stock(note: &str) -> bool {
    let note = note.to_lowercase();
    ["nos", "new old stock", "old stock", "shelf", "stock part"].iter().any(|word| {
        note.match_indices(word).any(|(at, found)| {
            let before = note.get(..at).and_then(|t| t.chars().next_back());
            let after = note.get(at + found.len()..).and_then(|t| t.chars().next());
            !before.is_some_and(char::is_alphanumeric) && !after.is_some_and(char::is_alphanumeric)
        })
    })
}
