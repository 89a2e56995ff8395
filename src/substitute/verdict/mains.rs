//! The mains side: AC rating, class, touch current. What fails here is barred.

use super::Held;
use super::tally::{Head, Said, Tally};
use crate::model::kind::{MainsClass, Place};
use crate::model::need::{Answer, PointKind};
use crate::substitute::need::mains::stands_in;
use crate::units::Volt;

/// Mains up to which every part of class X or Y on the market is rated; common practice, no source.
const USUAL_AC_RATING: Volt = Volt::new(250.0);

/// The AC rating on the mains and at motors.
pub(super) fn ac_voltage(held: Held<'_>, tally: &mut impl Tally) {
    let Held { need, article, .. } = held;
    let Some(needs) = need.vac_min else {
        return;
    };
    let on_mains = need.class.is_some();
    let answer = match article.vac {
        Some(vac) if needs.get() * (1.0 - 1e-9) <= vac.get() => Answer::Fit,
        None if on_mains && article.class.is_some() && needs <= USUAL_AC_RATING => Answer::Caution,
        _ if on_mains => Answer::Barred,
        _ => Answer::Unsuitable,
    };
    tally.point(Head::with(PointKind::AcVoltage, "mains-voltage", answer), || {
        let has = article.vac.map_or_else(|| "AC rating not stated".to_owned(), |v| format!("{v} AC"));
        let says = match answer {
            Answer::Caution => format!("{has}: read it on the part before fitting ({needs} AC needed)"),
            Answer::Fit => format!("{has} is enough"),
            _ => format!("{needs} AC needed, {has}; a DC rating does not count"),
        };
        Said::new(format!("{needs} AC"), has, says)
    });
    if let Some(vac) = article.vac.filter(|v| *v < needs) {
        tally.far(vac.get(), needs.get());
    }
}

/// The safety class; an ordinary part, whatever its DC rating, is never allowed.
pub(super) fn class(held: Held<'_>, tally: &mut impl Tally) {
    let Held { need, article, .. } = held;
    let Some(needs) = need.class else {
        return;
    };
    let ok = article.class.is_some_and(|has| stands_in(has, needs));
    tally.point(Head::safe(PointKind::Class, "mains-class", ok), || {
        let has = article.class.map_or("no class", |c| c.mark());
        let says = match (ok, article.class) {
            (true, _) => format!("class {has} for {}", needs.mark()),
            (false, None) => format!("class {} needed: ordinary parts are not allowed on the mains", needs.mark()),
            (false, Some(MainsClass::Y2)) if need.place == Some(Place::AerialIsolation) => {
                "one class Y2 part alone is not enough: Y1, or two Y2 in series".to_owned()
            }
            (false, Some(_)) => format!("class {has} never stands in for {}", needs.mark()),
        };
        Said::new(format!("class {} or better", needs.mark()), has, says)
    });
}

/// What the capacitance would pass through a person.
pub(super) fn touch(held: Held<'_>, tally: &mut impl Tally) {
    let Held { need, article, .. } = held;
    let at = need.place.is_some_and(Place::is_mains);
    let (Some(limit), Some(has), true) = (need.farad_limit, article.farad(), at) else {
        return;
    };
    let ok = has.get() <= limit.get() * (1.0 + 1e-6);
    tally.point(Head::safe(PointKind::Touch, "touch-current", ok), || {
        let says = if ok {
            format!("{has} keeps the touch current down")
        } else {
            format!("{has} passes too much through a person: {limit} at most")
        };
        Said::new(format!("at most {limit}"), has, says)
    });
}
