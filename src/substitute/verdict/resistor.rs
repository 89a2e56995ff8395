//! Resistors: watts, limiting voltage, flameproof and fusible.

use super::Held;
use super::tally::{Head, Said, Tally};
use crate::model::kind::PartKind;
use crate::model::need::{Answer, PointKind};
use crate::model::shop::Article;
use crate::physics::resistor::{Body, power_at, working_voltage_limit};
use crate::units::{Volt, Watt};

/// Power against twice the dissipation; a fusible part must be of exactly the same power.
pub(super) fn watts(held: Held<'_>, tally: &mut impl Tally) {
    let Held { need, article, .. } = held;
    let Some(needs) = need.watts_min else {
        return;
    };
    let like = need.kinds == [PartKind::Fusible];
    let has = article.watts.map(|w| usable_watts(held, w));
    let enough = has.is_some_and(|w| needs.get() * (1.0 - 1e-6) <= w.get());
    let uprated = like && article.watts.is_some_and(|w| needs.get() * (1.0 + 1e-6) < w.get());
    tally.point(
        Head::of(PointKind::Watts, if like { "fusible" } else { "resistor-power" }, enough && !uprated),
        || {
            let has = has.map_or_else(|| "not stated".to_owned(), |w| w.to_string());
            let says = if uprated { "a fusible part is never uprated" } else { "" };
            Said::new(if like { format!("{needs} exactly") } else { needs.to_string() }, has, says)
        },
    );
    if !enough {
        tally.far(has.map_or(0.0, Watt::get), needs.get());
    }
}

/// The power left where a film or composition part sits in air over 70 °C.
fn usable_watts(held: Held<'_>, rated: Watt) -> Watt {
    match (body(held.article), held.need.ambient) {
        (Some(body), Some(air)) if body != Body::Wirewound => power_at(body, rated, air).value,
        _ => rated,
    }
}

/// What the article is made of; the small body is the cautious one for metal film.
const fn body(article: &Article) -> Option<Body> {
    match article.kind {
        PartKind::CarbonComposition => Some(Body::Composition),
        PartKind::CarbonFilm => Some(Body::CarbonFilm),
        PartKind::MetalFilm => Some(Body::MetalFilmSmall),
        PartKind::Wirewound => Some(Body::Wirewound),
        _ => None,
    }
}

/// The limiting voltage as stated, else the usual one of its kind and power.
pub(in crate::substitute) fn limiting_volts(article: &Article) -> Option<(Volt, bool)> {
    if let Some(volts) = article.volts {
        return Some((volts, true));
    }
    let (body, watts) = (body(article)?, article.watts?);
    if body == Body::Wirewound {
        // Power alone decides; the voltage at full power is the most that it can be.
        return article.ohm().map(|r| (Volt::new((watts.get() * r.get()).sqrt()), false));
    }
    working_voltage_limit(body, watts).map(|limit| (limit.value, false))
}

/// The limiting voltage against what can be across the part.
pub(super) fn voltage(held: Held<'_>, needs: Volt, tally: &mut impl Tally) {
    let limit = limiting_volts(held.article);
    let answer = match limit {
        Some((volts, stated)) if needs.get() * (1.0 - 1e-9) <= volts.get() => {
            if stated {
                Answer::Fit
            } else {
                Answer::Caution
            }
        }
        _ => Answer::Unsuitable,
    };
    tally.point(Head::with(PointKind::Voltage, "resistor-voltage", answer), || {
        let has = match limit {
            Some((volts, true)) => format!("{volts} limiting voltage"),
            Some((volts, false)) => format!("limiting voltage not stated, {volts} is usual"),
            None => "limiting voltage not stated".to_owned(),
        };
        Said::new(needs, &has, format!("{needs} across it, {has}"))
    });
    if answer == Answer::Unsuitable {
        tally.far(limit.map_or(0.0, |(v, _)| v.get()), needs.get());
    }
}

/// Flameproof, wirewound or fusible where the place asks for it.
pub(super) fn flameproof(held: Held<'_>, tally: &mut impl Tally) {
    let Held { need, article, .. } = held;
    if !need.flameproof {
        return;
    }
    let fusible = need.kinds == [PartKind::Fusible];
    let ok = if fusible {
        article.kind == PartKind::Fusible
    } else {
        article.flameproof.unwrap_or(article.kind == PartKind::Wirewound)
    };
    tally.point(Head::safe(PointKind::Flameproof, if fusible { "fusible" } else { "flameproof" }, ok), || {
        let needs = if fusible { "fusible, like for like" } else { "flameproof or wirewound" };
        let has = match article.flameproof {
            _ if fusible => article.kind.word(),
            Some(true) => "flameproof",
            Some(false) => "not flameproof",
            None if ok => "wirewound",
            None => "not stated as flameproof",
        };
        Said::new(needs, has, "")
    });
}
