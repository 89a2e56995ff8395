//! Fuses that are missing, bridged, or rated too high to protect.

use super::draft::find;
use super::{Rule, RuleMeta, Subject};
use crate::limits::fuse::{GROSS, HT_FUSE, MAINS_FUSE};
use crate::marking::fuse::Fuse as Marked;
use crate::model::chassis::HtSupply;
use crate::model::finding::{Call, Finding, OwnerCause};
use crate::model::kind::PartKind;
use crate::physics::fuse::{ht_fuse, mains_fuse};
use crate::sources::SourceId;

/// Missing and wrong fuses.
#[derive(Debug)]
pub(super) struct Fuse;

static META: RuleMeta = RuleMeta {
    id: "fuse",
    title: "Fuse missing, bridged or too large",
    what: "A fuse whose line or note says that it is missing, bridged, of wire or of foil. A fuse rated above what its \
           current asks for: 1.5 to 2 times the primary current (ripple_ma of its line) on the mains; in the HT twice \
           what follows from 1.56 times the load and the next rating made. Urgent from twice the largest right rating \
           (common practice, no source).",
    why: "Without it, or with one too large, a shorted reservoir or winding burns the transformer.",
    not_where: "Sets whose list has no line for a fuse; the cautions say so there. A fuse whose current is not known \
                is not held against it. One rated too low is no danger: it blows.",
    remedy: "A time-delay fuse of high breaking capacity at 1.5 to 2 times the normal primary current, in the live \
             side.",
    safety: "Mains wiring is for people qualified to do it; local codes and licensed practice come first.",
    thresholds: &[],
    sources: &[SourceId::FusePractice, SourceId::FuseRatings, SourceId::WorkshopHabit],
    owner: Some(OwnerCause::Mains),
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
        let marked = Marked::parse(&part.marked).or(part.designation().and_then(Marked::parse));
        let note = part.note.as_deref().unwrap_or_default();
        // A note of `none` beside a rating is a note left empty.
        let word = absent(&part.marked).or(absent(note).filter(|word| *word != "none" || marked.is_none()));
        if let Some(word) = word {
            let says = format!("fuse missing or bridged ({word}): fit one before power");
            find(&META, SourceId::FusePractice, Call::Replace, says).safety().urgent().add_to(findings);
        }
        if let Some(fuse) = marked {
            too_large(subject, &fuse, findings);
        }
    }
}

/// Holds a rating against the most that its current allows.
fn too_large(subject: &Subject<'_>, fuse: &Marked, findings: &mut Vec<Finding>) {
    let supply = subject.job.supply_at(subject.part);
    let current = supply.map_or(subject.part.found.ripple, HtSupply::load);
    let window = current.and_then(|amps| if supply.is_some() { ht_fuse(amps) } else { Some(mains_fuse(amps)) });
    let Some((current, window)) =
        current.zip(window).filter(|(_, window)| window.is_too_small_for(fuse.amps, supply.is_some()))
    else {
        return;
    };
    let asks = if supply.is_some() {
        format!("the load of {current} asks for {:.2} times that, {}", HT_FUSE.value, window.most)
    } else {
        let (low, high) = MAINS_FUSE.value;
        let (least, most) = (window.least, window.most);
        format!("the primary's {current} asks for {low} to {high} times that, {least} to {most}")
    };
    let gross = window.is_below(fuse.amps / GROSS.value);
    let protects = if gross { "it protects nothing" } else { "it does not protect" };
    let says = format!("{} is {:.1} times the current: {asks}; {protects}", fuse.amps, fuse.amps / current);
    let found = find(&META, SourceId::FuseRatings, Call::Replace, says)
        .against(fuse.amps.get(), window.most.get(), "A")
        .safety();
    if gross { found.urgent() } else { found }.add_to(findings);
}

/// What a text says that a fuse is not; `None` where it says nothing of the kind. Clauses count as a whole,
/// so that `wire-ended`, `none wrong` or `cover missing` say nothing against it.
fn absent(text: &str) -> Option<&'static str> {
    let text = text.to_lowercase();
    text.split([',', ';', ':', '.', '(', ')', '/']).find_map(|clause| {
        let words: Vec<&str> =
            clause.split(|c: char| !c.is_alphanumeric() && c != '-').filter(|w| !w.is_empty()).collect();
        of_clause(&words)
    })
}

/// What one clause says.
fn of_clause(words: &[&str]) -> Option<&'static str> {
    let denied = |at: usize| {
        let before = words.get(at.saturating_sub(2)..at).unwrap_or_default();
        before.iter().any(|w| ["no", "not", "never", "without", "isn", "behind", "under"].contains(w))
    };
    let said = |word: &str| words.iter().position(|w| *w == word).filter(|at| !denied(*at));
    let starts = |start: &[&str]| words.starts_with(start);
    let is = |all: &[&[&str]]| all.contains(&words);
    if ["bridged", "bypassed", "shorted"].iter().any(|w| said(w).is_some()) {
        return Some("bridged");
    }
    if is(&[&["none"], &["absent"], &["no", "fuse"]])
        || starts(&["none", "fitted"])
        || starts(&["no", "fuse", "fitted"])
    {
        return Some("none");
    }
    if is(&[&["missing"]])
        || starts(&["fuse", "missing"])
        || starts(&["fuse", "is", "missing"])
        || starts(&["missing", "fuse"])
    {
        return Some("missing");
    }
    if said("foil").is_some() {
        return Some("foil");
    }
    let wire = said("wire")?;
    let stuff =
        ["a", "bare", "bit", "copper", "fitted", "fuse", "link", "of", "piece", "strand", "thick", "tinned", "wire"];
    let stands_in = ["across", "instead", "over", "in", "for", "soldered", "wrapped"];
    let after = words.get(wire + 1).is_some_and(|w| stands_in.contains(w));
    let of_it = wire.checked_sub(1).and_then(|before| words.get(before)).is_some_and(|w| *w == "of");
    (words.iter().all(|w| stuff.contains(w)) || after || of_it).then_some("wire")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn whole_meanings_count() {
        for (text, due) in [
            ("none", Some("none")),
            ("none fitted; holder goes in with it", Some("none")),
            ("primary takes 0.62 A; a piece of wire was in the holder", Some("wire")),
            ("bridged with wire", Some("bridged")),
            ("wire", Some("wire")),
            ("fuse wire fitted", Some("wire")),
            ("wrapped in tin foil", Some("foil")),
            ("T1A wire-ended", None),
            ("none wrong", None),
            ("behind the wire cover", None),
            ("not bridged", None),
            ("cover missing", None),
            ("glass one of 2 A found", None),
        ] {
            assert_eq!(absent(text), due, "{text}");
        }
    }
}
