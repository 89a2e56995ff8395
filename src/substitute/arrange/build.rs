//! From what was found to positions: groups formed, alternatives weighed, misses explained.

use std::collections::BTreeSet;

use super::can::{CanGroup, Way, one_node};
use super::group::Group;
use super::inside::{Body, fit_together};
use super::position::{Alternative, Choice, Demand, Position};
use super::{nearest, notes};
use crate::model::plan::ArrangementKind;
use crate::substitute::candidates::{Ask, Found, Target};
use crate::substitute::need::need_text;
use crate::units::Millimetre;

/// Every position with its alternatives, in the order of the asks.
pub fn positions(found: &Found<'_>) -> Vec<Position> {
    let mut done = BTreeSet::new();
    let mut positions = Vec::new();
    for index in 0..found.asks.len() {
        if done.contains(&index) {
            continue;
        }
        if let Some((members, position)) = can_position(found, index) {
            done.extend(members);
            positions.push(position);
            continue;
        }
        let group = Group { found, members: mates(found, index) };
        done.extend(group.members.iter().copied());
        positions.push(position(&group));
    }
    positions
}

/// This ask and those that must match it.
fn mates(found: &Found<'_>, index: usize) -> Vec<usize> {
    let Some(ask) = found.asks.get(index).filter(|a| 1 < a.need.matched) else {
        return vec![index];
    };
    let mate = |other: &Ask<'_>| {
        other.context.job.name == ask.context.job.name
            && other.context.part.pair == ask.context.part.pair
            && other.context.part.kind == ask.context.part.kind
    };
    found.asks.iter().enumerate().filter(|(_, other)| mate(other)).map(|(i, _)| i).collect()
}

/// The position of a group.
fn position(group: &Group<'_, '_>) -> Position {
    let alternatives = group.alternatives();
    let lead = group.members.first().copied().unwrap_or_default();
    let refused = nearest::refused(group.found, lead);
    let mut would_help = Vec::new();
    if alternatives.is_empty() {
        would_help = nearest::would_help(group.found, lead, &refused);
        if 1 < group.members.len()
            && group.members.iter().all(|m| group.found.serving(Target::Single(*m)).next().is_some())
        {
            would_help.push("each alone can be met, but no one source serves all of the matched group".to_owned());
        }
    }
    let need = group.lead().map_or_else(String::new, |a| need_text(&a.need));
    Position { refs: group.refs(), alternatives, need, nearest: refused, would_help }
}

/// The position of a can, where its sections are decided together; `None` where they are not.
fn can_position(found: &Found<'_>, index: usize) -> Option<(Vec<usize>, Position)> {
    let (number, group) = found.cans.iter().enumerate().find(|(_, g)| g.asks.contains(&index))?;
    let parts: Vec<Group<'_, '_>> = group.asks.iter().map(|i| Group { found, members: vec![*i] }).collect();
    let alternatives = match group.way {
        Way::Beside => return None,
        Way::Inside => inside(found, group, &parts)?,
        Way::Either => {
            let cans = new_cans(found, number, group)?;
            let singles = beside(found, &parts);
            std::iter::once(cans).chain(singles).collect()
        }
    };
    let asks: Vec<&Ask<'_>> = group.asks.iter().filter_map(|i| found.asks.get(*i)).collect();
    let need: Vec<String> = asks.iter().map(|a| format!("{}: {}", a.name, need_text(&a.need))).collect();
    let would_help = if alternatives.is_empty() {
        vec!["no combination of fitting parts goes into the old can together: fit them beside it".to_owned()]
    } else {
        Vec::new()
    };
    let position = Position {
        refs: asks.iter().map(|a| a.name.clone()).collect(),
        alternatives,
        need: need.join("; "),
        nearest: group.asks.first().map(|i| nearest::refused(found, *i)).unwrap_or_default(),
        would_help,
    };
    Some((group.asks.clone(), position))
}

/// A new can for all sections; `None` where none does.
fn new_cans(found: &Found<'_>, number: usize, group: &CanGroup) -> Option<Alternative> {
    let asks: Vec<&Ask<'_>> = group.asks.iter().filter_map(|i| found.asks.get(*i)).collect();
    let refs: Vec<String> = asks.iter().map(|a| a.name.clone()).collect();
    let nodes: Vec<_> = asks.iter().map(|a| a.context.part.minus.as_ref()).collect();
    let common = one_node(&nodes).map(|node| format!("common negative to {node}"));
    let choice = |source: &crate::substitute::candidates::Source| Choice {
        source: source.key.clone(),
        hours: None,
        notes: if source.article.common_negative { common.clone().into_iter().collect() } else { Vec::new() },
    };
    let any_of: Vec<Choice> = found.serving(Target::Can(number)).map(|(source, _)| choice(source)).collect();
    let mut all: Vec<String> =
        asks.iter().flat_map(|a| notes::of_place(a).into_iter().map(|n| format!("{}: {n}", a.name))).collect();
    all.push("new can: take the old one out".to_owned());
    (!any_of.is_empty()).then(|| Alternative {
        kind: ArrangementKind::Can,
        demands: vec![Demand { refs, any_of, count: 1, same_source: true, select_extra: 0, extra_for: String::new() }],
        notes: all,
    })
}

