//! Restuffing: of all parts that would do those that go into the old can together.

use super::can::CanGroup;
use super::inside::{Body, fit_together};
use super::position::{Choice, Demand};
use crate::substitute::candidates::{Ask, Found};
use crate::units::Millimetre;

/// At most so many combinations of smallest bodies are tried.
const MOST_TRIED: usize = 4096;

/// Leaves in the demands only what goes into the can together, whichever of it is chosen. The remark
/// is that its room is not known.
///
/// # Errors
/// Says that nothing goes in, with the room.
pub(super) fn choose(found: &Found<'_>, group: &CanGroup, demands: &mut [Demand]) -> Result<Option<String>, String> {
    let side = |side: fn(&Ask<'_>) -> Option<Millimetre>| {
        group.asks.iter().filter_map(|i| found.asks.get(*i)).filter_map(side).reduce(Millimetre::min)
    };
    let (Some(across), Some(long)) = (side(|a| a.need.max_diameter), side(|a| a.need.max_length)) else {
        return Ok(Some("room inside the can not checked: its size is not given".to_owned()));
    };
    let mut bodies: Vec<Vec<(Choice, Body)>> = demands.iter().map(|d| sized(found, &d.any_of)).collect();
    if bodies.iter().any(Vec::is_empty) {
        return Err("no sizes stated: what goes in cannot be told".to_owned());
    }
    let room = (across, long);
    if !narrow(&mut bodies, room) {
        let smallest = smallest(&bodies, room);
        let smallest = smallest.ok_or_else(|| too_large(&bodies, room))?;
        for (all, most) in bodies.iter_mut().zip(smallest) {
            all.retain(|(_, body)| within(*body, most));
        }
    }
    for (demand, kept) in demands.iter_mut().zip(bodies) {
        demand.any_of = kept.into_iter().map(|(choice, _)| choice).collect();
    }
    Ok(None)
}

/// The bodies of least bulk, and the room that they do not go into.
fn too_large(bodies: &[Vec<(Choice, Body)>], (across, long): Body) -> String {
    let bulk = |(d, l): &Body| d.get() * d.get() * l.get();
    let least = bodies.iter().filter_map(|all| all.iter().map(|(_, b)| *b).min_by(|a, b| bulk(a).total_cmp(&bulk(b))));
    let words: Vec<String> = least.map(|(d, l)| format!("{} × {l}", d.get())).collect();
    format!("{} do not go into {} × {long} together", words.join(" and "), across.get())
}

/// Choices whose body is known, with it.
fn sized(found: &Found<'_>, choices: &[Choice]) -> Vec<(Choice, Body)> {
    let body = |choice: &Choice| {
        let source = found.sources.iter().find(|s| s.key == choice.source)?;
        Some((source.article.diameter?, source.article.length?))
    };
    choices.iter().filter_map(|c| Some((c.clone(), body(c)?))).collect()
}

/// Whether a body is no larger than another either way.
fn within(body: Body, most: Body) -> bool {
    body.0 <= most.0 && body.1 <= most.1
}

/// Drops the bulkiest choices until any combination of what is left goes in; false where that
/// comes to an end without.
fn narrow(bodies: &mut [Vec<(Choice, Body)>], room: Body) -> bool {
    let mut left = bodies.to_vec();
    let volume = |(d, l): Body| d.get() * d.get() * l.get();
    let bulk = |b: &Vec<(Choice, Body)>| b.iter().map(|(_, body)| volume(*body)).fold(0.0, f64::max);
    loop {
        // A combination can be no larger than the largest diameter and length of each section.
        let zero = (Millimetre::ZERO, Millimetre::ZERO);
        let largest = |c: &Vec<(Choice, Body)>| c.iter().fold(zero, |w, (_, b)| (w.0.max(b.0), w.1.max(b.1)));
        if fit_together(&left.iter().map(largest).collect::<Vec<_>>(), room) {
            bodies.clone_from_slice(&left);
            return true;
        }
        let several = left.iter_mut().filter(|b| 1 < b.len());
        let Some(widest) = several.max_by(|a, b| bulk(a).total_cmp(&bulk(b))) else { return false };
        let most = bulk(widest);
        if let Some(at) = widest.iter().rposition(|(_, body)| most <= volume(*body)) {
            widest.remove(at);
        }
    }
}

/// A body for each section such that all of them go in; only the smallest are tried, those that no
/// other is within.
fn smallest(bodies: &[Vec<(Choice, Body)>], room: Body) -> Option<Vec<Body>> {
    let mut combinations: Vec<Vec<Body>> = vec![Vec::new()];
    for choices in bodies {
        let mut least: Vec<Body> = Vec::new();
        for (_, body) in choices {
            if !least.iter().any(|known| within(*known, *body)) {
                least.retain(|known| !within(*body, *known));
                least.push(*body);
            }
        }
        least.sort_by(|a, b| a.0.get().total_cmp(&b.0.get()));
        let longer = combinations.iter().flat_map(|c| least.iter().map(move |b| [c.as_slice(), &[*b]].concat()));
        combinations = longer.take(MOST_TRIED).collect();
    }
    combinations.into_iter().find(|c| fit_together(c, room))
}
