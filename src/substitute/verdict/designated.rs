//! Parts by designation: equality, the user's equivalents, lamps and fuses by their figures, and
//! the heater and limits of a rectifier that stands in for another.

use super::Held;
use super::tally::{Head, Said, Tally};
use crate::marking::fuse::Fuse;
use crate::model::chassis::RectifierKind;
use crate::model::kind::PartKind;
use crate::model::need::{Answer, Need, PointKind};
use crate::model::shop::{Article, RectifierData};
use crate::physics::interpolate::step_up_to;
use crate::substitute::designation::lamp::{Lamp, near};
use crate::substitute::designation::length::{lead_does, long_enough};
use crate::substitute::designation::same;
use crate::substitute::need::reason;

/// The designation against those that will do.
pub(super) fn designation(held: Held<'_>, tally: &mut impl Tally) {
    let Held { need, article, .. } = held;
    let has = article.designation().unwrap_or_default();
    let misses = misses(need, article);
    let ok = misses.as_ref().is_some_and(Vec::is_empty);
    tally.point(Head::of(PointKind::Value, "designation", ok), || {
        let says = match misses {
            Some(misses) if !ok => format!("{has} differs in {}", misses.join(", ")),
            // What a valve or a rectifier of another type bears stands in data sheets, not in its name.
            None if matches!(article.kind, PartKind::Valve | PartKind::Rectifier) && !has.is_empty() => {
                let wanted = need.designations.join(" or ");
                format!(
                    "{wanted} needed, {has} is no equivalent on the list (equivalents.csv): compare their data first"
                )
            }
            _ => String::new(),
        };
        Said::new(need.designations.join(" or "), if has.is_empty() { "not stated" } else { has }, says)
    });
    if !ok {
        tally.far(0.0, 1.0);
    }
}

/// Whether a designation is one of those that will do, or means the same.
pub(in crate::substitute) fn is_wanted(need: &Need, article: &Article) -> bool {
    misses(need, article).is_some_and(|misses| misses.is_empty())
}

/// What a designation misses; `None` where it has nothing to do with what is needed.
fn misses(need: &Need, article: &Article) -> Option<Vec<&'static str>> {
    let has = article.designation().unwrap_or_default();
    let listed = need.designations.iter().any(|d| same(d, has));
    if listed { Some(Vec::new()) } else { by_figures(need, article.kind, has) }
}

/// What differs, for lamps and fuses whose figures can be read: the least of all that would do;
/// `None` where they cannot be read.
fn by_figures(need: &Need, kind: PartKind, has: &str) -> Option<Vec<&'static str>> {
    let misses = |wanted: &String| match kind {
        PartKind::Lamp => {
            let (wanted, has) = (Lamp::parse(wanted)?, Lamp::parse(has)?);
            Some(if has.fits_holder_of(&wanted) { Vec::new() } else { vec!["volts or cap"] })
        }
        PartKind::Fuse => Some(Fuse::parse(wanted)?.misses(&Fuse::parse(has)?)),
        PartKind::Lead if lead_does(wanted, has) => Some(Vec::new()),
        PartKind::Lead | PartKind::Hardware => long_enough(wanted, has).then(Vec::new),
        _ => None,
    };
    need.designations.iter().filter_map(misses).min_by_key(Vec::len)
}

/// Heater or lamp current.
pub(super) fn heater(held: Held<'_>, tally: &mut impl Tally) {
    let Held { need, article, .. } = held;
    let (Some(wanted), Some(has)) = (need.designations.first(), article.designation()) else {
        return;
    };
    if same(wanted, has) || !need.kinds.contains(&article.kind) {
        return;
    }
    match article.kind {
        PartKind::Lamp => lamp(held, (wanted, has), tally),
        PartKind::Valve | PartKind::Rectifier => valve(held, (wanted, has), tally),
        _ => {}
    }
}

/// A lamp's current: in a series chain it must match, elsewhere it is a remark.
fn lamp(held: Held<'_>, (wanted, has): (&str, &str), tally: &mut impl Tally) {
    let series = reason(held.need, "series-chain").is_some();
    let lamps = Lamp::parse(wanted).zip(Lamp::parse(has));
    let matches = lamps.as_ref().and_then(|(w, h)| h.same_current(w));
    let answer = match matches {
        Some(true) => Answer::Fit,
        _ if series => Answer::Unsuitable,
        _ => Answer::Caution,
    };
    tally.point(Head::with(PointKind::Heater, "lamp-current", answer), || {
        let says = match (answer, series) {
            (Answer::Fit, _) => "the same current",
            (_, true) => "the lamp is part of the heater chain: its current must match",
            _ if matches.is_none() => "its current is not stated: mind the winding and the brightness",
            _ => "another current: mind the winding and the brightness",
        };
        Said::new(wanted, has, says)
    });
}

