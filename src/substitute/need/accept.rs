//! The technician's own demand: above every rule but class, voltage, flameproof and like-for-like.

use super::context::{NeedContext, because};
use super::mains::stands_in;
use crate::model::kind::{MainsClass, Place};
use crate::model::need::{Need, PointKind};
use crate::sources::SourceId;
use crate::units::Volt;

/// Notes a demand that was followed.
fn followed(need: &mut Need, point: PointKind, says: String) {
    because(need, point, "accept", SourceId::OwnDemand, says);
}

/// Notes a demand that was not followed.
fn refused(need: &mut Need, point: PointKind, says: String) {
    because(need, point, "accept-refused", SourceId::OwnDemand, says);
}

/// The demanded capacitance instead of the place's window, but never past the touch current.
pub(super) fn farad(context: &NeedContext<'_>, need: &mut Need) {
    let Some((least, most)) = context.part.accept.farad else {
        return;
    };
    let touch = need.place.is_some_and(Place::is_mains) && need.farad_limit.is_some_and(|limit| limit < most);
    if touch {
        let limit = need.farad_limit.unwrap_or(most);
        need.farad = Some((least.min(limit), limit));
        refused(need, PointKind::Touch, format!("{most} was asked for; the touch current allows {limit}"));
        return;
    }
    need.farad = Some((least, most));
    let says = if least < most { format!("{least} to {most} demanded") } else { format!("{least} demanded") };
    followed(need, PointKind::Value, says);
}

/// The demanded resistance instead of the rules' window.
pub(super) fn ohm(context: &NeedContext<'_>, need: &mut Need, like_for_like: bool) {
    let Some((least, most)) = context.part.accept.ohm else {
        return;
    };
    if like_for_like {
        refused(
            need,
            PointKind::Value,
            "another value was asked for; a fusible part is replaced like for like".to_owned(),
        );
        return;
    }
    need.ohm = Some((least, most));
    let says = if least < most { format!("{least} to {most} demanded") } else { format!("{least} demanded") };
    followed(need, PointKind::Value, says);
}

/// The demanded voltage where it is above the rules'.
pub(super) fn volts(context: &NeedContext<'_>, need: &mut Need, least: Option<Volt>) -> Option<Volt> {
    let Some(demanded) = context.part.accept.volts else {
        return least;
    };
    match least {
        Some(least) if demanded < least => {
            refused(need, PointKind::Voltage, format!("{demanded} was asked for; {least} is needed"));
            Some(least)
        }
        _ => {
            followed(need, PointKind::Voltage, format!("{demanded} demanded"));
            Some(demanded)
        }
    }
}

/// The demanded class where it is not below the rules'.
pub(super) fn class(context: &NeedContext<'_>, need: &mut Need, least: MainsClass) -> MainsClass {
    match context.part.accept.class {
        Some(demanded) if stands_in(demanded, least) => {
            followed(need, PointKind::Class, format!("class {} demanded", demanded.mark()));
            demanded
        }
        Some(demanded) => {
            let says = format!("class {} was asked for; {} is needed", demanded.mark(), least.mark());
            refused(need, PointKind::Class, says);
            least
        }
        None => least,
    }
}
