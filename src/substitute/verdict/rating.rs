//! DC voltage and temperature.

use super::Held;
use super::tally::{Head, Said, Tally};
use crate::model::kind::PartKind;
use crate::model::need::{Answer, PointKind};
use crate::substitute::margins::working_share;
use crate::substitute::need::reason;
use crate::units::{Celsius, Volt};

/// The rating against what is needed. A higher rating is never a fault.
pub(super) fn voltage(held: Held<'_>, tally: &mut impl Tally) {
    let Held { need, article, rules } = held;
    let Some(needs) = need.volts_min else {
        return;
    };
    if article.kind.is_resistor() {
        return super::resistor::voltage(held, needs, tally);
    }
    let ok = article.volts.is_some_and(|v| needs.get() * (1.0 - 1e-9) <= v.get());
    let unproved = reason(need, "voltage-unproved").is_some();
    let share = working_share(rules.shop);
    let electrolytic = article.kind == PartKind::Electrolytic;
    let close = |v: Volt| electrolytic && need.working.is_some_and(|w| v * share < w);
    let tight = article.volts.is_some_and(close);
    let answer = match (ok, unproved || tight) {
        (false, _) => Answer::Unsuitable,
        (true, true) => Answer::Caution,
        (true, false) => Answer::Fit,
    };
    let rule = if ok && tight { "voltage-margin" } else { "voltage-highest" };
    tally.point(Head::with(PointKind::Voltage, rule, answer), || {
        let has = article.volts.map_or_else(|| "no DC rating stated".to_owned(), |v| v.to_string());
        let mut says = if ok { format!("{has} is enough") } else { format!("{needs} needed, {has}") };
        if let (true, true, Some(working)) = (ok, tight, need.working) {
            let percent = share * 100.0;
            says = format!("{says}; works at {working}, over {percent:.0} % of its rating");
        }
        if unproved {
            says.push_str("; the highest voltage is not proved");
        }
        Said::new(needs, has, says)
    });
    if !ok {
        tally.far(article.volts.map_or(0.0, Volt::get), needs.get());
    }
}

/// A hot place needs a part for it.
pub(super) fn temperature(held: Held<'_>, tally: &mut impl Tally) {
    let Held { need, article, .. } = held;
    let Some(needs) = need.temp_min else {
        return;
    };
    let ok = article.temp.is_some_and(|t| needs <= t);
    tally.point(Head::of(PointKind::Temperature, "temperature", ok), || {
        let has = article.temp.map_or_else(|| "not stated".to_owned(), |t: Celsius| t.to_string());
        let place = need.ambient.map_or_else(String::new, |a| format!("{a} there: "));
        Said::new(needs, &has, format!("{place}{needs} needed, {has}"))
    });
}
