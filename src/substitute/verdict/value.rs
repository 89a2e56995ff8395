//! Kind and value: capacitance, resistance or designation, and the limit of a first capacitor.

use super::Held;
use super::tally::{Head, Said, Tally};
use crate::model::kind::{PartKind, Place};
use crate::model::need::{Answer, Need, PointKind};
use crate::model::shop::Article;
use crate::substitute::need::{demanded, reason};
use crate::units::{Farad, Ohm};

/// Room for rounding where a value lies on the edge of its window.
const EDGE: f64 = 1e-6;

/// Kind of part.
pub(super) fn kind(held: Held<'_>, tally: &mut impl Tally) {
    let Held { need, article, .. } = held;
    if need.kinds.is_empty() {
        return;
    }
    let ok = need.kinds.contains(&article.kind) && article.sections.is_empty();
    // On the alternating current of a motor a DC part fails violently.
    let barred = !ok && need.kinds == [PartKind::MotorRun] && article.kind.is_capacitor();
    let answer = if ok {
        Answer::Fit
    } else if barred {
        Answer::Barred
    } else {
        Answer::Unsuitable
    };
    let rule = if barred { "motor-run" } else { "kinds" };
    tally.point(Head::with(PointKind::Kind, rule, answer), || {
        let plain = |kind: PartKind| kind.word().replace('-', " ");
        let needs = need.kinds.iter().map(|k| plain(*k)).collect::<Vec<_>>().join(" or ");
        let has = if article.sections.is_empty() { plain(article.kind) } else { "a can with sections".to_owned() };
        let says = if barred { "never an electrolytic or a DC film part on AC" } else { "" };
        Said::new(needs, has, says)
    });
}

/// Capacitance, resistance or designation.
pub(super) fn value(held: Held<'_>, tally: &mut impl Tally) {
    if let Some(window) = held.need.farad {
        capacitance(held, window, tally);
    } else if let Some(window) = held.need.ohm {
        resistance(held, window, tally);
    } else if !held.need.designations.is_empty() {
        super::designated::designation(held, tally);
    }
}

/// Whether a value above the window does no harm there.
pub(in crate::substitute) fn more_is_allowed(need: &Need) -> bool {
    let extra = ["smoothing-window", "cathode-value"].iter().any(|rule| reason(need, rule).is_some());
    extra && !demanded(need, PointKind::Value)
}

/// How a value that is too large turns out.
fn too_large(need: &Need) -> (&'static str, Answer) {
    if more_is_allowed(need) { ("no-gain", Answer::Caution) } else { ("value", Answer::Unsuitable) }
}

/// Whether what is above the window is for a point of its own to judge: the limit of a first capacitor, or the
/// touch current where that, and not the marked value, bounds the window.
pub(in crate::substitute) fn above_is_own_point(need: &Need) -> bool {
    let bounds =
        |limit: Farad| need.class.is_none() || need.farad.is_some_and(|(_, most)| limit * (1.0 - EDGE) <= most);
    need.farad_limit.is_some_and(bounds) || reason(need, "first-capacitor-unknown").is_some()
}

/// Capacitance against its window. The upper bound of a first capacitor or of a part from the
/// mains to chassis is a point of its own.
fn capacitance(held: Held<'_>, (least, most): (Farad, Farad), tally: &mut impl Tally) {
    let Held { need, article, .. } = held;
    let needs = || if least < most { format!("{least} to {most}") } else { least.to_string() };
    let Some(has) = article.farad() else {
        tally.point(Head::of(PointKind::Value, "value", false), || {
            let sections: Vec<String> = article.sections.iter().map(|s| s.farad.to_string()).collect();
            Said::new(needs(), if sections.is_empty() { "not stated".to_owned() } else { sections.join(" + ") }, "")
        });
        tally.far(0.0, 1.0);
        return;
    };
    let own_point = above_is_own_point(need);
    let above = most * (1.0 + EDGE) < has;
    let (rule, answer) = if has < least * (1.0 - EDGE) {
        ("value", Answer::Unsuitable)
    } else if above && !own_point {
        too_large(need)
    } else {
        ("value", tolerance(need, article))
    };
    tally.point(Head::with(PointKind::Value, rule, answer), || {
        let change = need.farad_nominal.map_or_else(String::new, |n| change_text(has / n));
        let says = match answer {
            Answer::Caution if rule == "no-gain" => format!("{has}{change}: more than has any use here, no gain"),
            Answer::Fit if above => format!("{has}{change}: see the limit"),
            _ if above || has < least => format!("{has}{change} is outside {}", needs()),
            _ => format!("{has}{change}{}", tolerance_text(need, article)),
        };
        Said::new(needs(), has, says)
    });
    tally.far(has.get(), need.farad_nominal.unwrap_or(least).get());
}

