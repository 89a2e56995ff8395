//! Capacitors on the mains: class, AC rating and the current through a person.

use super::accept;
use super::context::{NeedContext, because, window};
use crate::limits::mains::{ASSUMED_MAINS, CHASSIS_CAPACITANCE};
use crate::model::kind::{MainsClass, PartKind, Place};
use crate::model::need::{Need, PointKind};
use crate::physics::mains::{chassis_capacitance_limit, share_of, touch_current};
use crate::sources::SourceId;
use crate::units::{Ampere, Farad, Hertz, Volt};

/// What a socket's coupling may be above its marking: twice is no loss there (common practice, no source).
const SOCKET_UPWARDS_PERCENT: f64 = 100.0;
/// What another part may be off its marking.
const OFF_PERCENT: f64 = 20.0;
/// Where the marked value is above what safety allows, the least share of that which is of use: from one step of
/// series E6 below it (our own rule); of series E3 in [`SHARED`].
const ALONE: f64 = 0.65;
/// The same where several parts share it.
const SHARED: f64 = 0.45;

/// States the need of a capacitor on the mains; `place` is what its place is to the mains of this set.
pub(super) fn fill(context: &NeedContext<'_>, need: &mut Need, place: Place, nominal: Farad) {
    // A class Y ceramic or a class X film part may be listed under its own kind; the class decides.
    need.kinds = vec![PartKind::Suppressor, PartKind::Film, PartKind::Ceramic];
    class(context, need, place);
    let mains = volts(context, need);
    need.vac_min = Some(mains);
    if place == Place::LineToLine {
        need.farad = Some(window(nominal, OFF_PERCENT, OFF_PERCENT));
        let says = format!("±20 % of {nominal} across the mains");
        because(need, PointKind::Value, "mains-value", SourceId::FilmLatitude, says);
    } else {
        touch(context, need, place, (nominal, mains));
    }
}

/// The class that the place asks for; never below the original's, and the technician may raise it.
fn class(context: &NeedContext<'_>, need: &mut Need, place: Place) {
    let (class, says) = match place {
        Place::LineToLine => (MainsClass::X2, "across the mains: class X2 or better; Y may stand in for X"),
        Place::AerialIsolation => (MainsClass::Y1, "a touchable socket on the mains: Y1, or two Y2 in series"),
        _ => (MainsClass::Y2, "mains to chassis: class Y2 or better; X never stands in for Y"),
    };
    because(need, PointKind::Class, "mains-class", SourceId::MainsClasses, says.to_owned());
    let original = context.part.rating.class.filter(|c| stands_in(*c, class));
    need.class = Some(accept::class(context, need, original.unwrap_or(class)));
}

/// Whether `has` may stand where `wanted` is asked for.
pub(crate) const fn stands_in(has: MainsClass, wanted: MainsClass) -> bool {
    match wanted {
        MainsClass::X2 => true,
        MainsClass::X1 => matches!(has, MainsClass::X1 | MainsClass::Y1 | MainsClass::Y2),
        MainsClass::Y2 => matches!(has, MainsClass::Y1 | MainsClass::Y2),
        MainsClass::Y1 => matches!(has, MainsClass::Y1),
    }
}

/// The mains voltage that the AC rating must reach.
fn volts(context: &NeedContext<'_>, need: &mut Need) -> Volt {
    let known = context.job.chassis.mains.volts();
    let volts = known.unwrap_or(ASSUMED_MAINS);
    let says = match known {
        Some(volts) => format!("mains {volts}"),
        None => format!("mains voltage not given: {ASSUMED_MAINS} taken"),
    };
    because(need, PointKind::AcVoltage, "mains-voltage", SourceId::MainsClasses, says);
    volts
}

/// The capacitance by touch current: all parts from the mains to one chassis, or all sockets of a live one,
/// share it. What needs less than an equal share leaves the rest to the others.
fn touch(context: &NeedContext<'_>, need: &mut Need, place: Place, (nominal, mains): (Farad, Volt)) {
    let hertz = context.job.chassis.mains.frequency();
    let upwards = if place == Place::AerialIsolation { SOCKET_UPWARDS_PERCENT } else { OFF_PERCENT };
    let (lower, upper) = window(nominal, OFF_PERCENT, upwards);
    let others = context.job.at_mains_place(place).filter(|p| p.reference != context.part.reference);
    let others: Vec<Farad> =
        others.map(|p| p.farad().map_or(Farad::new(f64::INFINITY), |c| window(c, OFF_PERCENT, upwards).1)).collect();
    let by_rule = chassis_capacitance_limit(mains, hertz).unwrap_or(CHASSIS_CAPACITANCE);
    let all = by_rule.value.min(by_shop(context, mains, hertz));
    let limit = share_of(all, upper, &others);
    need.farad_limit = Some(limit);
    let of_use = if others.is_empty() { ALONE } else { SHARED };
    let least = if lower < limit { lower } else { limit * of_use };
    need.farad = Some((least, limit.min(upper)));
    let passed = touch_current(nominal, mains, hertz);
    let shared = match others.len() {
        0 => String::new(),
        n => format!(" of the {all} that {} parts share, touched together", n + 1),
    };
    let says = format!(
        "at most {limit}{shared}, for the current through a person; the marked {nominal} would pass {passed} at {mains} {hertz}"
    );
    because(need, PointKind::Touch, "touch-current", by_rule.source, says);
}

/// What the shop allows; it may set both limits lower, never higher.
fn by_shop(context: &NeedContext<'_>, mains: Volt, hertz: Hertz) -> Farad {
    let margins = &context.shop.margins;
    let unlimited = Farad::new(f64::INFINITY);
    let capacitance = margins.get("mains-touch.capacitance").map_or(unlimited, |nf| Farad::new(nf * 1e-9));
    let of_one_farad = touch_current(Farad::new(1.0), mains, hertz);
    let by_current =
        margins.get("mains-touch").map_or(unlimited, |ma| Farad::new(Ampere::from_milli(ma) / of_one_farad));
    capacitance.min(by_current)
}
