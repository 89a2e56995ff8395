//! Parts and their state in the owner's words: no trade slang, no bare references.

use super::terms::Terms;
use crate::model::kind::{PartKind, Place, Sight};
use crate::quote::{OwnerClass, OwnerLine};

/// What several such parts are.
pub(super) fn parts_words(line: &OwnerLine, terms: Terms) -> String {
    let one = part_words(line, terms);
    match one.split_once(" in ").or_else(|| one.split_once(" from ")).or_else(|| one.split_once(" between ")) {
        Some((head, _)) => format!("{head}s{}", one.strip_prefix(head).unwrap_or_default()),
        None if one.contains(" at ") || one.contains(" across ") || one.contains(" that ") => {
            one.replacen("Capacitor", "Capacitors", 1)
        }
        None => format!("{one}s"),
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
        Some(Place::AerialIsolation) => "Capacitor that keeps the mains from a socket",
        Some(Place::OutputAnode) => "Capacitor at the output stage",
        Some(Place::Bias) => "Capacitor in the bias supply",
        Some(Place::Motor) => "Motor capacitor",
        Some(Place::Tone | Place::Tuned | Place::Feedback) => "Capacitor in the tone circuit",
        _ => "Capacitor",
    }
}

/// Why it is on the list: what is seen on it first, then what it means.
pub(super) fn why_words(line: &OwnerLine, terms: Terms) -> String {
    let seen: Vec<&str> = line.sight.iter().filter_map(|s| sight_words(*s)).collect();
    let meaning = meaning(line, terms);
    if seen.is_empty() { meaning } else { format!("{}; {meaning}", seen.join(", ")) }
}

const fn sight_words(sight: Sight) -> Option<&'static str> {
    match sight {
        Sight::Ok => None,
        Sight::Bulged => Some("swollen"),
        Sight::Weeping => Some("leaking fluid"),
        Sight::Crusted => Some("has leaked and dried out"),
        Sight::WaxRun => Some("its wax seal has run"),
        Sight::Cracked => Some("cracked"),
        Sight::Burnt => Some("burnt"),
        Sight::Corroded => Some("corroded"),
    }
}

/// What it means; said so that it holds for one part and for several.
fn meaning(line: &OwnerLine, terms: Terms) -> String {
    let fixed = match (line.class, line.place) {
        (OwnerClass::Unsafe, Some(p)) if p.is_mains() => "between the mains and what can be touched",
        (OwnerClass::Unsafe, Some(Place::Coupling)) => {
            return format!("can pass current that must be stopped, and destroy {}", terms.valves);
        }
        (OwnerClass::Unsafe, Some(p)) if p.is_ht_supply() => "can fail violently and ruin the mains transformer",
        (OwnerClass::Unsafe, _) if matches!(line.kind, PartKind::Lead | PartKind::Fuse) => {
            "needed for safety on the mains"
        }
        (OwnerClass::Unsafe, _) => "the set must not be used before this is dealt with",
        (OwnerClass::Worn, _) => "no longer good enough",
        (OwnerClass::Advised, _) => "of a kind or age known to fail, and can damage other parts",
        (OwnerClass::CanWait, _) => "of a kind or age known to fail; nothing else suffers if so",
    };
    fixed.to_owned()
}
