//! The ways of renewing a can: a new can, single parts beside the old one, new parts inside it.

use super::can::{CanGroup, one_node, served};
use super::group::Group;
use super::missed_can::MissedCans;
use super::position::{Alternative, Choice, Demand};
use super::{mounting, notes, restuff};
use crate::model::need::{Answer, Point};
use crate::model::plan::{ArrangementKind, CanWay};
use crate::substitute::candidates::{Ask, Found, Source, Target};
use crate::substitute::verdict::{check, expected_life};
use crate::units::Hour;

/// At most so many combinations of series strings are weighed for one can.
const MOST_COMBINATIONS: usize = 16;

/// One can with every way of renewing it.
#[derive(Debug, Clone, PartialEq)]
pub struct Ways {
    /// The can's group letter.
    pub can: String,
    /// Its sections that are renewed.
    pub refs: Vec<String>,
    /// Every way with its alternatives, or why it is not possible.
    pub options: Vec<(CanWay, Result<Vec<Alternative>, String>)>,
}

/// Every can of the asks with its ways; `missed` tells what cans just miss.
pub fn can_ways(found: &Found<'_>, missed: &MissedCans<'_>) -> Vec<Ways> {
    let of_can = |(number, group): (usize, &CanGroup)| {
        let why = |why: String| missed.why(number).unwrap_or(why);
        let option = |way: CanWay| {
            let outcome = alternatives(found, number, way);
            // A can that would do but for a point tells more than that none does.
            (way, if way == CanWay::NewCan && group.whole { outcome.map_err(why) } else { outcome })
        };
        let asks = members(found, group);
        Ways {
            can: asks.first().and_then(|a| a.context.part.can.clone()).unwrap_or_default(),
            refs: asks.iter().map(|a| a.name.clone()).collect(),
            options: CanWay::ALL.iter().copied().map(option).collect(),
        }
    };
    found.cans.iter().enumerate().map(of_can).collect()
}

/// The alternatives of one way for the can of this number; never empty.
///
/// # Errors
/// Why it is not possible, in a few words.
pub(super) fn alternatives(found: &Found<'_>, number: usize, way: CanWay) -> Result<Vec<Alternative>, String> {
    let Some(group) = found.cans.get(number) else {
        return Err("no such can".to_owned());
    };
    match way {
        CanWay::NewCan => new_can(found, number, group).map(|a| vec![a]),
        CanWay::Beside => beside(found, number, group),
        CanWay::Inside => inside(found, number, group),
    }
}

/// The way in a technician's words.
pub(super) const fn words(way: CanWay) -> &'static str {
    match way {
        CanWay::NewCan => "a new can",
        CanWay::Beside => "single parts beside the old can",
        CanWay::Inside => "restuffing",
    }
}

/// Ways that were not asked for but would do.
pub(super) fn others(found: &Found<'_>, number: usize) -> Vec<String> {
    let Some(group) = found.cans.get(number) else { return Vec::new() };
    let other = |way: &&CanWay| !group.wanted.contains(way) && alternatives(found, number, **way).is_ok();
    CanWay::ALL.iter().filter(other).map(|way| format!("{} would do", words(*way))).collect()
}

fn members<'f>(found: &'f Found<'_>, group: &CanGroup) -> Vec<&'f Ask<'f>> {
    group.asks.iter().filter_map(|i| found.asks.get(*i)).collect()
}

/// That some sections are not renewed, by name.
fn not_whole(found: &Found<'_>, group: &CanGroup) -> String {
    let asks = members(found, group);
    let renewed = |reference: &String| asks.iter().any(|a| a.context.part.reference == *reference);
    let same_can = asks.first().map(|a| (a.context.job, a.context.part.can.as_deref()));
    let rest = same_can.into_iter().flat_map(|(job, can)| {
        let sections = job.parts.iter().filter(move |p| p.can.as_deref() == can);
        sections.map(|p| p.reference.clone()).filter(|r| !renewed(r)).collect::<Vec<_>>()
    });
    format!("{} of the can not renewed", rest.collect::<Vec<_>>().join(", "))
}

/// A new can for all sections.
fn new_can(found: &Found<'_>, number: usize, group: &CanGroup) -> Result<Alternative, String> {
    let asks = members(found, group);
    if !group.whole {
        return Err(not_whole(found, group));
    }
    let nodes: Vec<_> = asks.iter().map(|a| a.context.part.minus.as_ref()).collect();
    let common = one_node(&nodes);
    let choice = |source: &Source| can_choice(found, group, source, common.map(ToString::to_string).as_deref());
    let any_of: Vec<Choice> = found.serving(Target::Can(number)).map(|(source, _)| choice(source)).collect();
    if any_of.is_empty() {
        let separate = if common.is_none() { "; it would need separate negatives" } else { "" };
        return Err(format!("no can for sale serves all {} sections{separate}", asks.len()));
    }
    let mut all: Vec<String> =
        asks.iter().flat_map(|a| notes::of_place(a).into_iter().map(|n| format!("{}: {n}", a.name))).collect();
    all.push("new can: take the old one out".to_owned());
    let refs = asks.iter().map(|a| a.name.clone()).collect();
    let demand = Demand { same_source: true, kind: ArrangementKind::Can, ..Demand::of(refs, any_of, 1) };
    Ok(Alternative { kind: ArrangementKind::Can, demands: vec![demand], notes: all, way: Some(CanWay::NewCan) })
}

