//! Cans: which sections belong together, and whether a new can serves them all.

use crate::model::finding::How;
use crate::model::kind::{Style, Wish};
use crate::model::need::{Answer, Need, Point, PointKind, Verdict};
use crate::model::part::{NodeName, Part, Value};
use crate::model::plan::CanWay;
use crate::model::shop::{Article, Section};
use crate::substitute::candidates::Ask;
use crate::substitute::verdict::{Rules, check, count};

/// Whether the bodies of single parts have to be told apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    /// They go beside the old can; any body that fits the place will do.
    Beside,
    /// They may go inside the old can together, so that a smaller body may be worth more money.
    Inside,
}

/// The sections of one can that are to be renewed.
#[derive(Debug, Clone, PartialEq)]
pub struct CanGroup {
    /// Indices of their asks.
    pub asks: Vec<usize>,
    /// Whether bodies are told apart: wherever restuffing is done, or costed beside the other ways.
    pub way: Way,
    /// Whether these are all sections of the can.
    pub whole: bool,
    /// The ways of which the cheapest in the whole order is taken.
    pub wanted: Vec<CanWay>,
    /// What each section needs of a can, in the order of `asks`.
    needs: Vec<Need>,
}

/// The cans among the asks, in the order of their first sections.
pub fn groups(asks: &[Ask<'_>]) -> Vec<CanGroup> {
    let mut groups: Vec<(&str, &str, Vec<usize>)> = Vec::new();
    for (index, ask) in asks.iter().enumerate() {
        let (job, part) = (ask.context.job, ask.context.part);
        let Some(letter) = part.can.as_deref() else {
            continue;
        };
        match groups.iter_mut().find(|(name, can, _)| *name == job.name && *can == letter) {
            Some((_, _, sections)) => sections.push(index),
            None => groups.push((&job.name, letter, vec![index])),
        }
    }
    groups.into_iter().map(|(_, letter, sections)| group(asks, letter, sections)).collect()
}

/// One can with these sections.
fn group(asks: &[Ask<'_>], letter: &str, sections: Vec<usize>) -> CanGroup {
    let members: Vec<&Ask<'_>> = sections.iter().filter_map(|i| asks.get(*i)).collect();
    let of_can = |a: &&Ask<'_>| a.context.job.parts.iter().filter(|p| p.can.as_deref() == Some(letter)).count();
    let whole = members.first().is_some_and(|a| of_can(a) == members.len());
    let restuffed = members
        .iter()
        .any(|a| a.context.judgement.how == Some(How::Restuff) || a.context.part.wish == Some(Wish::Restuff));
    let wanted = match (restuffed, whole) {
        (true, _) => vec![CanWay::Inside],
        (false, true) => vec![CanWay::NewCan, CanWay::Beside],
        (false, false) => vec![CanWay::Beside],
    };
    CanGroup {
        way: if restuffed || whole { Way::Inside } else { Way::Beside },
        needs: members.iter().map(|a| for_can(&a.need, a.context.part)).collect(),
        asks: sections,
        whole,
        wanted,
    }
}

/// The need of a section held against a can: mounted as a can unless the line says otherwise.
fn for_can(need: &Need, part: &Part) -> Need {
    let said = &part.space.styles;
    let styles = if said.is_empty() || said.contains(&Style::Any) { vec![Style::Can] } else { said.clone() };
    Need { styles, ..need.clone() }
}

/// How well a can serves all sections of a group; `None` where it does not.
pub(in crate::substitute) fn serves(asks: &[Ask<'_>], group: &CanGroup, article: &Article) -> Option<Answer> {
    sections_of(asks, group, article)?.into_iter().map(|(_, answer)| answer).max()
}

/// For each section of the old can the section of the new one that serves it, with the answer;
/// `None` where a section is left without, or where the can serves no whole old one.
fn sections_of(asks: &[Ask<'_>], group: &CanGroup, article: &Article) -> Option<Vec<(Section, Answer)>> {
    if !group.whole {
        return None;
    }
    let members: Vec<&Ask<'_>> = group.asks.iter().filter_map(|i| asks.get(*i)).collect();
    let nodes: Vec<Option<&NodeName>> = members.iter().map(|a| a.context.part.minus.as_ref()).collect();
    if article.common_negative && one_node(&nodes).is_none() {
        return None;
    }
    let fits = |member: usize, section: Section| {
        let (ask, need) = (members.get(member)?, group.needs.get(member)?);
        let counted = count(need, &as_section(article, section), &ask.rules);
        counted.usable().then_some((counted.answer, 0))
    };
    let assigned = assign(members.len(), &article.sections, &fits)?;
    assigned.into_iter().map(|(index, (answer, _))| Some((*article.sections.get(index)?, answer))).collect()
}

/// How many points fail when a can serves this group as well as it can, counted without words;
/// `None` where it has too few sections.
pub(super) fn failing(asks: &[Ask<'_>], group: &CanGroup, article: &Article) -> Option<u32> {
    let members: Vec<&Ask<'_>> = group.asks.iter().filter_map(|i| asks.get(*i)).collect();
    let nodes: Vec<Option<&NodeName>> = members.iter().map(|a| a.context.part.minus.as_ref()).collect();
    let joined = u32::from(article.common_negative && one_node(&nodes).is_none());
    let price = |member: usize, section: Section| {
        let (ask, need) = (members.get(member)?, group.needs.get(member)?);
        let counted = count(need, &as_section(article, section), &ask.rules);
        Some((counted.answer, counted.far.fails))
    };
    let assigned = assign(members.len(), &article.sections, &price)?;
    Some(joined + assigned.iter().map(|(_, (_, fails))| fails).sum::<u32>())
}

/// Each section's need with the new can's section that serves it, as an article of its own.
pub(super) fn served<'g>(asks: &[Ask<'_>], group: &'g CanGroup, article: &Article) -> Vec<(&'g Need, Article)> {
    let sections = sections_of(asks, group, article).unwrap_or_default();
    group.needs.iter().zip(sections).map(|(need, (section, _))| (need, as_section(article, section))).collect()
}

/// Holds a can against the sections that it has to serve, in words: the points of each section
/// with the can's section that suits it best, what is the same for all of them once, and the common
/// negative.
pub fn check_can(sections: &[(&Need, &Part)], article: &Article, rules: &Rules<'_>) -> Verdict {
    let needs: Vec<Need> = sections.iter().map(|(need, part)| for_can(need, part)).collect();
    let cost = |member: usize, section: Section| {
        let counted = count(needs.get(member)?, &as_section(article, section), rules);
        Some((counted.answer, counted.far.fails))
    };
    let mut points = Vec::new();
    match assign(sections.len(), &article.sections, &cost) {
        Some(assigned) => {
            let own = assigned.iter().filter_map(|(index, _)| article.sections.get(*index));
            let verdicts =
                needs.iter().zip(own).map(|(need, own)| check(need, &as_section(article, *own), rules).points);
            let names: Vec<&str> = sections.iter().map(|(_, part)| part.reference.as_str()).collect();
            points.extend(joined(&names, &verdicts.collect::<Vec<_>>()));
        }
        None => points.push(too_few(sections.len(), article)),
    }
    if article.common_negative {
        points.push(common_negative(sections));
    }
    points.sort_by_key(|p| p.point);
    Verdict::of(points)
}

/// The points of all sections: once where they are the same for all, else with the section's name.
fn joined(names: &[&str], verdicts: &[Vec<Point>]) -> Vec<Point> {
    let same = |a: &Point, b: &Point| a.point == b.point && a.needs == b.needs && a.has == b.has && a.says == b.says;
    let mut all: Vec<Point> = Vec::new();
    for (name, points) in names.iter().zip(verdicts) {
        for point in points {
            if verdicts.iter().all(|others| others.iter().any(|other| same(point, other))) {
                if !all.iter().any(|known| same(point, known)) {
                    all.push(point.clone());
                }
            } else {
                all.push(Point {
                    says: format!("{name}: {}", point.says),
                    needs: format!("{name}: {}", point.needs),
                    ..point.clone()
                });
            }
        }
    }
    all
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

/// The point that a can has too few sections (or more than are weighed).
fn too_few(wanted: usize, article: &Article) -> Point {
    let (needs, has) = (format!("{wanted} sections"), format!("{} sections", article.sections.len()));
    Point {
        point: PointKind::Value,
        says: format!("{needs} needed, {has}"),
        needs,
        has,
        answer: Answer::Unsuitable,
        rule: "can-sections",
    }
}

/// The point of a common negative: only where all negatives are one node.
fn common_negative(sections: &[(&Need, &Part)]) -> Point {
    let nodes: Vec<Option<&NodeName>> = sections.iter().map(|(_, part)| part.minus.as_ref()).collect();
    let ok = one_node(&nodes).is_some();
    let node = |part: &Part| part.minus.as_ref().map_or_else(|| "not known".to_owned(), ToString::to_string);
    let each: Vec<String> = sections.iter().map(|(_, part)| format!("{} {}", part.reference, node(part))).collect();
    let text = format!("minus of {}", each.join(", "));
    let says = if ok {
        "all negatives are one node".to_owned()
    } else {
        format!("a common negative would join what is not one node: {text}")
    };
    Point {
        point: PointKind::Polarity,
        needs: text,
        has: "common negative".to_owned(),
        answer: if ok { Answer::Fit } else { Answer::Unsuitable },
        rule: "can-negatives",
        says,
    }
}

/// The node that all are; `None` where they differ or one is not known.
pub(super) fn one_node<'a>(nodes: &[Option<&'a NodeName>]) -> Option<&'a NodeName> {
    let first = nodes.first().copied().flatten()?;
    nodes.iter().all(|n| *n == Some(first)).then_some(first)
}

/// What it costs to give a member a section: the answer and the points that fail.
type Price = (Answer, u32);

/// Gives each member a section of its own so that the worst answer is as good as can be, and then as
/// few points fail as can be: the section's index and its price, member by member.
fn assign(
    members: usize,
    sections: &[Section],
    price: &impl Fn(usize, Section) -> Option<Price>,
) -> Option<Vec<(usize, Price)>> {
    // A can has at most a handful of sections; more are not weighed.
    if sections.len() > 6 || sections.len() < members {
        return None;
    }
    let mut best: Option<Vec<(usize, Price)>> = None;
    let mut chosen = Vec::new();
    extend(members, sections, price, &mut chosen, &mut best);
    best
}

/// Tries every free section for the next member.
fn extend(
    members: usize,
    sections: &[Section],
    price: &impl Fn(usize, Section) -> Option<Price>,
    chosen: &mut Vec<(usize, Price)>,
    best: &mut Option<Vec<(usize, Price)>>,
) {
    let total =
        |list: &[(usize, Price)]| (list.iter().map(|(_, p)| p.0).max(), list.iter().map(|(_, p)| p.1).sum::<u32>());
    if chosen.len() == members {
        if best.as_ref().is_none_or(|b| total(chosen) < total(b)) {
            *best = Some(chosen.clone());
        }
        return;
    }
    for (index, section) in sections.iter().enumerate() {
        if chosen.iter().any(|(taken, _)| *taken == index) {
            continue;
        }
        if let Some(of_section) = price(chosen.len(), *section) {
            chosen.push((index, of_section));
            extend(members, sections, price, chosen, best);
            chosen.pop();
        }
    }
}
