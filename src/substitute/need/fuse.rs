//! Fuses by the current that they carry: the mains fuse by the primary's, the HT fuse by the load.

use super::context::{NeedContext, NoNeed, because};
use crate::limits::fuse::{HT_FUSE, MAINS_FUSE};
use crate::marking::fuse::{Breaking, Fuse, Speed};
use crate::model::need::{Need, PointKind};
use crate::physics::fuse::{Window, ht_fuse, mains_fuse};
use crate::sources::SourceId;
use crate::units::Ampere;

/// Whether the marked fuse is rated above what its current allows, so that it is not to be had again.
pub(super) fn is_too_large(context: &NeedContext<'_>) -> bool {
    let marked = context.part.designation().and_then(Fuse::parse);
    marked.zip(wanted(context)).is_some_and(|(fuse, (window, _))| window.is_too_small_for(fuse.amps, is_ht(context)))
}

/// Whether the fuse is in a supply's own line.
fn is_ht(context: &NeedContext<'_>) -> bool {
    context.job.supply_at(context.part).is_some()
}

/// States what the current asks for: beside a marked rating as a remark, and in its place where the
/// line gives no rating or one that no longer protects.
pub(super) fn fill(context: &NeedContext<'_>, need: &mut Need) -> Result<(), NoNeed> {
    let marked = context.part.designation().and_then(Fuse::parse);
    let Some((window, says)) = wanted(context) else {
        return match marked {
            Some(_) => Ok(()),
            None => Err(context.find_out(
                "the rating of the fuse is not known: measure the primary current (in ripple_ma of its line), or take it from the service sheet",
                "read the rating off its holder or the service sheet, or read the primary current",
            )),
        };
    };
    let remark = match marked {
        Some(fuse) if window.holds(fuse.amps) => format!("{says}; the marked {} is right", fuse.amps),
        Some(fuse) if !window.is_too_small_for(fuse.amps, is_ht(context)) => {
            format!("{says}; the marked {} is not: look it up before ordering", fuse.amps)
        }
        _ => {
            let made = window.made();
            need.designations = made.into_iter().map(|amps| designation(context, marked.as_ref(), amps)).collect();
            marked.map_or(says.clone(), |fuse| format!("{says}; the marked {} does not protect", fuse.amps))
        }
    };
    because(need, PointKind::Value, "fuse-rating", SourceId::FuseRatings, remark);
    Ok(())
}

/// Least and largest rating with the reason; `None` where the current is not known.
fn wanted(context: &NeedContext<'_>) -> Option<(Window, String)> {
    if let Some(supply) = context.job.supply_at(context.part) {
        let load = supply.load()?;
        let window = ht_fuse(load)?;
        let (least, made) = (window.least, window.most);
        return Some((window, format!("HT fuse: {:.2} × the load of {load} is {least}, so {made}", HT_FUSE.value)));
    }
    let primary = context.part.found.ripple?;
    let window = mains_fuse(primary);
    let (low, high) = MAINS_FUSE.value;
    let (least, most) = (window.least, window.most);
    let says =
        format!("mains fuse: {low} to {high} × the {primary} of the primary is {least} to {most}, time-delay, HBC");
    Some((window, says))
}

/// How such a fuse is written: on the mains time-delay with high breaking capacity, else as the marked one
/// was; the size of the marked one stays, for its holder does.
fn designation(context: &NeedContext<'_>, marked: Option<&Fuse>, amps: Ampere) -> String {
    let figure = if amps.get() < 1.0 { format!("{:.0}mA", amps.milli()) } else { format!("{}A", amps.get()) };
    let mains = !is_ht(context);
    let speed = match marked.and_then(|fuse| fuse.speed) {
        _ if mains => "T",
        Some(Speed::Delay) => "T",
        Some(Speed::Quick) => "F",
        None => "",
    };
    let size = marked.and_then(|fuse| fuse.length_mm).map_or_else(String::new, |mm| format!(" {mm}mm"));
    let high = mains || marked.is_some_and(|fuse| fuse.breaking == Some(Breaking::High));
    format!("{speed}{figure}{size}{}", if high { " HBC" } else { "" })
}
