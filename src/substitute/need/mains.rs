//! Capacitors on the mains: class, AC rating and the current through a person.

use super::accept;
use super::context::{NeedContext, because, window};
use crate::limits::mains::CHASSIS_CAPACITANCE;
use crate::model::kind::{MainsClass, PartKind, Place};
use crate::model::need::{Need, PointKind};
use crate::physics::mains::{chassis_capacitance_limit, touch_current};
use crate::sources::SourceId;
use crate::units::{Ampere, Farad, Hertz, Volt};

/// Mains taken where the sheet gives none: the highest of the usual supplies.
const ASSUMED_MAINS: Volt = Volt::new(250.0);
/// States the need of a capacitor on the mains.
pub(super) fn fill(context: &NeedContext<'_>, need: &mut Need, nominal: Farad) {
    let place = need.place.unwrap_or(Place::LineToChassis);
    // A class Y ceramic or a class X film part may be listed under its own kind; the class decides.
    need.kinds = vec![PartKind::Suppressor, PartKind::Film, PartKind::Ceramic];
    class(context, need, place);
    let mains = volts(context, need);
    need.vac_min = Some(mains);
    if place == Place::LineToLine {
        need.farad = Some(window(nominal, 20.0, 20.0));
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

/// The capacitance by touch current: all parts from the mains to the chassis share it.
fn touch(context: &NeedContext<'_>, need: &mut Need, place: Place, (nominal, mains): (Farad, Volt)) {
    let hertz = context.job.chassis.mains.frequency();
    let sharing = match place {
        Place::LineToChassis => context.job.parts.iter().filter(|p| p.place == Some(place)).count().max(1),
        _ => 1,
    };
    let by_rule = chassis_capacitance_limit(mains, hertz).unwrap_or(CHASSIS_CAPACITANCE);
    let all = by_rule.value.min(by_shop(context, mains, hertz));
    #[expect(clippy::cast_precision_loss, reason = "a handful of parts")]
    let limit = all / sharing as f64;
    need.farad_limit = Some(limit);
    let least = if nominal * 0.8 < limit { nominal * 0.8 } else { limit * 0.2 };
    need.farad = Some((least, limit.min(nominal * 1.2)));
    let passed = touch_current(nominal, mains, hertz);
    let shared = if sharing > 1 { format!(", shared by {sharing} parts") } else { String::new() };
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
