//! What a new part must be: every figure of a need with its rule and source.

mod accept;
mod conditions;
mod context;
mod designated;
mod electrolytic;
mod film;
mod fuse;
pub(super) mod mains;
mod motor;
pub(super) mod preferred;
mod rectifier;
mod resistor;
mod space;
mod supply;
mod voltage;
mod words;

pub use context::{NeedContext, NoNeed};
pub use words::{need_text, wanted};

use crate::model::kind::{PartKind, Place};
use crate::model::need::{Need, PointKind, Why};
use crate::sources::SourceId;
use crate::units::Farad;

/// What the new part in the place of this one must be.
///
/// # Errors
/// Says what has to be found out first: a value, a rating or a designation that neither the
/// part nor the technician gives.
pub fn need_of(context: &NeedContext<'_>) -> Result<Need, NoNeed> {
    let mut need = context.blank();
    let part = context.part;
    if part.kind.is_designated() {
        rectifier::fill(context, &mut need);
        designated::fill(context, &mut need)?;
    } else if part.kind.is_resistor() {
        resistor::fill(context, &mut need)?;
    } else {
        capacitor(context, &mut need)?;
    }
    space::fill(context, &mut need);
    space::can(context, &mut need);
    space::pair(context, &mut need);
    Ok(need)
}

/// The family of places decides the rules for a capacitor.
fn capacitor(context: &NeedContext<'_>, need: &mut Need) -> Result<(), NoNeed> {
    let (place, assumed) = placed(context);
    need.place = Some(place);
    if let Some(says) = assumed {
        need.why.push(Why { point: PointKind::Kind, rule: "place-assumed", says, source: SourceId::OwnDemand });
    }
    let nominal = context.farad()?;
    need.farad_nominal = Some(nominal);
    if let Some(on_mains) = context.job.chassis.mains_place(place) {
        mains::fill(context, need, on_mains, nominal);
    } else if place == Place::Motor || context.part.kind == PartKind::MotorRun {
        motor::fill(context, need, nominal)?;
    } else if matches!(context.part.kind, PartKind::Electrolytic | PartKind::Tantalum) {
        electrolytic::fill(context, need, nominal)?;
    } else {
        film::fill(context, need, nominal)?;
    }
    accept::farad(context, need);
    Ok(())
}

/// The place, or the hardest that it can be, with the reason where it was not given.
fn placed(context: &NeedContext<'_>) -> (Place, Option<String>) {
    let part = context.part;
    if let Some(place) = part.place {
        return (place, None);
    }
    let (place, why) = match part.kind {
        PartKind::Electrolytic | PartKind::Tantalum => (Place::Reservoir, "the hardest place of an electrolytic"),
        PartKind::MotorRun => (Place::Motor, "a motor part"),
        PartKind::Suppressor => (Place::LineToChassis, "the hardest place of a mains suppressor"),
        _ if may_be_mains(context) => (Place::LineToChassis, "a part of this value and rating may be on the mains"),
        _ => (Place::Coupling, "the hardest place of a paper or film part"),
    };
    (place, Some(format!("place not given: taken as {place}, {why}")))
}

/// Whether a part without place or nodes could sit on the mains: 1 to 100 nF and rated 600 V
/// or more, or marked with a class or an AC rating.
fn may_be_mains(context: &NeedContext<'_>) -> bool {
    let part = context.part;
    if part.plus.is_some() || part.minus.is_some() {
        return false;
    }
    let marked = part.rating.class.is_some() || part.rating.vac.is_some();
    let sized = part.farad().is_some_and(|c| Farad::new(0.99e-9) <= c && c <= Farad::new(101e-9));
    marked || (sized && part.rating.volts.is_some_and(|v| 600.0 <= v.get()))
}

/// The reason on this need with this rule id, if it has one.
pub(super) fn reason<'a>(need: &'a Need, rule: &str) -> Option<&'a Why> {
    need.why.iter().find(|w| w.rule == rule)
}

/// Whether the technician's own demand on this point was followed.
pub(super) fn demanded(need: &Need, point: PointKind) -> bool {
    need.why.iter().any(|w| w.rule == "accept" && w.point == point)
}
