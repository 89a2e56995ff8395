//! Electrolytics: supplies, cathodes, bias, and the few in a signal path.

use super::context::{NeedContext, NoNeed, because, window};
use super::{conditions, supply, voltage};
use crate::model::kind::{PartKind, Place};
use crate::model::need::{Need, PointKind};
use crate::sources::SourceId;
use crate::substitute::margins::FIRST_CAPACITOR;
use crate::units::{Farad, Volt};

/// Below this working voltage a signal capacitor has no DC to keep it polarised.
const NO_DC: Volt = Volt::new(0.5);

/// States the need of an electrolytic.
pub(super) fn fill(context: &NeedContext<'_>, need: &mut Need, nominal: Farad) -> Result<(), NoNeed> {
    need.kinds = match context.part.kind {
        PartKind::Tantalum => vec![PartKind::Tantalum, PartKind::Electrolytic, PartKind::Film],
        _ => vec![PartKind::Electrolytic, PartKind::Film],
    };
    let place = need.place.unwrap_or(Place::Reservoir);
    match place {
        Place::Reservoir => reservoir(context, need, nominal),
        Place::Cathode => cathode(need, nominal),
        Place::Tone | Place::Tuned | Place::Timing => signal(need, nominal),
        _ => later(need, nominal),
    }
    if place == Place::Cathode {
        voltage::by_cathode(context, need)?;
    } else {
        voltage::by_highest(context, need)?;
    }
    polarity(context, need, place);
    conditions::ripple(context, need, place);
    conditions::heat(context, need);
    conditions::life(context, need);
    Ok(())
}

/// The first capacitor: tight below, and above by what the rectifier may see.
fn reservoir(context: &NeedContext<'_>, need: &mut Need, nominal: Farad) {
    let Some(first) = supply::first(context) else {
        return later(need, nominal);
    };
    need.farad_limit = first.limit;
    let (least, full) = window(nominal, 10.0, 100.0);
    match first.limit {
        Some(limit) if limit < nominal => {
            need.farad = Some((limit * 0.8, limit));
            let says = format!("marked {nominal}, but the rectifier may see {limit} at most");
            because(need, PointKind::LimitFirst, "first-capacitor", SourceId::FirstCapacitor, says);
        }
        Some(limit) => {
            need.farad = Some((least, limit));
            let says = format!("-10 % of {nominal} up to the rectifier's limit of {limit} (by nominal value)");
            because(need, PointKind::LimitFirst, "first-capacitor", SourceId::FirstCapacitor, says);
        }
        None if first.valve => {
            let percent = FIRST_CAPACITOR.of(context.shop);
            let most = nominal * (1.0 + percent / 100.0);
            need.farad = Some((least, most));
            let kind = if first.known { "the rectifier's limit" } else { "the rectifier" };
            let says =
                format!("-10 to +{percent} % of {nominal}: {kind} is not known; look its limit up in the data sheet");
            because(need, PointKind::LimitFirst, "first-capacitor-unknown", SourceId::FirstCapacitor, says);
        }
        None => {
            need.farad = Some((least, full));
            let says = format!("-10 to +100 % of {nominal}: first capacitor after a semiconductor");
            because(need, PointKind::Value, "first-capacitor", SourceId::FirstCapacitor, says);
        }
    }
}

/// Behind a choke or resistor, in a bias supply, or at a screen.
fn later(need: &mut Need, nominal: Farad) {
    need.farad = Some(window(nominal, 20.0, 100.0));
    let says = format!("-20 to +100 % of {nominal}");
    because(need, PointKind::Value, "smoothing-window", SourceId::SmoothingLatitude, says);
}

/// At a cathode more does no harm.
fn cathode(need: &mut Need, nominal: Farad) {
    need.farad = Some(window(nominal, 20.0, 900.0));
    let says = format!("-20 % of {nominal}; larger does no harm, past ten times no good");
    because(need, PointKind::Value, "cathode-value", SourceId::CathodeRating, says);
}

/// Where the value sets a frequency or a time.
fn signal(need: &mut Need, nominal: Farad) {
    need.farad = Some(window(nominal, 20.0, 20.0));
    let says = format!("±20 % of {nominal}: the value sets a frequency or a time");
    because(need, PointKind::Value, "signal-value", SourceId::SignalValues, says);
}

/// Non-polarised where no DC keeps the polarity, or where the marking says so.
fn polarity(context: &NeedContext<'_>, need: &mut Need, place: Place) {
    let marked = context.part.marked.to_lowercase();
    let marked_so = ["bipolar", "non-pol", "nonpol", "reversible"].iter().any(|w| marked.contains(w))
        || marked.split(|c: char| !c.is_alphanumeric()).any(|w| matches!(w, "np" | "bp"));
    let signal = matches!(place, Place::Coupling | Place::Tone | Place::Feedback | Place::Stopper);
    let no_dc = context.stress.working.is_some_and(|w| w.value.abs() < NO_DC);
    need.polarised_ok = !(marked_so || (signal && no_dc));
    if !need.polarised_ok {
        let says = if marked_so { "marked as non-polarised" } else { "a signal without DC across the part" };
        because(need, PointKind::Polarity, "non-polarised", SourceId::SignalPolarity, says.to_owned());
    }
}
