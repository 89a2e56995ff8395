//! Which of a fitting's pieces is fitted at one reference: a restuffed can holds a part of its own for each section.

use crate::model::need::Need;
use crate::model::plan::{ArrangementKind, Fitting, Piece, Plan};
use crate::model::shop::Article;

/// Pieces of different kinds are told apart for at most so many references; a can has a handful of sections.
const MOST_REFS: usize = 6;

/// The fitting of a part, cut down to what is fitted at its own reference.
pub(crate) fn own_fit(plan: &Plan, job: &str, reference: &str) -> Option<Fitting> {
    let label = if plan.several_jobs() { format!("{job}/{reference}") } else { reference.to_owned() };
    let fit = plan.fits.iter().find(|f| f.refs.contains(&label))?;
    Some(own(plan, fit, &label).unwrap_or_else(|| fit.clone()))
}

/// What is fitted at one reference of a fitting of several single pieces; `None` where it is one for all.
pub(crate) fn own(plan: &Plan, fit: &Fitting, label: &str) -> Option<Fitting> {
    if fit.arrangement != ArrangementKind::Single || fit.refs.len() < 2 {
        return None;
    }
    let at = fit.refs.iter().position(|r| r == label)?;
    let piece = piece_at(plan, fit, at)?;
    // What the group needs besides is fitted once, with its first.
    let extras = if at == 0 { fit.extras.clone() } else { Vec::new() };
    Some(Fitting {
        refs: vec![label.to_owned()],
        parts: vec![Piece { count: 1, ..piece.clone() }],
        extras,
        notes: own_notes(fit, label),
        refused: Vec::new(),
        ..fit.clone()
    })
}

/// Notes that begin with a reference of the group belong to that one alone.
fn own_notes(fit: &Fitting, label: &str) -> Vec<String> {
    let own = |note: &String| match note.split_once(": ") {
        Some((whose, rest)) if whose.split(", ").any(|w| w == label) => Some(rest.to_owned()),
        Some((whose, _)) if whose.split(", ").any(|w| fit.refs.iter().any(|r| r == w)) => None,
        _ => Some(note.clone()),
    };
    fit.notes.iter().filter_map(own).collect()
}

/// The piece at one reference, of the assignment that comes nearest to the values needed.
fn piece_at<'a>(plan: &Plan, fit: &'a Fitting, at: usize) -> Option<&'a Piece> {
    let places = u32::try_from(fit.refs.len()).ok()?;
    let pieces: u32 = fit.parts.iter().map(|p| p.count).sum();
    if pieces != places {
        return None;
    }
    if let [one] = fit.parts.as_slice() {
        return Some(one);
    }
    if MOST_REFS < fit.refs.len() {
        return None;
    }
    let needs: Vec<Option<&Need>> = fit.refs.iter().map(|r| plan.needs.iter().find(|n| n.reference == *r)).collect();
    let left: Vec<u32> = fit.parts.iter().map(|p| p.count).collect();
    let (_, chosen) = nearest(&needs, &fit.parts, &left)?;
    fit.parts.get(*chosen.get(at)?)
}

/// The cheapest way, in distance of values, to give each need a piece of its own.
fn nearest(needs: &[Option<&Need>], pieces: &[Piece], left: &[u32]) -> Option<(f64, Vec<usize>)> {
    let Some((first, rest)) = needs.split_first() else { return Some((0.0, Vec::new())) };
    let mut best: Option<(f64, Vec<usize>)> = None;
    for (index, piece) in pieces.iter().enumerate() {
        if left.get(index).is_none_or(|n| *n == 0) {
            continue;
        }
        let Some(distance) = distance(*first, &piece.article) else { continue };
        let remaining: Vec<u32> = left.iter().enumerate().map(|(n, c)| c - u32::from(n == index)).collect();
        let Some((more, mut chosen)) = nearest(rest, pieces, &remaining) else { continue };
        if best.as_ref().is_none_or(|(least, _)| distance + more < *least) {
            chosen.insert(0, index);
            best = Some((distance + more, chosen));
        }
    }
    best
}

/// How far a piece is from a need; `None` where it would not do there.
fn distance(need: Option<&Need>, article: &Article) -> Option<f64> {
    let Some(need) = need else { return Some(0.0) };
    let too_weak = need.volts_min.is_some_and(|least| article.volts.is_none_or(|v| v < least));
    if too_weak {
        return None;
    }
    match (need.farad, article.farad()) {
        (Some((least, most)), Some(farad)) if farad < least || most < farad => None,
        (Some(_), Some(farad)) => {
            // Of two that will do, the nearer in value, then the one with less voltage to spare.
            let off = need.farad_nominal.map_or(0.0, |n| (farad / n).ln().abs());
            let spare = need.volts_min.zip(article.volts).map_or(0.0, |(n, v)| (v / n).ln().abs());
            Some(off + 0.01 * spare.min(10.0))
        }
        _ => Some(0.0),
    }
}