/// The heater of a valve that stands in for another, where the user's table has both.
fn valve(held: Held<'_>, (wanted, has): (&str, &str), tally: &mut impl Tally) {
    let Held { need, rules, .. } = held;
    let series = reason(need, "series-chain").is_some();
    let data = rules.shop.rectifier(wanted).zip(rules.shop.rectifier(has));
    let rectifies = data.is_some() || rules.duty(wanted).is_some();
    if !rectifies && !series {
        return;
    }
    let answer = data.map_or(Answer::Caution, |(old, new)| heaters(old, new, series));
    tally.point(Head::with(PointKind::Heater, "heater", answer), || {
        let text = |d: Option<&RectifierData>| match d.map(|d| (d.heater, d.heater_current)) {
            Some((Some(volts), Some(amps))) => format!("{volts} {amps}"),
            _ => "heater not in the table".to_owned(),
        };
        let says = match answer {
            Answer::Fit => "the winding carries it",
            Answer::Caution => "heater not known for both: look it up before ordering",
            _ if series => "series heater chain: the current must match",
            _ => "the heater winding is not made for it",
        };
        Said::new(text(data.map(|d| d.0)), text(data.map(|d| d.1)), says)
    });
}

/// Whether the new heater may hang where the old one did.
fn heaters(old: &RectifierData, new: &RectifierData, series: bool) -> Answer {
    let (Some(old_v), Some(new_v), Some(old_a), Some(new_a)) =
        (old.heater, new.heater, old.heater_current, new.heater_current)
    else {
        return Answer::Caution;
    };
    let current = if series { near(new_a / old_a) } else { new_a.get() <= old_a.get() * 1.001 };
    if current && (series || near(new_v / old_v)) { Answer::Fit } else { Answer::Unsuitable }
}

/// The limits of a rectifier against what it has to do in its place.
pub(super) fn limit_first(held: Held<'_>, tally: &mut impl Tally) {
    let Held { need, article, rules } = held;
    if !matches!(article.kind, PartKind::Valve | PartKind::Rectifier) {
        return;
    }
    let (Some(wanted), Some(has)) = (need.designations.first(), article.designation()) else {
        return;
    };
    let (Some(duty), false) = (rules.duty(wanted), same(wanted, has)) else {
        return;
    };
    let Some(data) = rules.shop.rectifier(has) else {
        tally.point(Head::with(PointKind::LimitFirst, "rectifier-limits", Answer::Caution), || {
            Said::new("limits of the stand-in", "not in the table", "look its limits up before ordering")
        });
        return;
    };
    let mut over = Vec::new();
    let mut limit = |reached: bool, says: String| {
        if reached {
            over.push(says);
        }
    };
    if let (Some(first), Some(most)) = (duty.first, data.max_first) {
        limit(most * (1.0 + 1e-6) < first, format!("first capacitor {first}, limit {most}"));
    }
    if let (Some(current), Some(most)) = (duty.current, data.max_average) {
        limit(most < current, format!("draws {current}, limit {most}"));
    }
    if let (Some(source), Some(winding)) = (duty.source, duty.winding) {
        match step_up_to(&data.min_source, winding) {
            Some(least) => limit(source < least, format!("source {source}, at least {least} at {winding}")),
            None if !data.min_source.is_empty() => limit(true, format!("{winding} is above its table")),
            None => {}
        }
    }
    let old_kind = rules.shop.rectifier(wanted).and_then(|d| d.kind);
    let early = data.kind == Some(RectifierKind::ValveDirect) && old_kind == Some(RectifierKind::ValveIndirect);
    let answer = match (over.is_empty(), early) {
        (false, _) => Answer::Unsuitable,
        (true, true) => Answer::Caution,
        (true, false) => Answer::Fit,
    };
    tally.point(Head::with(PointKind::LimitFirst, "rectifier-limits", answer), || {
        let says = match answer {
            Answer::Fit => "within its limits".to_owned(),
            Answer::Caution => {
                "within its limits, but directly heated: the no-load peak stands before the valves draw".to_owned()
            }
            _ => over.join("; "),
        };
        Said::new("the duty of this supply", has, says)
    });
}
