//! Fuses by the current that they carry: the mains fuse by the primary's, the HT fuse by the load.

use super::context::{NeedContext, NoNeed, because};
use crate::model::chassis::{HtNode, HtSupply};
use crate::model::need::{Need, PointKind};
use crate::sources::SourceId;
use crate::substitute::designation::fuse::Fuse;
use crate::substitute::designation::rating::{HT_FUSE, MAINS_FUSE, ht_fuse, mains_fuse};
use crate::units::Ampere;

/// Ratings of one decade that fuses are made in; from memory.
const RATINGS: [f64; 10] = [1.0, 1.25, 1.6, 2.0, 2.5, 3.15, 4.0, 5.0, 6.3, 8.0];
/// Rounding at the edges of a range.
const EDGE: f64 = 1e-6;

/// States what the current asks for: beside a marked rating as a remark, and in its place where the
/// line gives no rating.
pub(super) fn fill(context: &NeedContext<'_>, need: &mut Need) -> Result<(), NoNeed> {
    let marked = context.part.designation().and_then(Fuse::parse);
    let Some((range, says)) = wanted(context) else {
        return match marked {
            Some(_) => Ok(()),
            None => Err(context.find_out(
                "the rating of the fuse is not known: measure the primary current (in ripple_ma of its line), or take it from the service sheet",
            )),
        };
    };
    let inside = |amps: Ampere| range.0 * (1.0 - EDGE) <= amps && amps <= range.1 * (1.0 + EDGE);
    let remark = match marked {
        Some(fuse) if inside(fuse.amps) => format!("{says}; the marked {} is right", fuse.amps),
        Some(fuse) => format!("{says}; the marked {} is not: look it up before ordering", fuse.amps),
        None => {
            need.designations = made(range).into_iter().map(|amps| designation(context, amps)).collect();
            says
        }
    };
    because(need, PointKind::Value, "fuse-rating", SourceId::FuseRatings, remark);
    Ok(())
}

/// Least and largest rating with the reason; `None` where the current is not known.
fn wanted(context: &NeedContext<'_>) -> Option<((Ampere, Ampere), String)> {
    if let Some(supply) = supply(context) {
        let load = load(supply)?;
        let least = ht_fuse(load);
        let made = all_made().find(|amps| least * (1.0 - EDGE) <= *amps)?;
        return Some((
            (least, made),
            format!("HT fuse: {:.2} × the load of {load} is {least}, so {made}", HT_FUSE.value),
        ));
    }
    let primary = context.part.found.ripple?;
    let (least, most) = mains_fuse(primary);
    let (low, high) = MAINS_FUSE.value;
    let says =
        format!("mains fuse: {low} to {high} × the {primary} of the primary is {least} to {most}, time-delay, HBC");
    Some(((least, most), says))
}

/// The supply that the fuse is in, by its nodes.
fn supply<'a>(context: &NeedContext<'a>) -> Option<&'a HtSupply> {
    let part = context.part;
    let within = |s: &&HtSupply| {
        let back = !(s.return_to.is_chassis()) && part.touches(&s.return_to);
        back || s.nodes.iter().any(|n| part.touches(&n.name))
    };
    context.job.chassis.supplies.iter().find(within)
}

/// What the supply delivers; `None` where nothing is said of any load.
fn load(supply: &HtSupply) -> Option<Ampere> {
    let resistive = |n: &HtNode| Some(n.measured.or(n.sheet)? / n.load_ohm?);
    let loads = supply.nodes.iter().flat_map(|n| [n.load, resistive(n)]);
    let known: Vec<Ampere> = loads.flatten().collect();
    (!known.is_empty()).then(|| known.into_iter().sum())
}

/// Every rating from 32 mA to 8 A, rising.
fn all_made() -> impl Iterator<Item = Ampere> {
    [0.01, 0.1, 1.0].into_iter().flat_map(|decade| RATINGS.iter().map(move |r| Ampere::new(r * decade)))
}

/// The ratings made within a range.
fn made((least, most): (Ampere, Ampere)) -> Vec<Ampere> {
    all_made().filter(|amps| least * (1.0 - EDGE) <= *amps && *amps <= most * (1.0 + EDGE)).collect()
}

/// How such a fuse is written; on the mains time-delay with high breaking capacity.
fn designation(context: &NeedContext<'_>, amps: Ampere) -> String {
    let figure = if amps.get() < 1.0 { format!("{:.0}mA", amps.milli()) } else { format!("{}A", amps.get()) };
    if supply(context).is_some() { figure } else { format!("T{figure} HBC") }
}
