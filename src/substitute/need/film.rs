//! Paper, film, mica and ceramic: coupling, screens, tone and tuned circuits, output anodes.

use super::context::{NeedContext, NoNeed, because, window};
use super::{conditions, voltage};
use crate::model::kind::{PartKind, Place};
use crate::model::need::{Need, PointKind};
use crate::sources::SourceId;
use crate::units::Farad;

/// States the need of a capacitor that is no electrolytic.
pub(super) fn fill(context: &NeedContext<'_>, need: &mut Need, nominal: Farad) -> Result<(), NoNeed> {
    let place = need.place.unwrap_or(Place::Coupling);
    kinds(context, need, place);
    value(context, need, place, nominal);
    if place == Place::OutputAnode {
        voltage::by_output_anode(context, need)?;
    } else {
        voltage::by_highest(context, need)?;
        if matches!(place, Place::Coupling | Place::Screen) {
            let says = "at switch-on the whole HT stands across it".to_owned();
            because(need, PointKind::Voltage, "coupling-ht", SourceId::CouplingAtHt, says);
        }
    }
    conditions::heat(context, need);
    need.temp_min = need.ambient.filter(|_| need.temp_min.is_some());
    Ok(())
}

/// Kinds that will do, best first.
fn kinds(context: &NeedContext<'_>, need: &mut Need, place: Place) {
    let kind = context.part.kind;
    let (kinds, says) = match (kind, place) {
        (PartKind::Ceramic, Place::Tuned) => (vec![PartKind::Ceramic], "temperature-coefficient part: like for like"),
        (PartKind::Ceramic, _) => {
            (vec![PartKind::Ceramic, PartKind::Film, PartKind::Mica], "ceramic, or film or mica, which are steadier")
        }
        (PartKind::Mica, Place::Tuned) => (vec![PartKind::Mica], "tuned circuit: mica again"),
        (PartKind::Mica, _) => (vec![PartKind::Mica, PartKind::Film], "mica or film"),
        (_, Place::Tuned) => (vec![PartKind::Film, PartKind::Mica], "film or mica"),
        _ => (vec![PartKind::Film, PartKind::Mica], "film or mica; no ceramic where a signal passes"),
    };
    need.kinds = kinds;
    because(need, PointKind::Kind, "kinds", SourceId::SubstituteKinds, says.to_owned());
}

/// The window of values, and the tolerance where the circuit asks for one.
fn value(context: &NeedContext<'_>, need: &mut Need, place: Place, nominal: Farad) {
    let percent = match place {
        Place::Tuned => 5.0,
        Place::Tone | Place::Timing | Place::Feedback => 10.0,
        _ => 20.0,
    };
    let larger = if matches!(
        place,
        Place::Reservoir | Place::Smoothing | Place::Decoupling | Place::Bias | Place::AerialIsolation
    ) {
        100.0
    } else {
        percent
    };
    need.farad = Some(window(nominal, percent, larger));
    if percent < 20.0 {
        let own = context.part.rating.tolerance.map(|t| t.minus_percent.max(t.plus_percent));
        need.tolerance_max_percent = Some(own.map_or(percent, |o| o.min(percent)));
        let says = format!("nearest value to {nominal}, within {percent} %, tolerance as the circuit asks");
        because(need, PointKind::Value, "signal-value", SourceId::SignalValues, says);
    } else {
        let says = format!("-20 to +{larger} % of {nominal}: old values step to today's");
        because(need, PointKind::Value, "film-value", SourceId::FilmLatitude, says);
    }
}