/// Single parts for every section, with what they are mounted on; `None` where a section has none.
fn together(parts: &[Group<'_, '_>]) -> Option<Alternative> {
    let mut joined = Alternative { kind: ArrangementKind::Single, demands: Vec::new(), notes: Vec::new() };
    for part in parts {
        let single = part.alternatives().into_iter().find(|a| a.kind == ArrangementKind::Single)?;
        let name = part.refs().join(", ");
        joined.demands.extend(single.demands);
        joined.notes.extend(single.notes.into_iter().map(|n| format!("{name}: {n}")));
    }
    Some(joined)
}

/// Single parts under the chassis, the old can left disconnected.
fn beside(found: &Found<'_>, parts: &[Group<'_, '_>]) -> Option<Alternative> {
    let mut joined = together(parts)?;
    let refs: Vec<String> = parts.iter().flat_map(Group::refs).collect();
    joined.notes.push("the old can stays for looks, every section of it disconnected".to_owned());
    for (target, what) in [(Target::TagStrip, "tag strip"), (Target::Sleeving, "sleeving")] {
        let plain = |s: &crate::substitute::candidates::Source| Choice {
            source: s.key.clone(),
            hours: None,
            notes: Vec::new(),
        };
        let any_of: Vec<Choice> = found.serving(target).map(|(s, _)| plain(s)).collect();
        if any_of.is_empty() {
            joined.notes.push(format!("{what} needed: none in the catalog"));
            continue;
        }
        let demand = Demand {
            refs: refs.clone(),
            any_of,
            count: 1,
            same_source: false,
            select_extra: 0,
            extra_for: what.to_owned(),
        };
        joined.demands.push(demand);
    }
    Some(joined)
}

/// New parts inside the old can: only what goes in together; `None` where a section has none.
fn inside(found: &Found<'_>, group: &CanGroup, parts: &[Group<'_, '_>]) -> Option<Vec<Alternative>> {
    let mut joined = together(parts)?;
    joined.notes.push(notes::RESTUFFED.to_owned());
    let space = |side: fn(&Ask<'_>) -> Option<Millimetre>| {
        group.asks.iter().filter_map(|i| found.asks.get(*i)).filter_map(side).reduce(Millimetre::min)
    };
    let (diameter, length) = (space(|a| a.need.max_diameter), space(|a| a.need.max_length));
    match (diameter, length) {
        (Some(diameter), Some(length)) => {
            let mut bodies: Vec<Vec<(Choice, Body)>> = Vec::new();
            for demand in &joined.demands {
                bodies.push(sized(found, &demand.any_of));
            }
            if narrow(&mut bodies, (diameter, length)).is_none() {
                return Some(Vec::new());
            }
            for (demand, kept) in joined.demands.iter_mut().zip(bodies) {
                demand.any_of = kept.into_iter().map(|(choice, _)| choice).collect();
            }
        }
        _ => joined.notes.push("room inside the can not checked: its size is not given".to_owned()),
    }
    Some(vec![joined])
}

/// Choices whose body is known, with it.
fn sized(found: &Found<'_>, choices: &[Choice]) -> Vec<(Choice, Body)> {
    let body = |choice: &Choice| {
        let source = found.sources.iter().find(|s| s.key == choice.source)?;
        Some((source.article.diameter?, source.article.length?))
    };
    choices.iter().filter_map(|c| Some((c.clone(), body(c)?))).collect()
}

/// Drops the bulkiest choices until any combination of what is left goes in; `None` where none does.
fn narrow(bodies: &mut [Vec<(Choice, Body)>], inside: Body) -> Option<()> {
    let volume = |(d, l): Body| d.get() * d.get() * l.get();
    loop {
        // A combination can be no larger than the largest diameter and length of each section.
        let largest = |choices: &Vec<(Choice, Body)>| {
            let zero = (Millimetre::ZERO, Millimetre::ZERO);
            choices.iter().fold(zero, |w, (_, b)| (w.0.max(b.0), w.1.max(b.1)))
        };
        if bodies.iter().any(Vec::is_empty) {
            return None;
        }
        let worst: Vec<Body> = bodies.iter().map(largest).collect();
        if fit_together(&worst, inside) {
            return Some(());
        }
        let several = bodies.iter_mut().filter(|b| 1 < b.len());
        let bulk = |b: &Vec<(Choice, Body)>| b.iter().map(|(_, body)| volume(*body)).fold(0.0, f64::max);
        let widest = several.max_by(|a, b| bulk(a).total_cmp(&bulk(b)))?;
        let most = bulk(widest);
        let at = widest.iter().rposition(|(_, body)| most <= volume(*body))?;
        widest.remove(at);
    }
}
