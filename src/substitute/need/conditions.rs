//! Ripple, temperature and the hours that a new part should last.

use super::context::{NeedContext, because};
use crate::model::kind::Place;
use crate::model::need::{Need, PointKind};
use crate::sources::SourceId;
use crate::substitute::margins::TEMPERATURE;
use crate::units::{Ampere, Celsius, Hour};

/// Series that are asked for above the hot-place limit.
const HOT_SERIES: Celsius = Celsius::new(105.0);
/// Ripple below this is carried by every part, except that a reservoir's is always checked.
const WORTH_CHECKING: Ampere = Ampere::from_milli(1.0);
/// Years beyond which no maker claims a life.
const MOST_YEARS: f64 = 15.0;

/// The ripple current that the part must carry.
pub(super) fn ripple(context: &NeedContext<'_>, need: &mut Need, place: Place) {
    if !(place.is_ht_supply() || context.part.found.ripple.is_some()) {
        return;
    }
    let Some(known) = context.stress.ripple else {
        return;
    };
    if place != Place::Reservoir && known.value.total < WORTH_CHECKING {
        return;
    }
    need.ripple = Some(known.value);
    let says = format!("ripple {} rms ({}), with the factors of its frequencies", known.value.total, known.basis);
    because(need, PointKind::Ripple, "ripple", SourceId::RippleSum, says);
}

/// A 105 °C part in a hot place; the heat also counts for life.
pub(super) fn heat(context: &NeedContext<'_>, need: &mut Need) {
    let Some(heat) = context.stress.heat else {
        return;
    };
    need.ambient = Some(heat.value);
    let limit = Celsius::new(TEMPERATURE.of(context.shop));
    if heat.value > limit {
        need.temp_min = Some(HOT_SERIES.max(heat.value));
        let says = format!("{} there ({}), over {limit}: a {HOT_SERIES} part", heat.value, heat.basis);
        because(need, PointKind::Temperature, "temperature", SourceId::HotPlace, says);
    }
}

/// Hours of use that are wanted.
pub(super) fn life(context: &NeedContext<'_>, need: &mut Need) {
    let conditions = &context.job.chassis.conditions;
    let years = conditions.wanted_years.min(MOST_YEARS);
    let hours = Hour::new(conditions.hours_per_year * years);
    need.life_min = Some(hours);
    let says = format!("{years} years of {} h each: {} h", conditions.hours_per_year, hours.get().round());
    because(need, PointKind::Life, "life", SourceId::LifeCeiling, says);
}
