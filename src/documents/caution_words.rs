//! The cautions in words: the fixed ones in capitals, then what to do, then where it comes from.

use super::terms::Terms;
use crate::sheet::Caution;
use crate::sheet::stored::StoredCharge;

/// Common practice, said so.
const PRACTICE: &str = "common practice, no source";
/// Several workshop pages that agree.
const WORKSHOPS: &str = "several workshop pages agree";

/// One caution as it is printed.
pub(super) fn caution(caution: Caution, stored: &StoredCharge, terms: Terms) -> String {
    let (words, source) = match caution {
        Caution::Discharge => discharge(stored),
        Caution::HighHt => high_ht(stored, terms),
        Caution::MainsParts => mains_parts(terms),
        Caution::LiveChassis | Caution::PerhapsLive => live(caution),
        other => fixed(other, terms),
    };
    format!("{words} [{source}]")
}

fn discharge(stored: &StoredCharge) -> (String, &'static str) {
    let text = format!(
        "DISCHARGE, THEN MEASURE: through {} (insulated, clipped to the chassis first), never with a screwdriver; \
         under {} before touching. Leave it clipped on: voltage creeps back. A bleeder is not to be trusted.",
        stored.resistor, stored.safe
    );
    (text, WORKSHOPS)
}

fn high_ht(stored: &StoredCharge, terms: Terms) -> (String, &'static str) {
    let most = stored.parts.iter().map(|s| s.volts).reduce(crate::units::Volt::max);
    let most = most.map_or_else(|| "more than 400 V".to_owned(), |v| format!("up to {v}"));
    let hazardous = stored.parts.iter().filter(|s| s.hazardous).count();
    let text = format!(
        "{} {most} in this set; {} hold a hazardous charge after switching off. Meter and leads must be rated for it.",
        terms.ht,
        super::describe::counted(hazardous, "capacitor", "capacitors")
    );
    (text, "NFPA 70E, article 360, quoted in public code")
}

fn mains_parts(terms: Terms) -> (String, &'static str) {
    let text = format!(
        "Mains side: plug out, not only switched off. Fuse and switch in the live side; {} to a bolt of its own; \
         clamp and grommet, no knot; the old {} is not used again. Only class X or Y parts on the mains.",
        terms.earth, terms.mains_lead
    );
    (text, WORKSHOPS)
}

fn live(caution: Caution) -> (String, &'static str) {
    let first = if caution == Caution::LiveChassis {
        "LIVE CHASSIS: one side of the mains is on the chassis."
    } else {
        "LIVE CHASSIS until proved otherwise: how this set is fed is not known."
    };
    let text = format!(
        "{first} Work on it only from an ISOLATING TRANSFORMER. Knobs, screws and sockets that touch metal are live in use."
    );
    (text, WORKSHOPS)
}

fn fixed(caution: Caution, terms: Terms) -> (String, &'static str) {
    let text = match caution {
        Caution::NotPluggedIn => "NOT TO BE PLUGGED IN until the cold checks are signed.".to_owned(),
        Caution::OneHand => {
            "ONE HAND: for readings under power clip the meter on with the set off, then one hand away from all metal."
                .to_owned()
        }
        Caution::DoesNotIsolate => {
            "VARIABLE TRANSFORMER DOES NOT ISOLATE; a lamp limits current, a variable transformer only voltage."
                .to_owned()
        }
        Caution::TwoCore => {
            format!("Two-core lead, no {}: the touch current decides whether the set may go back.", terms.earth)
        }
        Caution::EarthUnknown => {
            format!("Whether the chassis is connected to the {} is not known: take it as not, and find out.", terms.earth)
        }
        Caution::FixedBias => {
            format!("Bias must be present before the output {} go in: without it they are destroyed.", terms.valves)
        }
        Caution::LoadOn => {
            "LOAD ON BEFORE POWER: never run the output stage without its load.".to_owned()
        }
        Caution::Selenium => {
            "SELENIUM: a failing stack gives poisonous fumes. Air the room, do not cut or burn it, dispose of it as hazardous waste."
                .to_owned()
        }
        Caution::Asbestos => {
            "ASBESTOS may be in this set (heat pads, resistance lead): do not brush, cut or blow; wet it, bag it, follow local rules."
                .to_owned()
        }
        Caution::Pcb => {
            "Oil-filled capacitors of this age may hold PCB: gloves, do not open, dispose of them as hazardous waste."
                .to_owned()
        }
        _ => "Stored and live high voltage can kill. For persons trained in work on it; local codes and licensed \
              practice come first. If in doubt, stop."
            .to_owned(),
    };
    (text, PRACTICE)
}
