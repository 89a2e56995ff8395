//! Resistors: value, watts, limiting voltage, flameproof and fusible.

use super::accept;
use super::context::{NeedContext, NoNeed, READ_VALUE, because};
use super::preferred::e24_around;
use crate::model::finding::Basis;
use crate::model::kind::{PartKind, Place};
use crate::model::need::{Need, PointKind};
use crate::sources::SourceId;
use crate::substitute::margins::{RESISTOR_POWER, RESISTOR_VALUE};
use crate::units::{Ohm, Volt, Watt};

/// What a short may heat a resistor by that need not be flameproof, share of its watts (our own rule).
const SHORT_PERCENT: f64 = 70.0;

/// States the need of a resistor.
pub(super) fn fill(context: &NeedContext<'_>, need: &mut Need) -> Result<(), NoNeed> {
    let demanded = context.part.accept.ohm.map(|(least, most)| (least + most) / 2.0);
    let known = context.part.ohm().or(demanded).filter(|r| Ohm::ZERO < *r);
    let nominal = known
        .ok_or_else(|| context.find_out("the resistance is not known: take it from the service sheet", READ_VALUE))?;
    need.ohm_nominal = Some(nominal);
    let fusible = context.part.kind == PartKind::Fusible;
    value(context, need, nominal);
    accept::ohm(context, need, fusible);
    watts(context, need, nominal, fusible);
    kinds(context, need, fusible);
    volts(context, need);
    need.ambient = context.stress.heat.map(|h| h.value);
    Ok(())
}

/// Kinds that will do; flameproof places leave out what burns.
fn kinds(context: &NeedContext<'_>, need: &mut Need, fusible: bool) {
    if fusible {
        need.kinds = vec![PartKind::Fusible];
        need.flameproof = true;
        let says = "fusible: like for like, never uprated".to_owned();
        because(need, PointKind::Flameproof, "fusible", SourceId::FusibleSheet, says);
        return;
    }
    need.kinds = vec![PartKind::MetalFilm, PartKind::CarbonFilm, PartKind::Wirewound];
    need.flameproof = match context.part.place {
        Some(Place::Screen | Place::Dropper) if bears_a_short(context, need) => false,
        Some(Place::Screen | Place::Dropper) => true,
        Some(Place::Stopper) => at_an_anode(context),
        _ => false,
    };
    if need.flameproof {
        let says = "flameproof or wirewound: a failing valve or capacitor overloads it".to_owned();
        because(need, PointKind::Flameproof, "flameproof", SourceId::FlameproofPlaces, says);
    } else {
        need.kinds.push(PartKind::CarbonComposition);
    }
}

/// Whether the whole of what can be across a resistor heats it by well less than its watts, so that no failing
/// valve or capacitor overloads it. The HT that its place may be on counts, proved or not.
fn bears_a_short(context: &NeedContext<'_>, need: &mut Need) -> bool {
    let stress = context.stress;
    // A highest voltage that was measured, or that is the working one, says nothing of a short.
    let short = stress.highest.filter(|h| h.basis != Basis::Measured);
    let across = short.map(|h| h.value).filter(|h| stress.working.is_none_or(|w| w.value < *h));
    let Some(((volts, ohm), watts)) = across.zip(need.ohm.map(|(least, _)| least)).zip(need.watts_min) else {
        return false;
    };
    let worst = volts.heat_in(ohm);
    if watts * (SHORT_PERCENT / 100.0) < worst {
        return false;
    }
    let says = format!("{volts} across the whole of it makes {worst}: it need not be flameproof");
    because(need, PointKind::Watts, "bears-a-short", SourceId::FlameproofPlaces, says);
    true
}

/// Whether a stopper carries HT: an anode stopper, unless its voltages show a grid stopper.
fn at_an_anode(context: &NeedContext<'_>) -> bool {
    let nodes = [context.part.plus.as_ref(), context.part.minus.as_ref()];
    let at_grid = nodes.into_iter().flatten().any(|n| n.as_str().starts_with('G'));
    !at_grid && !context.part.note.as_deref().is_some_and(|n| n.to_lowercase().contains("grid"))
}

/// Within 5 % of the marked value, wider where no preferred value lies there.
fn value(context: &NeedContext<'_>, need: &mut Need, nominal: Ohm) {
    let percent = RESISTOR_VALUE.of(context.shop);
    let share = percent / 100.0;
    let (mut least, mut most) = (nominal * (1.0 - share), nominal * (1.0 + share));
    let (below, above) = e24_around(nominal);
    if below < least || most < above {
        // An old value such as 250 k keeps both of its neighbours, the lower only if it is near.
        least = least.min(below.max(nominal * 0.9));
        most = most.max(above.min(nominal * 1.1));
    }
    need.ohm = Some((least, most));
    let own = context.part.rating.tolerance.map(|t| t.minus_percent.max(t.plus_percent));
    need.tolerance_max_percent = own.filter(|o| *o <= 5.0).map(|o| o.max(1.0));
    let says = format!("{least} to {most} for the marked {nominal}");
    because(need, PointKind::Value, "resistor-value", SourceId::ResistorValues, says);
}

/// Twice the dissipation and never below the original; a fusible part exactly as it was.
fn watts(context: &NeedContext<'_>, need: &mut Need, nominal: Ohm, fusible: bool) {
    let original = context.part.rating.watts;
    if fusible {
        need.watts_min = original;
        return;
    }
    let factor = RESISTOR_POWER.of(context.shop);
    let working = context.stress.working.map(|w| w.value);
    let heat = working.map(|v| v.heat_in(need.ohm.map_or(nominal, |(least, _)| least.max(nominal * 0.95))));
    let wanted = heat.map(|p| p * factor);
    if let (Some(heat), Some(wanted)) = (heat, wanted) {
        let says = format!("{factor} × the {heat} that it turns to heat: {wanted}");
        because(need, PointKind::Watts, "resistor-power", SourceId::BenchShares, says);
    }
    if let Some(original) = original {
        let says = format!("never below the original's {original}");
        because(need, PointKind::Watts, "never-below-original", SourceId::OriginalRating, says);
    }
    need.watts_min = [original, wanted].into_iter().flatten().reduce(Watt::max);
}

/// Whether the resistor could stand this voltage for a while; with more heat than five times its
/// watts it burns out before its body arcs, and flameproof is what counts.
fn survives(need: &Need, volts: Volt) -> bool {
    match (need.ohm_nominal, need.watts_min) {
        (Some(ohm), Some(watts)) => volts.heat_in(ohm) <= watts * 5.0,
        _ => true,
    }
}

/// The body must stand what can be across it, the whole HT where the valve is short.
fn volts(context: &NeedContext<'_>, need: &mut Need) {
    need.working = context.stress.working.map(|w| w.value);
    let highest = context.stress.highest.map(|h| h.value).filter(|v| survives(need, *v));
    let across = [need.working, highest].into_iter().flatten().reduce(Volt::max);
    if let Some(across) = across {
        let says = match need.working {
            Some(working) if working < across => format!("{working} across it, {across} where the valve is short"),
            _ => format!("{across} across it"),
        };
        because(need, PointKind::Voltage, "resistor-voltage", SourceId::MilPrf39005, says);
    }
    let least = [across, context.part.rating.volts].into_iter().flatten().reduce(Volt::max);
    need.volts_min = accept::volts(context, need, least);
}
