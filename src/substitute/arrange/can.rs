//! Cans: which sections belong together, and whether a new can serves them all.

use crate::model::finding::How;
use crate::model::kind::Wish;
use crate::model::need::{Answer, Need, Point, PointKind, Verdict};
use crate::model::part::{NodeName, Part, Value};
use crate::model::shop::{Article, Section};
use crate::substitute::candidates::Ask;
use crate::substitute::verdict::{Rules, check, count};

/// How the sections of a can are to be renewed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    /// A new can or single parts, whichever comes out better.
    Either,
    /// Single parts beside the old can, which stays disconnected.
    Beside,
    /// New parts inside the old can.
    Inside,
}

/// The sections of one can that are to be renewed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CanGroup {
    /// Indices of their asks.
    pub asks: Vec<usize>,
    /// How it is to be done.
    pub way: Way,
    /// Whether these are all sections of the can.
    pub whole: bool,
}

/// The cans among the asks, in the order of their first sections.
pub fn groups(asks: &[Ask<'_>]) -> Vec<CanGroup> {
    let mut groups: Vec<(&str, &str, CanGroup)> = Vec::new();
    for (index, ask) in asks.iter().enumerate() {
        let (job, part) = (ask.context.job, ask.context.part);
        let Some(letter) = part.can.as_deref() else {
            continue;
        };
        let of_can = groups.iter_mut().find(|(name, can, _)| *name == job.name && *can == letter);
        if let Some((_, _, group)) = of_can {
            group.asks.push(index);
        } else {
            groups.push((&job.name, letter, CanGroup { asks: vec![index], way: Way::Either, whole: false }));
        }
    }
    let finish = |(_, letter, mut group): (&str, &str, CanGroup)| {
        let members: Vec<&Ask<'_>> = group.asks.iter().filter_map(|i| asks.get(*i)).collect();
        group.way = way(&members);
        let sections = |a: &&Ask<'_>| a.context.job.parts.iter().filter(|p| p.can.as_deref() == Some(letter)).count();
        group.whole = members.first().is_some_and(|a| sections(a) == members.len());
        group
    };
    groups.into_iter().map(finish).collect()
}

/// The way that the judgement or the technician asks for.
fn way(members: &[&Ask<'_>]) -> Way {
    let any = |how: How| members.iter().any(|a| a.context.judgement.how == Some(how));
    if any(How::Restuff) || members.iter().any(|a| a.context.part.wish == Some(Wish::Restuff)) {
        Way::Inside
    } else if any(How::BesideDeadCan) {
        Way::Beside
    } else {
        Way::Either
    }
}

/// How well a can serves all sections of a group; `None` where it does not.
pub(in crate::substitute) fn serves(asks: &[Ask<'_>], group: &CanGroup, article: &Article) -> Option<Answer> {
    if group.way != Way::Either || !group.whole {
        return None;
    }
    let members: Vec<&Ask<'_>> = group.asks.iter().filter_map(|i| asks.get(*i)).collect();
    let nodes: Vec<Option<&NodeName>> = members.iter().map(|a| a.context.part.minus.as_ref()).collect();
    if article.common_negative && one_node(&nodes).is_none() {
        return None;
    }
    let fits = |member: usize, section: Section| {
        let ask = members.get(member)?;
        let counted = count(&ask.need, &as_section(article, section), &ask.rules);
        counted.usable().then_some(counted.answer)
    };
    let assigned = assign(members.len(), &article.sections, &fits)?;
    assigned.into_iter().map(|(_, answer)| answer).max()
}

/// Holds a can against the sections that it has to serve, in words: the points of each section
/// with the can's section that suits it best, and the common negative.
pub fn check_can(sections: &[(&Need, &Part)], article: &Article, rules: &Rules<'_>) -> Verdict {
    let answer = |member: usize, section: Section| {
        let (need, _) = sections.get(member)?;
        Some(count(need, &as_section(article, section), rules).answer)
    };
    let assigned = assign(sections.len(), &article.sections, &answer).unwrap_or_default();
    let mut points = Vec::new();
    for (member, (need, part)) in sections.iter().enumerate() {
        let section = assigned.get(member).and_then(|(index, _)| article.sections.get(*index));
        match section {
            Some(section) => {
                let verdict = check(need, &as_section(article, *section), rules);
                points.extend(
                    verdict.points.into_iter().map(|p| Point { says: format!("{}: {}", part.reference, p.says), ..p }),
                );
            }
            None => points.push(no_section(part, article)),
        }
    }
    if article.common_negative {
        points.push(common_negative(sections));
    }
    points.sort_by_key(|p| p.point);
    Verdict::of(points)
}

/// One section of a can as an article of its own.
fn as_section(article: &Article, section: Section) -> Article {
    Article {
        value: Some(Value::Farad(section.farad)),
        volts: Some(section.volts),
        sections: Vec::new(),
        ..article.clone()
    }
}

/// The point that a can has too few sections.
fn no_section(part: &Part, article: &Article) -> Point {
    Point {
        point: PointKind::Value,
        needs: format!("a section for {}", part.reference),
        has: format!("{} sections", article.sections.len()),
        answer: Answer::Unsuitable,
        rule: "can-sections",
        says: format!("{}: no section left", part.reference),
    }
}

/// The point of a common negative: only where all negatives are one node.
fn common_negative(sections: &[(&Need, &Part)]) -> Point {
    let nodes: Vec<Option<&NodeName>> = sections.iter().map(|(_, part)| part.minus.as_ref()).collect();
    let ok = one_node(&nodes).is_some();
    let text: Vec<String> = sections
        .iter()
        .map(|(_, part)| {
            format!("{} minus {}", part.reference, part.minus.as_ref().map_or("not known", NodeName::as_str))
        })
        .collect();
    let says = if ok { "all negatives are one node" } else { "a common negative would join nodes that are not one" };
    Point {
        point: PointKind::Polarity,
        needs: text.join(", "),
        has: "common negative".to_owned(),
        answer: if ok { Answer::Fit } else { Answer::Unsuitable },
        rule: "can-negatives",
        says: says.to_owned(),
    }
}

/// The node that all are; `None` where they differ or one is not known.
pub(super) fn one_node<'a>(nodes: &[Option<&'a NodeName>]) -> Option<&'a NodeName> {
    let first = nodes.first().copied().flatten()?;
    nodes.iter().all(|n| *n == Some(first)).then_some(first)
}

