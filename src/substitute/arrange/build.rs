//! From what was found to positions: groups formed, alternatives weighed, misses explained.

use std::collections::BTreeSet;

use super::group::Group;
use super::position::{Position, SectionNeed};
use super::{nearest, ways};
use crate::substitute::candidates::{Ask, Found, Target};
use crate::substitute::need::{need_text, wanted};

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
    let wanted = group.lead().map_or_else(Vec::new, |a| wanted(&a.need));
    Position { refs: group.refs(), alternatives, need, wanted, nearest: refused, would_help, sections: Vec::new() }
}

/// The position of a can: its sections are decided together.
fn can_position(found: &Found<'_>, index: usize) -> Option<(Vec<usize>, Position)> {
    let (number, group) = found.cans.iter().enumerate().find(|(_, g)| g.asks.contains(&index))?;
    let mut alternatives = Vec::new();
    let mut would_help = Vec::new();
    for way in &group.wanted {
        match ways::alternatives(found, number, *way) {
            Ok(possible) => alternatives.extend(possible),
            Err(why) => would_help.push(format!("{}: {why}", ways::words(*way))),
        }
    }
    if alternatives.is_empty() {
        would_help.extend(ways::others(found, number));
    } else {
        would_help.clear();
    }
    let section = |i: &usize| {
        let ask = found.asks.get(*i)?;
        let (reference, need) = (ask.name.clone(), need_text(&ask.need));
        Some(SectionNeed { reference, need, nearest: nearest::refused(found, *i) })
    };
    let sections: Vec<SectionNeed> = group.asks.iter().filter_map(section).collect();
    let need: Vec<String> = sections.iter().map(|s| format!("{}: {}", s.reference, s.need)).collect();
    let position = Position {
        refs: sections.iter().map(|s| s.reference.clone()).collect(),
        alternatives,
        need: need.join("; "),
        wanted: Vec::new(),
        nearest: sections.first().map(|s| s.nearest.clone()).unwrap_or_default(),
        would_help,
        sections,
    };
    Some((group.asks.clone(), position))
}