/// A can as a choice: the hours of its worst section, and what to be careful about.
fn can_choice(found: &Found<'_>, group: &CanGroup, source: &Source, common: Option<&str>) -> Choice {
    let mut notes: Vec<String> = Vec::new();
    if let Some(node) = common.filter(|_| source.article.common_negative) {
        notes.push(format!("common negative to {node}"));
    }
    let mut hours: Option<Hour> = None;
    let served = served(found.asks, group, &source.article);
    for ((need, section), ask) in served.iter().zip(members(found, group)) {
        let points = check(need, section, &ask.rules).points;
        let careful = |p: &Point| p.answer == Answer::Caution && !notes::of_the_place(p);
        for says in points.into_iter().filter(careful).map(|p| p.says) {
            if !notes.contains(&says) {
                notes.push(says);
            }
        }
        hours = match (hours, expected_life(need, section)) {
            (Some(a), Some(b)) => Some(a.min(b)),
            (a, b) => a.or(b),
        };
    }
    Choice { source: source.key.clone(), hours, notes }
}

/// The ask, as the group of one section.
fn section<'f, 'a>(found: &'f Found<'a>, index: usize) -> Group<'f, 'a> {
    Group { found, members: vec![index] }
}

/// Single parts under the chassis, the old can left disconnected.
fn beside(found: &Found<'_>, number: usize, group: &CanGroup) -> Result<Vec<Alternative>, String> {
    let mut combinations: Vec<Vec<Demand>> = vec![Vec::new()];
    for index in &group.asks {
        let own = section(found, *index);
        let mut possible = own.alternatives();
        if let Some(single) = possible.iter().find(|a| a.kind == ArrangementKind::Single).cloned() {
            possible = vec![single];
        }
        if possible.is_empty() {
            return Err(format!("nothing for sale does for {}", own.refs().join(", ")));
        }
        let dead = if group.whole { notes::DEAD_CAN } else { notes::DEAD_SECTION };
        let each = possible.into_iter().map(|a| of_section(a, dead));
        let each: Vec<Vec<Demand>> = each.collect();
        combinations = combinations
            .iter()
            .flat_map(|c| each.iter().map(move |more| [c.as_slice(), more.as_slice()].concat()))
            .take(MOST_COMBINATIONS)
            .collect();
    }
    let (extras, remarks) = mounting::beside(found, number);
    let alternative = |mut demands: Vec<Demand>| {
        demands.extend(extras.iter().cloned());
        let kind = ArrangementKind::Single;
        Alternative { kind, demands, notes: remarks.clone(), way: Some(CanWay::Beside) }
    };
    Ok(combinations.into_iter().map(alternative).collect())
}

/// The demands of one section's alternative, with its notes and one more.
fn of_section(alternative: Alternative, note: &str) -> Vec<Demand> {
    let Alternative { kind, mut demands, mut notes, .. } = alternative;
    notes.push(note.to_owned());
    if let Some(first) = demands.first_mut() {
        first.kind = kind;
        first.notes = notes;
    }
    demands
}

/// New parts inside the old can: only what goes in together.
fn inside(found: &Found<'_>, number: usize, group: &CanGroup) -> Result<Vec<Alternative>, String> {
    if !group.whole && !group.wanted.contains(&CanWay::Inside) {
        return Err(not_whole(found, group));
    }
    let mut demands = Vec::new();
    for index in &group.asks {
        let own = section(found, *index);
        let single = own.alternatives().into_iter().find(|a| a.kind == ArrangementKind::Single);
        let single = single.ok_or_else(|| format!("no single part for sale does for {}", own.refs().join(", ")))?;
        demands.extend(of_section(single, notes::IN_THE_CAN));
    }
    let unchecked = restuff::choose(found, group, &mut demands)?;
    let (extras, remarks) = mounting::sleeving(found, number);
    demands.extend(extras);
    let mut all = vec![notes::RESTUFFED.to_owned()];
    all.extend(unchecked);
    if !group.whole {
        all.push(format!("{}; leave room for the rest", not_whole(found, group)));
    }
    all.extend(remarks);
    Ok(vec![Alternative { kind: ArrangementKind::Single, demands, notes: all, way: Some(CanWay::Inside) }])
}