/// Gives each member a section of its own so that the worst answer is as good as can be:
/// the section's index and its answer, member by member.
fn assign(
    members: usize,
    sections: &[Section],
    fits: &impl Fn(usize, Section) -> Option<Answer>,
) -> Option<Vec<(usize, Answer)>> {
    // A can has at most a handful of sections; more are not weighed.
    if sections.len() > 6 || sections.len() < members {
        return None;
    }
    let mut best: Option<Vec<(usize, Answer)>> = None;
    let mut chosen = Vec::new();
    extend(members, sections, fits, &mut chosen, &mut best);
    best
}

/// Tries every free section for the next member.
fn extend(
    members: usize,
    sections: &[Section],
    fits: &impl Fn(usize, Section) -> Option<Answer>,
    chosen: &mut Vec<(usize, Answer)>,
    best: &mut Option<Vec<(usize, Answer)>>,
) {
    let worst = |list: &[(usize, Answer)]| list.iter().map(|(_, a)| *a).max();
    if chosen.len() == members {
        if best.as_ref().is_none_or(|b| worst(chosen) < worst(b)) {
            *best = Some(chosen.clone());
        }
        return;
    }
    for (index, section) in sections.iter().enumerate() {
        if chosen.iter().any(|(taken, _)| *taken == index) {
            continue;
        }
        if let Some(answer) = fits(chosen.len(), *section) {
            chosen.push((index, answer));
            extend(members, sections, fits, chosen, best);
            chosen.pop();
        }
    }
}
