//! In which ways one article serves one need.

use super::ask::Ask;
use super::source::{Target, Use};
use crate::model::kind::PartKind;
use crate::model::part::Value;
use crate::model::shop::Article;
use crate::substitute::arrange::pair::{in_parallel, in_series};
use crate::substitute::designation::akin;
use crate::substitute::verdict::{Count, count, more_is_allowed};

/// Room for rounding at the edges of windows.
pub(super) const EDGE: f64 = 1e-6;

/// How an article came out for a need.
pub(super) struct Roles {
    /// Alone.
    pub(super) single: Count,
    /// Whether its value is far outside.
    pub(super) far_value: bool,
    /// Its uses.
    pub(super) uses: Vec<Use>,
    /// What it would serve if the shop allowed it.
    pub(super) if_allowed: Option<Target>,
}

/// Every way in which the article serves the need of this index.
pub(super) fn roles(ask: &Ask<'_>, index: usize, article: &Article) -> Roles {
    let single = count(&ask.need, article, &ask.rules);
    let far_value = is_far(ask, article);
    let mut roles = Roles { single, far_value, uses: Vec::new(), if_allowed: None };
    if single.usable() {
        roles.uses.push(Use {
            target: Target::Single(index),
            answer: single.answer,
            second_choice: single.second_choice,
        });
        if !ask.pair_beside_single() {
            return roles;
        }
    }
    let choose = &ask.context.shop.choose;
    let resistor = article.kind.is_resistor();
    pair(ask, article, &mut roles, (Target::Series(index), choose.series_pairs || resistor));
    if !single.usable() {
        pair(ask, article, &mut roles, (Target::Parallel(index), choose.parallel_pairs || resistor));
        if choose.parallel_pairs && ask.two_allowed() {
            roles.uses.extend(part_of_two(ask, index, article));
        }
    }
    roles
}

/// Whether the value is so far outside that the article cannot serve, alone or in a pair.
pub(super) fn is_far(ask: &Ask<'_>, article: &Article) -> bool {
    let (low, high) = ask.value_ratio(article).unwrap_or((1.0, 1.0));
    low < 0.33 || (3.0 < high && !more_is_allowed(&ask.need))
}

/// Whether a part of another designation is worth naming beside the one that is wanted.
pub(super) fn is_akin(ask: &Ask<'_>, article: &Article) -> bool {
    match (ask.need.designations.first(), article.designation()) {
        (Some(wanted), Some(has)) => akin(wanted, has),
        _ => true,
    }
}

/// Two of the article, in series or in parallel.
fn pair(ask: &Ask<'_>, article: &Article, roles: &mut Roles, (target, allowed): (Target, bool)) {
    let series = matches!(target, Target::Series(_));
    if !value_could_do(ask, article, series) {
        return;
    }
    let both = if series {
        ask.bus().or(ask.need.vac_min).and_then(|bus| in_series(&ask.need, article, bus, &ask.rules))
    } else {
        in_parallel(&ask.need, article)
    };
    let Some(counted) = both.map(|both| count(&ask.need, &both, &ask.rules)).filter(Count::usable) else {
        return;
    };
    if allowed && ask.two_allowed() {
        roles.uses.push(Use { target, answer: counted.answer, second_choice: counted.second_choice });
    } else {
        roles.if_allowed = Some(target);
    }
}

/// One of two in parallel that make up the value: it must do in everything but its value.
fn part_of_two(ask: &Ask<'_>, index: usize, article: &Article) -> Option<Use> {
    let (least, most) = ask.part_of_two()?;
    article.farad().filter(|has| least <= *has && *has < most)?;
    let whole = Article { value: ask.need.farad_nominal.map(Value::Farad), ..article.clone() };
    let counted = count(&ask.need, &whole, &ask.rules);
    let one = |c: Count| Use { target: Target::Part(index), answer: c.answer, second_choice: c.second_choice };
    counted.usable().then(|| one(counted))
}

/// Whether two of this value lie in the window; a check without copying the article.
fn value_could_do(ask: &Ask<'_>, article: &Article, series: bool) -> bool {
    let capacitor = article.kind.is_capacitor();
    // Capacitance halves in series, resistance in parallel.
    let factor = if series == capacitor { 0.5 } else { 2.0 };
    let inside =
        |(over_least, over_most): (f64, f64)| 1.0 - EDGE <= over_least * factor && over_most * factor <= 1.0 + EDGE;
    ask.value_ratio(article).is_some_and(inside)
}

/// Whether a resistor could stand across a capacitor of a series pair: 22 k to 1 M, half a watt or more.
pub(super) fn may_balance(article: &Article) -> bool {
    article.ohm().is_some_and(|ohm| may_balance_by_value(article.kind, ohm.get()))
        && article.watts.is_some_and(|w| 0.5 <= w.get())
}

/// Whether a part of this kind and value, ohms, could stand there if its power is enough.
pub(super) fn may_balance_by_value(kind: PartKind, ohm: f64) -> bool {
    kind.is_resistor() && kind != PartKind::Fusible && (21_000.0..=1.01e6).contains(&ohm)
}
