//! Parts and arrangements in a technician's words.

use std::collections::BTreeSet;

use crate::model::kind::PartKind;
use crate::model::part::{Part, Value};
use crate::model::plan::{ArrangementKind, Extra, Fitting, Piece};
use crate::model::shop::{Article, Section};
use crate::units::print::significant;

/// A value or designation.
pub fn value(value: &Value) -> String {
    match value {
        Value::Farad(farad) => farad.to_string(),
        Value::Ohm(ohm) => ohm.to_string(),
        Value::Designation(text) => text.clone(),
    }
}

/// What is fitted now, as marked; the kind where nothing is marked.
pub fn old_part(part: &Part) -> String {
    if part.marked.trim().is_empty() { part.kind.word().replace('-', " ") } else { part.marked.trim().to_owned() }
}

/// What a part for sale is: `47 µF 350 V axial`, `220 k 1 W metal film`, `0.1 µF X2 275 V AC film`.
pub fn article(article: &Article) -> String {
    let mut words: Vec<String> = Vec::new();
    if article.sections.is_empty() {
        words.extend(article.value.as_ref().map(value));
    } else {
        words.push(sections(&article.sections));
    }
    words.extend(article.class.map(|c| c.mark().to_owned()));
    if article.kind.is_capacitor() && article.sections.is_empty() {
        // A mains part is known by its AC rating, every other capacitor by its DC rating.
        let ac = article.vac.map(|v| format!("{v} AC"));
        let dc = article.volts.map(|v| v.to_string());
        words.extend(if article.class.is_some() { ac.or(dc) } else { dc.or(ac) });
    }
    words.extend(article.watts.map(|w| w.to_string()));
    words.extend(kind_word(article));
    words.join(" ")
}

/// `32 µF + 32 µF 450 V`, or `40 µF 400 V + 20 µF 25 V` where the ratings differ.
fn sections(sections: &[Section]) -> String {
    let volts: BTreeSet<String> = sections.iter().map(|s| s.volts.to_string()).collect();
    match (volts.first(), volts.len()) {
        (Some(same), 1) => {
            let farads: Vec<String> = sections.iter().map(|s| s.farad.to_string()).collect();
            format!("{} {same}", farads.join(" + "))
        }
        _ => sections.iter().map(|s| format!("{} {}", s.farad, s.volts)).collect::<Vec<_>>().join(" + "),
    }
}

/// The kind or mounting, where it tells something that the figures do not.
fn kind_word(article: &Article) -> Option<String> {
    match article.kind {
        PartKind::Electrolytic if !article.sections.is_empty() => Some("can".to_owned()),
        PartKind::Electrolytic if article.polarised == Some(false) => Some("non-polarised".to_owned()),
        PartKind::Electrolytic => article.style.map(|s| s.word().to_owned()),
        PartKind::Suppressor if article.class.is_some() => None,
        kind if kind.is_designated() => None,
        PartKind::MetalFilm if article.flameproof == Some(true) => Some("flameproof".to_owned()),
        kind => Some(kind.word().replace('-', " ")),
    }
}

/// What is fitted at one reference of a position: of a matched group its own piece.
pub fn fitting_at(fit: &Fitting) -> String {
    let places = u32::try_from(fit.refs.len()).unwrap_or(u32::MAX);
    match fit.parts.as_slice() {
        [one] if fit.arrangement == ArrangementKind::Single && one.count == places && fit.extras.is_empty() => {
            piece(&Piece { count: 1, ..one.clone() })
        }
        _ => fitting(fit),
    }
}

/// What is fitted at a position: `2 x 47 µF 350 V in series, 2 x 120 k 2 W`.
pub fn fitting(fit: &Fitting) -> String {
    let pieces = alike(&fit.parts);
    let joined = match fit.arrangement {
        ArrangementKind::Single | ArrangementKind::Can => pieces.join(" + "),
        ArrangementKind::Series => format!("{} in series", pieces.join(" + ")),
        ArrangementKind::Parallel => format!("{} in parallel", pieces.join(" + ")),
    };
    let extras: Vec<String> = fit.extras.iter().map(extra).collect();
    if extras.is_empty() { joined } else { format!("{joined}, {}", extras.join(", ")) }
}

/// What is needed besides, with what for where its own words do not say so.
fn extra(extra: &Extra) -> String {
    let what = piece(&extra.piece);
    if what.contains(&extra.why) { what } else { format!("{what} {}", extra.why) }
}

/// Parts with what else they need: `2 x 33 µF 450 V axial, tag strip 5-way`.
pub fn pieces(parts: &[Piece], extras: &[Extra]) -> String {
    alike(parts).into_iter().chain(extras.iter().map(extra)).collect::<Vec<_>>().join(", ")
}

/// Pieces of the same text counted together, whatever their numbers and suppliers.
fn alike(parts: &[Piece]) -> Vec<String> {
    let mut alike: Vec<(String, u32)> = Vec::new();
    for part in parts {
        let what = piece(&Piece { count: 1, ..part.clone() });
        match alike.iter_mut().find(|(known, _)| *known == what) {
            Some((_, count)) => *count += part.count,
            None => alike.push((what, part.count)),
        }
    }
    alike.into_iter().map(|(what, n)| if 1 < n { format!("{n} x {what}") } else { what }).collect()
}

/// One kind of piece with its count, when there are several.
fn piece(piece: &Piece) -> String {
    let what = article(&piece.article);
    let what = if what.is_empty() { piece.number.clone() } else { what };
    if piece.count > 1 { format!("{} x {what}", piece.count) } else { what }
}

/// A number of years for people.
pub fn years(years: f64) -> String {
    format!("{} years", significant(years, 2))
}

/// References in one text, a few by name and the rest counted.
pub fn refs(refs: &[String]) -> String {
    refs.join(" ")
}

/// References of several jobs by job: `hall: C1 C2; lark: C4`; of one job as they are.
pub fn by_job(labels: &[String]) -> String {
    let mut jobs: Vec<(&str, Vec<&str>)> = Vec::new();
    for label in labels {
        let (job, reference) = label.split_once('/').unwrap_or(("", label));
        match jobs.iter_mut().find(|(known, _)| *known == job) {
            Some((_, refs)) => refs.push(reference),
            None => jobs.push((job, vec![reference])),
        }
    }
    let words = |(job, refs): &(&str, Vec<&str>)| {
        if job.is_empty() { refs.join(" ") } else { format!("{job}: {}", refs.join(" ")) }
    };
    jobs.iter().map(words).collect::<Vec<_>>().join("; ")
}

/// `1 part`, `3 parts`.
pub fn counted(n: usize, one: &str, many: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { many })
}
