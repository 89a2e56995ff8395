//! What single parts for the sections of a can are mounted with: a tag strip and sleeving, as parts of
//! the order.

use std::collections::BTreeSet;

use super::can::CanGroup;
use super::position::{Choice, Demand};
use crate::model::kind::PartKind;
use crate::substitute::candidates::{Ask, Found, Source, Target};
use crate::substitute::designation::hardware::{is_sleeving, is_tag_strip, ways};

/// Demands for what is bought, and notes on what is there already or cannot be had.
pub(super) type Mounting = (Vec<Demand>, Vec<String>);

/// Tag strip and sleeving for parts beside the can of this number.
pub(super) fn beside(found: &Found<'_>, number: usize) -> Mounting {
    let (mut demands, mut notes) = tag_strip(found, number);
    let (more, remarks) = sleeving(found, number);
    demands.extend(more);
    notes.extend(remarks);
    (demands, notes)
}

/// Sleeving for the leads; one length in the parts list serves all cans of the job.
pub(super) fn sleeving(found: &Found<'_>, number: usize) -> Mounting {
    if let Some(listed) = listed(found, number, is_sleeving).first() {
        return (Vec::new(), vec![format!("sleeving: {listed} of the parts list")]);
    }
    bought(found, number, (Target::Sleeving, "sleeving"), &|_| true)
}

/// A tag strip with a tag for each node; each one in the parts list serves one can of the job.
fn tag_strip(found: &Found<'_>, number: usize) -> Mounting {
    let group = found.cans.get(number);
    let earlier = found.cans.iter().take(number).filter(|g| group.is_some_and(|own| same_job(found, g, own))).count();
    if let Some(listed) = listed(found, number, is_tag_strip).get(earlier) {
        return (Vec::new(), vec![format!("tag strip: {listed} of the parts list")]);
    }
    let tags = group.map_or(0, |g| tags(found, g));
    let has = |s: &Source| s.article.designation().and_then(ways);
    let enough = |s: &Source| has(s).is_none_or(|has| tags <= has);
    let (mut demands, notes) = bought(found, number, (Target::TagStrip, "tag strip"), &enough);
    for choice in demands.iter_mut().flat_map(|d| &mut d.any_of) {
        let source = found.sources.iter().find(|s| s.key == choice.source);
        if source.is_some_and(|s| has(s).is_none()) {
            choice.notes.push(format!("tag strip: its tags are not stated, {tags} are needed"));
        }
    }
    (demands, notes)
}

/// One piece of what serves this target, or the note that there is none.
fn bought(
    found: &Found<'_>,
    number: usize,
    (target, what): (Target, &str),
    enough: &dyn Fn(&Source) -> bool,
) -> Mounting {
    let plain = |s: &Source| Choice { source: s.key.clone(), hours: None, notes: Vec::new() };
    let any_of: Vec<Choice> = found.serving(target).filter(|(s, _)| enough(s)).map(|(s, _)| plain(s)).collect();
    if any_of.is_empty() {
        return (Vec::new(), vec![format!("{what} needed, and nothing for sale fits")]);
    }
    let refs = found.cans.get(number).map(|g| members(found, g).map(|a| a.name.clone()).collect());
    let demand = Demand { extra_for: what.to_owned(), ..Demand::of(refs.unwrap_or_default(), any_of, 1) };
    (vec![demand], Vec::new())
}

/// Hardware of this sort that the job's own parts list renews.
fn listed(found: &Found<'_>, number: usize, is: impl Fn(&str) -> bool) -> Vec<String> {
    let job = found.cans.get(number).and_then(|g| members(found, g).next()).map(|a| a.context.job.name.as_str());
    let own = |a: &&Ask<'_>| Some(a.context.job.name.as_str()) == job && a.context.part.kind == PartKind::Hardware;
    found
        .asks
        .iter()
        .filter(own)
        .filter(|a| a.context.part.designation().is_some_and(&is))
        .map(|a| a.name.clone())
        .collect()
}

/// Tags that the sections take: one for each node, one for each end whose node is not known.
fn tags(found: &Found<'_>, group: &CanGroup) -> usize {
    let parts: Vec<_> = members(found, group).map(|a| a.context.part).collect();
    let ends = || parts.iter().flat_map(|p| [&p.plus, &p.minus]);
    ends().flatten().collect::<BTreeSet<_>>().len() + ends().filter(|n| n.is_none()).count()
}

fn same_job(found: &Found<'_>, a: &CanGroup, b: &CanGroup) -> bool {
    let name = |g| members(found, g).next().map(|ask| &ask.context.job.name);
    name(a) == name(b)
}

fn members<'f>(found: &'f Found<'_>, group: &'f CanGroup) -> impl Iterator<Item = &'f Ask<'f>> {
    group.asks.iter().filter_map(|i| found.asks.get(*i))
}