/// Resistance against its window.
fn resistance(held: Held<'_>, (least, most): (Ohm, Ohm), tally: &mut impl Tally) {
    let Held { need, article, .. } = held;
    let has = article.ohm();
    let inside = has.is_some_and(|r| least * (1.0 - EDGE) <= r && r <= most * (1.0 + EDGE));
    let answer = if inside { tolerance(need, article) } else { Answer::Unsuitable };
    tally.point(Head::with(PointKind::Value, "resistor-value", answer), || {
        let needs = if least < most { format!("{least} to {most}") } else { least.to_string() };
        let has = has.map_or_else(|| "not stated".to_owned(), |r| r.to_string());
        let says = if inside { format!("{has}{}", tolerance_text(need, article)) } else { String::new() };
        Said::new(needs, has, says)
    });
    tally.far(has.map_or(0.0, Ohm::get), need.ohm_nominal.unwrap_or(least).get());
}

/// The tolerance where the circuit asks for one.
fn tolerance(need: &Need, article: &Article) -> Answer {
    match (need.tolerance_max_percent, article.tolerance) {
        (None, _) => Answer::Fit,
        (Some(_), None) => Answer::Caution,
        (Some(most), Some(has)) if has.minus_percent.max(has.plus_percent) <= most * (1.0 + EDGE) => Answer::Fit,
        _ => Answer::Unsuitable,
    }
}

/// The tolerance in words; empty where none is asked for.
fn tolerance_text(need: &Need, article: &Article) -> String {
    match (need.tolerance_max_percent, article.tolerance) {
        (None, _) => String::new(),
        (Some(most), None) => format!(", tolerance not stated (needs {most} %)"),
        (Some(most), Some(has)) => format!(", {} % (needs {most} %)", has.minus_percent.max(has.plus_percent)),
    }
}

/// `, +25 %` against the marked value.
fn change_text(ratio: f64) -> String {
    let percent = (ratio - 1.0) * 100.0;
    if percent.abs() < 0.5 { String::new() } else { format!(", {percent:+.0} %") }
}

/// The largest capacitance that the rectifier may see at its first node, by nominal value: makers
/// state the limit for the marked value, and their own circuits use parts of wide tolerance.
pub(super) fn limit_first(held: Held<'_>, tally: &mut impl Tally) {
    let Held { need, article, .. } = held;
    if need.place.is_some_and(Place::is_mains) {
        return;
    }
    let Some(has) = article.farad() else {
        return super::designated::limit_first(held, tally);
    };
    let demanded = demanded(need, PointKind::Value);
    if let Some(limit) = need.farad_limit {
        let ok = has <= limit * (1.0 + EDGE);
        let answer = match (ok, demanded) {
            (true, _) => Answer::Fit,
            (false, true) => Answer::Caution,
            (false, false) => Answer::Unsuitable,
        };
        tally.point(Head::with(PointKind::LimitFirst, "first-capacitor", answer), || {
            let own = if demanded { ", your own demand" } else { "" };
            let says = if ok { String::new() } else { format!("{has} is above the rectifier's limit of {limit}{own}") };
            Said::new(format!("at most {limit}"), has, says)
        });
    } else if reason(need, "first-capacitor-unknown").is_some() && !demanded {
        limit_unknown(need, has, tally);
    }
}

/// The first capacitor after a rectifier whose limit is not known.
fn limit_unknown(need: &Need, has: Farad, tally: &mut impl Tally) {
    let (Some(nominal), Some((_, most))) = (need.farad_nominal, need.farad) else {
        return;
    };
    let answer = if has <= nominal * (1.0 + EDGE) {
        Answer::Fit
    } else if has <= most * (1.0 + EDGE) {
        Answer::Caution
    } else {
        Answer::Unsuitable
    };
    tally.point(Head::with(PointKind::LimitFirst, "first-capacitor", answer), || {
        let says = match answer {
            Answer::Fit => "not above the marked value".to_owned(),
            _ => format!("{has} for {nominal}: the rectifier's limit is not known; look it up in the data sheet"),
        };
        Said::new(format!("at most {most}"), has, says)
    });
}
