//! Motor start and run capacitors.

use super::context::{NeedContext, NoNeed, because, window};
use crate::model::kind::PartKind;
use crate::model::need::{Need, PointKind};
use crate::sources::SourceId;
use crate::units::Farad;

/// States the need of a motor capacitor: AC rated, ±10 %.
pub(super) fn fill(context: &NeedContext<'_>, need: &mut Need, nominal: Farad) -> Result<(), NoNeed> {
    need.kinds = vec![PartKind::MotorRun];
    need.farad = Some(window(nominal, 10.0, 10.0));
    let says = format!("±10 % of {nominal}, AC rated; never an electrolytic or a DC film part");
    because(need, PointKind::Value, "motor-run", SourceId::MotorValues, says);
    let original = context.part.rating.vac;
    let across = context.stress.working.map(|w| w.value);
    // The voltage across a run capacitor is above the mains, so the mains alone proves nothing.
    let Some(known) = [original, across].into_iter().flatten().reduce(crate::units::Volt::max) else {
        return Err(context.find_out(
            "the AC rating of the motor capacitor is not known: read it or measure across it",
            "read the AC rating off the motor capacitor, or the AC voltage across it with the motor running",
        ));
    };
    let least = context.job.chassis.mains.volts().map_or(known, |mains| known.max(mains));
    need.vac_min = Some(least);
    let says = format!("{least} AC: never below the original, the voltage across it or the mains");
    because(need, PointKind::AcVoltage, "never-below-original", SourceId::OriginalRating, says);
    Ok(())
}
