//! The DC rating: the highest voltage that can be there, and never below the original.

use super::context::{NeedContext, NoNeed, because};
use crate::model::need::{Need, PointKind};
use crate::sources::SourceId;
use crate::substitute::margins::{CATHODE_RATING, OUTPUT_ANODE};
use crate::units::Volt;

/// Below this the working voltage is no HT.
const NO_DC: Volt = Volt::new(10.0);

/// Least rating at a place where the highest voltage counts: the larger of it and the original's.
pub(super) fn by_highest(context: &NeedContext<'_>, need: &mut Need) -> Result<(), NoNeed> {
    need.working = context.stress.working.map(|w| w.value);
    let original = original(context, need);
    let highest = highest(context, need);
    set(context, need, [original, highest])
}

/// Least rating at a cathode: the larger of 1.25 times the working voltage and the original's.
pub(super) fn by_cathode(context: &NeedContext<'_>, need: &mut Need) -> Result<(), NoNeed> {
    need.working = context.stress.working.map(|w| w.value);
    let factor = CATHODE_RATING.of(context.shop);
    let lifted = need.working.map(|v| v * factor);
    if let (Some(lifted), Some(working)) = (lifted, need.working) {
        let says = format!("an over-running valve lifts its cathode: {factor} × {working} = {lifted}");
        because(need, PointKind::Voltage, "cathode-rating", SourceId::CathodeRating, says);
    }
    let original = original(context, need);
    let measured = context.part.found.highest;
    set(context, need, [original, lifted, measured])
}

/// Least rating at an output anode: the original's, or three times the HT where that is more.
pub(super) fn by_output_anode(context: &NeedContext<'_>, need: &mut Need) -> Result<(), NoNeed> {
    need.working = context.stress.working.map(|w| w.value);
    let factor = OUTPUT_ANODE.of(context.shop);
    // Between two anodes there is no DC to go by; the highest voltage stands for the HT then.
    let ht =
        [need.working.filter(|w| NO_DC < *w), context.stress.highest.map(|h| h.value)].into_iter().flatten().next();
    let transient = ht.map(|v| v * factor);
    if let (Some(transient), Some(ht)) = (transient, ht) {
        let says = format!("transients at an output anode: {factor} × {ht} = {transient}; pulse-rated film");
        because(need, PointKind::Voltage, "output-anode", SourceId::OutputAnodeRating, says);
    }
    let original = original(context, need);
    let highest = highest(context, need);
    set(context, need, [original, highest, transient])
}

/// Takes the largest of the bounds and of what the technician adds.
fn set<const N: usize>(context: &NeedContext<'_>, need: &mut Need, bounds: [Option<Volt>; N]) -> Result<(), NoNeed> {
    let least = bounds.into_iter().flatten().reduce(Volt::max);
    need.volts_min = super::accept::volts(context, need, least);
    if need.volts_min.is_none() {
        return Err(context.find_out(
            "neither its rating nor the voltage across it is known: write rated_v from the service sheet, or measure highest_v",
            "find its rating on the service sheet, or read the highest voltage across it",
        ));
    }
    Ok(())
}

/// The original's rating as a bound.
fn original(context: &NeedContext<'_>, need: &mut Need) -> Option<Volt> {
    let rated = context.part.rating.volts?;
    let says = format!("never below the original's {rated}");
    because(need, PointKind::Voltage, "never-below-original", SourceId::OriginalRating, says);
    Some(rated)
}

/// The most that can be there as a bound, or the remark that it is not proved.
fn highest(context: &NeedContext<'_>, need: &mut Need) -> Option<Volt> {
    let known = context.stress.highest;
    if let Some(highest) = known {
        let says = format!("{} can be there ({})", highest.value, highest.basis);
        because(need, PointKind::Voltage, "voltage-highest", SourceId::HighestVoltage, says);
    }
    if known.is_none() {
        let says = "unproved: neither winding nor measurement gives the highest voltage".to_owned();
        because(need, PointKind::Voltage, "voltage-unproved", SourceId::HighestVoltage, says);
    }
    known.map(|h| h.value)
}
