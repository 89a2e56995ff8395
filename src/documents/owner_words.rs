//! Parts and their state in the owner's words: no trade slang, no bare references.

use super::terms::Terms;
use crate::model::kind::{PartKind, Place, Sight};
use crate::quote::{OwnerClass, OwnerLine};

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

fn meaning(line: &OwnerLine, terms: Terms) -> String {
    let fixed = match (line.class, line.place) {
        (OwnerClass::Unsafe, Some(p)) if p.is_mains() => "it stands between the mains and what can be touched",
        (OwnerClass::Unsafe, Some(Place::Coupling)) => {
            return format!("it passes current that it must stop, and can destroy the output {}", terms.valves);
        }
        (OwnerClass::Unsafe, Some(p)) if p.is_ht_supply() => {
            "it can fail violently and take the mains transformer with it"
        }
        (OwnerClass::Unsafe, _) if matches!(line.kind, PartKind::Lead | PartKind::Fuse) => {
            "without it the set is not safe on the mains"
        }
        (OwnerClass::Unsafe, _) => "the set must not be used until it is dealt with",
        (OwnerClass::Worn, _) => "it no longer does its work as it must",
        (OwnerClass::Advised, _) => "its kind or age is known to fail, and it can take other parts with it",
        (OwnerClass::CanWait, _) => "its kind or age is known to fail; if it does, nothing else suffers",
    };
    fixed.to_owned()
}
