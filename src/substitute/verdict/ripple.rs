//! Ripple current with its frequencies against a rating with its own.

use super::Held;
use super::tally::{Head, Said, Tally};
use crate::model::finding::RippleStress;
use crate::model::kind::{PartKind, Place};
use crate::model::need::{Answer, PointKind};
use crate::model::shop::{Article, RippleRating};
use crate::physics::interpolate::linear;
use crate::physics::ripple::frequency_factor;
use crate::substitute::margins::{RIPPLE, RIPPLE_MISSING};
use crate::units::{Ampere, Hertz, Volt};

/// Frequency of a rating that states none.
const ASSUMED: Hertz = Hertz::new(100.0);

/// Ripple current; a rating that is not stated never serves a reservoir unless the shop says so.
pub(super) fn ripple(held: Held<'_>, tally: &mut impl Tally) {
    let Held { need, article, rules } = held;
    let reservoir = need.place == Some(Place::Reservoir);
    if !reservoir && need.ripple.is_none() {
        return;
    }
    let used = need.ripple.and_then(|r| share_used(article, &r));
    let most = RIPPLE.of(rules.shop) / 100.0;
    let answer = match (used, &article.ripple) {
        (Some(share), _) if share <= most * (1.0 + 1e-9) => Answer::Fit,
        (None, Some(_)) => Answer::Caution,
        (None, None) if !reservoir => Answer::Fit,
        (None, None) if RIPPLE_MISSING.of(rules.shop) > 0.5 => Answer::Caution,
        (Some(_), _) | (None, None) => Answer::Unsuitable,
    };
    tally.point(Head::with(PointKind::Ripple, "ripple", answer), || {
        let needs = need.ripple.map_or_else(|| "not known".to_owned(), |r| components(&r));
        let has = article.ripple.as_ref().map_or_else(|| "not stated".to_owned(), rating);
        let says = match (used, reservoir) {
            (Some(share), _) => format!("{:.0} % of the rating at these frequencies", share * 100.0),
            (None, false) => "not stated, not checked: behind a choke or resistor it is small".to_owned(),
            (None, true) if article.ripple.is_none() => "no ripple rating: not as a reservoir".to_owned(),
            (None, true) => "the ripple here is not known".to_owned(),
        };
        Said::new(needs, has, says)
    });
    if let Some(share) = used.filter(|s| most < *s) {
        tally.far(1.0, share);
    }
}

/// Share of the rating that the ripple uses, `√Σ(I/(F·I0))²`; `None` where either is not known.
pub(super) fn share_used(article: &Article, ripple: &RippleStress) -> Option<f64> {
    let rating = article.ripple.as_ref().filter(|r| Ampere::ZERO < r.current)?;
    // What is neither at the mains frequency nor at twice it lies at three times it and above,
    // where every factor is at least that of three times.
    let parts = [(ripple.at_f, 1.0), (ripple.at_2f, 2.0), (ripple.rest, 3.0)];
    let mut squares = 0.0;
    for (current, times) in parts.into_iter().filter(|(i, _)| Ampere::ZERO < *i) {
        let factor = factor(article, rating, ripple.f * times)?;
        squares += (current / (rating.current * factor)).powi(2);
    }
    Some(f64::sqrt(squares))
}

/// Factor on the rated current at a frequency: the catalog's own, else the usual one.
fn factor(article: &Article, rating: &RippleRating, frequency: Hertz) -> Option<f64> {
    if !rating.factors.is_empty() {
        let points = rating.factors.iter().map(|(f, k)| (f.get().ln(), *k));
        return linear(points, frequency.get().ln()).filter(|k| 0.0 < *k);
    }
    let rated = article.volts.unwrap_or(Volt::new(450.0));
    if article.kind != PartKind::Electrolytic {
        return Some(1.0);
    }
    let here = frequency_factor(rated, frequency)?.value;
    Some(here / frequency_factor(rated, rating.at.unwrap_or(ASSUMED))?.value)
}

/// A part below this share of the whole changes nothing of what is printed.
const NOTHING: f64 = 1e-3;

/// The ripple in words, without the parts that are not there.
fn components(ripple: &RippleStress) -> String {
    let (f, twice) = (ripple.f, ripple.f * 2.0);
    let parts =
        [(ripple.at_f, format!("at {f}")), (ripple.at_2f, format!("at {twice}")), (ripple.rest, "above".to_owned())];
    let there = parts.iter().filter(|(current, _)| ripple.total * NOTHING < *current);
    let words: Vec<String> = there.map(|(current, at)| format!("{current} {at}")).collect();
    match words.as_slice() {
        [] => ripple.total.to_string(),
        [one] => one.clone(),
        several => format!("{} ({})", ripple.total, several.join(", ")),
    }
}

/// The rating in words.
fn rating(rating: &RippleRating) -> String {
    match rating.at {
        Some(at) => format!("{} at {at}", rating.current),
        None => format!("{} (frequency not stated, {ASSUMED} assumed)", rating.current),
    }
}
