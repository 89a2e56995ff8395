//! What just misses a need, and what would have to give.

use std::collections::BTreeSet;

use crate::model::kind::Style;
use crate::model::need::{Answer, Point, PointKind};
use crate::model::part::Value;
use crate::model::plan::Refused;
use crate::model::shop::Article;
use crate::substitute::candidates::{Ask, Found, Target};
use crate::substitute::verdict::check;
use crate::units::Volt;

/// The nearest offers of an ask with the points where each fails.
pub(super) fn refused(found: &Found<'_>, index: usize) -> Vec<Refused> {
    let (Some(ask), Some(nearest)) = (found.asks.get(index), found.nearest.get(index)) else {
        return Vec::new();
    };
    let fails = |article: &Article| check(&ask.need, article, &ask.rules).fails().cloned().collect();
    let refused = |m: &crate::substitute::candidates::Missed| Refused {
        number: m.key.to_string(),
        description: describe(&m.article),
        fails: fails(&m.article),
    };
    nearest.iter().map(refused).collect()
}

/// What would have to give for this ask, in words.
pub(super) fn would_help(found: &Found<'_>, index: usize, refused: &[Refused]) -> Vec<String> {
    let Some(ask) = found.asks.get(index) else {
        return Vec::new();
    };
    let mut helps = Vec::new();
    for (target, what, key) in [
        (Target::Series(index), "series pair possible", "series_pairs"),
        (Target::Parallel(index), "parallel pair possible", "parallel_pairs"),
    ] {
        if let Some(source) = found.if_allowed.get(&target) {
            let allow = if ask.two_allowed() { format!("allow {key}") } else { "raise max_parts_per_place".to_owned() };
            helps.push(format!("{what} (2 × {source}): {allow}"));
        }
    }
    for (target, what, pieces) in [
        (Target::Single(index), "", 1),
        (Target::Series(index), " in series", 2),
        (Target::Parallel(index), " in parallel", 2),
    ] {
        if let Some((source, stock)) = found.short.get(&target) {
            let pieces = ask.need.matched.max(1).saturating_mul(pieces);
            helps.push(format!("{pieces} × {source}{what} would do: no more than {stock} to be had there"));
        }
    }
    if found.serving(Target::Series(index)).next().is_some() {
        helps.push("series pair possible, but no balancing resistor for it in the catalog".to_owned());
    }
    if !ask.need.designations.is_empty() {
        // Another designation gives nothing; only the user knows what may stand in.
        let line = match refused.first() {
            Some(_) => "a line in equivalents.csv, if one of these may stand in",
            None => {
                "nothing like it in the catalog: a supplier who has it, or a line in equivalents.csv for what may stand in"
            }
        };
        helps.push(line.to_owned());
        return helps;
    }
    // The same failing point of several offers is told once, of the nearest.
    let mut told = BTreeSet::new();
    let rated = found.nearest.get(index).into_iter().flat_map(|n| n.iter().map(|m| m.article.volts));
    for (offer, volts) in refused.iter().zip(rated) {
        if let [only] = offer.fails.as_slice()
            && only.answer != Answer::Barred
            && only.rule != "fusible"
            && let Some(gives) = gives(ask, (offer, volts), only)
            && told.insert(only.point)
        {
            helps.push(gives);
        }
    }
    helps
}

/// Share of the voltage needed below which an offer is no near miss.
const NEAR: f64 = 0.75;

/// What would have to give for an offer that fails one point alone; `None` where nothing reasonable would.
fn gives(ask: &Ask<'_>, (offer, rated): (&Refused, Option<Volt>), point: &Point) -> Option<String> {
    let name = format!("{} ({})", offer.number, offer.description);
    Some(match point.point {
        PointKind::Style if point.has == Style::SnapIn.word() => format!("snap-in fits: allow snap_in for {name}"),
        PointKind::Style => format!("{name}: room for one that is {}", point.has),
        PointKind::Voltage => {
            let (has, needs) = (rated?, ask.need.volts_min?);
            if has < needs * NEAR {
                return None;
            }
            match ask.context.stress.highest.map(|h| h.value) {
                Some(highest) if has < highest => {
                    format!("{name} if no more than {has} could stand there: {highest} can")
                }
                _ if ask.context.part.rating.volts.is_some_and(|original| original < needs) => {
                    format!("{name} but for the margin that its place asks for: {has}, {needs} needed")
                }
                _ => format!("{name} but for the original's rating: {has}, {needs} needed"),
            }
        }
        PointKind::Size => format!("{name}: room for {}, not {}", point.has, point.needs),
        _ => format!("{name} but for {}: {}", point.point, point.says),
    })
}

/// An article in a few words: `22 µF 500 V electrolytic`.
pub(super) fn describe(article: &Article) -> String {
    let mut words = Vec::new();
    match &article.value {
        Some(Value::Farad(farad)) => words.push(farad.to_string()),
        Some(Value::Ohm(ohm)) => words.push(ohm.to_string()),
        Some(Value::Designation(text)) => words.push(text.clone()),
        None => {
            let sections: Vec<String> = article.sections.iter().map(|s| format!("{} {}", s.farad, s.volts)).collect();
            words.push(sections.join(" + "));
        }
    }
    words.extend(article.volts.map(|v| v.to_string()));
    words.extend(article.vac.map(|v| format!("{v} AC")));
    words.extend(article.class.map(|c| c.mark().to_owned()));
    words.extend(article.watts.map(|w| w.to_string()));
    words.extend(article.temp.map(|t| t.to_string()));
    if !article.kind.is_designated() {
        words.push(article.kind.word().replace('-', " "));
    }
    words.join(" ")
}
