//! Parts and their state in the owner's words: no trade slang, no bare references.

use super::terms::Terms;
use crate::model::finding::OwnerCause;
use crate::model::kind::{PartKind, Place, Sight};
use crate::quote::{OwnerClass, OwnerLine};

/// What several such parts are.
pub(super) fn parts_words(line: &OwnerLine, terms: Terms) -> String {
    let one = part_words(line, terms);
    // What stands before the first of these words is the thing itself.
    let ends = [" in ", " from ", " between ", " at ", " across "];
    let end = ends.iter().filter_map(|word| one.find(word)).min().unwrap_or(one.len());
    let (thing, rest) = one.split_at(end);
    format!("{thing}s{rest}")
}

/// What an article is, in a word or two.
pub(super) fn article_words(kind: PartKind, terms: Terms) -> String {
    match kind {
        _ if kind.is_capacitor() => "Capacitor".to_owned(),
        _ if kind.is_resistor() => "Resistor".to_owned(),
        PartKind::Lead => super::quote::capital(terms.mains_lead),
        PartKind::Valve => super::quote::capital(terms.valve),
        PartKind::Rectifier => "Rectifier".to_owned(),
        PartKind::Lamp => "Lamp".to_owned(),
        PartKind::Fuse => "Fuse".to_owned(),
        PartKind::Socket => "Holder".to_owned(),
        _ => "Small fitting".to_owned(),
    }
}

/// What the part is.
pub(super) fn part_words(line: &OwnerLine, terms: Terms) -> String {
    if line.kind.is_capacitor() {
        return capacitor(line.place).to_owned();
    }
    if line.kind.is_resistor() {
        return "Resistor".to_owned();
    }
    match line.kind {
        PartKind::Lead => super::quote::capital(terms.mains_lead),
        PartKind::Valve => super::quote::capital(terms.valve),
        PartKind::Rectifier => "Rectifier in the supply".to_owned(),
        PartKind::Lamp => "Lamp".to_owned(),
        PartKind::Fuse => "Fuse".to_owned(),
        PartKind::Socket => "Holder".to_owned(),
        _ => "Small fitting".to_owned(),
    }
}

const fn capacitor(place: Option<Place>) -> &'static str {
    match place {
        Some(Place::Reservoir | Place::Smoothing | Place::Decoupling) => "Capacitor in the high-voltage supply",
        Some(Place::Coupling) => "Capacitor between two stages",
        Some(Place::LineToChassis) => "Capacitor from the mains to the metal chassis",
        Some(Place::LineToLine) => "Capacitor across the mains",
        Some(Place::AerialIsolation) => "Capacitor between the mains and a socket",
        Some(Place::OutputAnode) => "Capacitor at the output stage",
        Some(Place::Bias) => "Capacitor in the bias supply",
        Some(Place::Motor) => "Motor capacitor",
        Some(Place::Tuned) => "Capacitor in a tuned circuit",
        Some(Place::Tone | Place::Feedback) => "Capacitor in the tone circuit",
        _ => "Capacitor",
    }
}

/// Why it is on the list: what is seen on it, what speaks against it, then what that can lead to.
pub(super) fn why_words(line: &OwnerLine, terms: Terms) -> String {
    let seen: Vec<&str> = line.sight.iter().filter_map(|s| sight_words(*s)).collect();
    let cause = line.cause.and_then(|c| cause_words(c, line));
    // What is damaged to the eye is told already by what is seen.
    let cause = cause.filter(|_| seen.is_empty() || line.cause != Some(OwnerCause::Damaged));
    let mut words: Vec<String> = Vec::new();
    words.extend((!seen.is_empty()).then(|| seen.join(", ")));
    words.extend(cause.map(str::to_owned));
    words.extend(consequence(line, terms));
    if words.is_empty() { "no longer good enough".to_owned() } else { words.join("; ") }
}

const fn sight_words(sight: Sight) -> Option<&'static str> {
    match sight {
        Sight::Ok => None,
        Sight::Bulged => Some("swollen"),
        Sight::Weeping => Some("leaking fluid"),
        Sight::Crusted => Some("leaked and dried out"),
        Sight::WaxRun => Some("wax seal run"),
        Sight::Cracked => Some("cracked"),
        Sight::Burnt => Some("burnt"),
        Sight::Corroded => Some("corroded"),
    }
}

/// What speaks against it; said so that it holds for one part and for several.
const fn cause_words(cause: OwnerCause, line: &OwnerLine) -> Option<&'static str> {
    Some(match cause {
        OwnerCause::Overloaded => "not made for the voltage or heat there",
        OwnerCause::Passing if !line.shown => "feared to pass current that must be stopped",
        OwnerCause::Passing => "passing current that must be stopped",
        OwnerCause::Changed | OwnerCause::DriedOut if !line.shown => "value in doubt",
        OwnerCause::DriedOut => "dried out, the value lost",
        OwnerCause::Changed => "value changed with age",
        OwnerCause::Dead => "dead",
        OwnerCause::Damaged => "damaged",
        OwnerCause::Mate => "renewed as half of a matched pair",
        OwnerCause::Chosen if matches!(line.kind, PartKind::Hardware | PartKind::Socket) => "needed for the work",
        OwnerCause::Chosen => "found not good enough at the bench",
        OwnerCause::KindOrAge => "of a kind or age known to fail",
        OwnerCause::Mains => return None,
    })
}

/// What it can lead to; likewise for one and for several.
fn consequence(line: &OwnerLine, terms: Terms) -> Option<String> {
    let fixed = match (line.class, line.place) {
        (OwnerClass::Unsafe, Some(p)) if p.is_mains() => "between the mains and what can be touched",
        (OwnerClass::Unsafe, Some(Place::Coupling)) => return Some(format!("can destroy {}", terms.valves)),
        (OwnerClass::Unsafe, Some(p)) if p.is_ht_supply() && line.kind == PartKind::Electrolytic => {
            "can burst and damage other parts"
        }
        (OwnerClass::Unsafe, _) if matches!(line.kind, PartKind::Lead | PartKind::Fuse) => {
            "needed for safety on the mains"
        }
        (OwnerClass::Unsafe, _) if line.urgent => "the set must not be used before this is dealt with",
        (OwnerClass::Unsafe | OwnerClass::Worn, _) => return None,
        (OwnerClass::Advised, _) => "can damage other parts",
        (OwnerClass::CanWait, _) => "nothing else suffers if it fails",
    };
    Some(fixed.to_owned())
}
