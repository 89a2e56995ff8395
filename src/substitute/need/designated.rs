//! Parts known by a designation: valves, lamps, fuses, leads, sockets, hardware.

use super::context::{NeedContext, NoNeed, because};
use super::fuse;
use super::words::wanted;
use crate::marking::fuse::Fuse;
use crate::model::chassis::SupplyKind;
use crate::model::kind::PartKind;
use crate::model::need::{Need, PointKind};
use crate::sources::SourceId;
use crate::substitute::designation::length::cores;
use crate::substitute::designation::same;

/// States the need: the designation, and what the user's list says may stand in for it.
pub(super) fn fill(context: &NeedContext<'_>, need: &mut Need) -> Result<(), NoNeed> {
    let part = context.part;
    need.kinds = match part.kind {
        PartKind::Valve | PartKind::Rectifier => vec![part.kind, other(part.kind)],
        kind => vec![kind],
    };
    if let Some(demanded) = &part.accept.designation {
        need.designations = vec![demanded.clone()];
        because(need, PointKind::Value, "accept", SourceId::OwnDemand, format!("{demanded} demanded"));
        return Ok(());
    }
    let unrated = part.designation().and_then(Fuse::parse).is_none();
    if part.kind == PartKind::Fuse && (unrated || fuse::is_too_large(context)) {
        return fuse::fill(context, need);
    }
    let Some(own) = part.designation() else {
        let no_need =
            context.find_out("the designation is not known", "read the type off the part or the service sheet");
        return Err(NoNeed { wanted: wanted(need), ..no_need });
    };
    if part.kind == PartKind::Lead && cores(own) == Some(2) && context.job.chassis.supply == SupplyKind::Transformer {
        three_cores(need, own);
        return Ok(());
    }
    need.designations = vec![own.to_owned()];
    because(
        need,
        PointKind::Value,
        "designation",
        SourceId::UsersEquivalents,
        format!("{own}, or an equivalent of the user's list"),
    );
    for equivalent in context.shop.equivalents.iter().filter(|e| same(&e.designation, own)) {
        need.designations.push(equivalent.equivalent.clone());
        let note = equivalent.note.as_deref().map_or_else(String::new, |n| format!(" ({n})"));
        let says = format!("{} may stand in{note}", equivalent.equivalent);
        because(need, PointKind::Value, "equivalent", SourceId::UsersEquivalents, says);
    }
    if part.kind == PartKind::Fuse {
        fuse::fill(context, need)?;
    }
    if in_series_chain(context) {
        let says = "series heater chain: the current must match".to_owned();
        because(need, PointKind::Heater, "series-chain", SourceId::LampCurrent, says);
    }
    Ok(())
}

/// The lead of three cores that is advised in place of one of two; two again only on the technician's word.
fn three_cores(need: &mut Need, own: &str) {
    let length = own.rsplit_once(|c: char| c.is_whitespace()).filter(|(_, unit)| *unit == "m");
    let metres =
        length.and_then(|(before, _)| before.rsplit(' ').next()).map_or_else(String::new, |m| format!(" {m} m"));
    need.designations = vec![format!("mains lead 3-core{metres}")];
    let says = format!(
        "three cores in place of {own}, where set and local code allow; else write {own} as accept. With the three cores written as accept, what stands from line to chassis is left out"
    );
    because(need, PointKind::Value, "designation", SourceId::LeadPractice, says);
}

/// Valve rectifiers are listed under both kinds.
const fn other(kind: PartKind) -> PartKind {
    match kind {
        PartKind::Valve => PartKind::Rectifier,
        _ => PartKind::Valve,
    }
}

/// Whether lamps and heaters are in series: in a live set, or one that is not known.
fn in_series_chain(context: &NeedContext<'_>) -> bool {
    let heated = matches!(context.part.kind, PartKind::Valve | PartKind::Lamp | PartKind::Rectifier);
    heated && matches!(context.job.chassis.supply, SupplyKind::Live | SupplyKind::Unknown)
}
