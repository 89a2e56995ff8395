//! The story of one position, from what was seen to what was bought, and what each wish costs.
//!
//! Costs are found by solving again with one thing changed, never guessed.

use super::order::Order;
use super::{Choices, PlanError};
use crate::model::plan::{Plan, Story, StoryOffer, WishCost};
use crate::model::shop::Shop;
use crate::money::Money;
use crate::purchase::{Limits, Problem, Purchase, solve};
use crate::substitute::arrange::Position;
use crate::substitute::candidates::{Ask, Found, Source, Target};
use crate::substitute::check;

/// At most so many offers are shown as the best.
const MOST_BEST: usize = 5;

/// What a story is told from.
pub(super) struct Told<'a> {
    pub(super) found: &'a Found<'a>,
    pub(super) positions: &'a [Position],
    pub(super) order: &'a Order<'a>,
    pub(super) purchase: &'a Purchase,
    pub(super) choices: &'a Choices,
    /// What comes after the days promised.
    pub(super) late: &'a Found<'a>,
    pub(super) shop: &'a Shop,
}

/// Tells the story of one reference.
///
/// # Errors
/// The reference is in no parts list, or solving again fails.
pub(super) fn story(plan: &Plan, reference: &str, told: &Told<'_>) -> Result<Story, PlanError> {
    let label = known(plan, reference)?;
    let asked = told.found.asks.iter().enumerate().find(|(_, a)| a.name == label);
    let position = told.positions.iter().position(|p| p.refs.contains(&label));
    let mut costs = Vec::new();
    if let Some(position) = position {
        costs.extend(without_the_choice(position, told)?);
    }
    costs.extend(fewer_suppliers(told)?);
    costs.extend(more_suppliers(told)?);
    costs.extend(asked.and_then(|(index, _)| more_days(index, told)));
    Ok(Story {
        reference: label,
        best: asked.map(|(index, ask)| best(index, ask, told)).unwrap_or_default(),
        missed: position.and_then(|p| told.positions.get(p)).map(|p| p.nearest.clone()).unwrap_or_default(),
        costs,
    })
}

/// The reference as the plan writes it; `JOB/REF` may be shortened where only one job has it.
fn known(plan: &Plan, reference: &str) -> Result<String, PlanError> {
    let several = plan.several_jobs();
    let labels = plan.inspections.iter().flat_map(|i| {
        i.judgements.iter().map(move |j| {
            let label = if several { format!("{}/{}", i.job, j.reference) } else { j.reference.clone() };
            (label, j.reference.as_str())
        })
    });
    let hits: Vec<String> = labels
        .filter(|(label, own)| label.eq_ignore_ascii_case(reference) || own.eq_ignore_ascii_case(reference))
        .map(|(label, _)| label)
        .collect();
    match hits.as_slice() {
        [one] => Ok(one.clone()),
        [] => Err(PlanError::NoReference(reference.to_owned())),
        _ => Err(PlanError::SeveralReferences(reference.to_owned(), hits.join(", "))),
    }
}

/// The five that serve alone at the least price of one.
fn best(index: usize, ask: &Ask<'_>, told: &Told<'_>) -> Vec<StoryOffer> {
    let mut serving: Vec<(&Source, Option<Money>)> =
        told.found.serving(Target::Single(index)).map(|(s, _)| (s, unit_price(s, told))).collect();
    serving.sort_by(|a, b| a.1.is_none().cmp(&b.1.is_none()).then(a.1.cmp(&b.1)).then(a.0.key.cmp(&b.0.key)));
    let chosen =
        |s: &Source| told.purchase.buy.iter().any(|l| told.order.sources.get(l.source).is_some_and(|o| o.key == s.key));
    let offer = |(source, each): (&Source, Option<Money>)| StoryOffer {
        number: source.key.to_string(),
        article: source.article.clone(),
        each,
        in_order: chosen(source),
        cautions: check(&ask.need, &source.article, &ask.rules)
            .points
            .into_iter()
            .filter(|p| p.answer != crate::model::need::Answer::Fit)
            .map(|p| p.says)
            .collect(),
    };
    serving.into_iter().take(MOST_BEST).map(offer).collect()
}

/// The price of one piece in the shop's currency; `None` where it comes too late to be in the order.
fn unit_price(source: &Source, told: &Told<'_>) -> Option<Money> {
    let index = told.order.sources.iter().position(|s| s.key == source.key)?;
    told.order.problem.sources.get(index)?.tiers.first().map(|t| t.each)
}

/// What a changed problem costs, if it still meets as much.
fn landed(problem: &Problem, told: &Told<'_>) -> Result<Option<Money>, PlanError> {
    let limits = Limits { seconds: told.choices.seconds, ..Limits::default() };
    let again = solve(problem, &limits).map_err(PlanError::Purchase)?;
    Ok((again.unmet.len() <= told.purchase.unmet.len()).then_some(again.totals.landed))
}

fn cost(what: String, landed: Option<Money>, told: &Told<'_>) -> WishCost {
    WishCost { what, difference: landed.map(|m| m - told.purchase.totals.landed) }
}

/// What it would cost not to use the chosen pieces here.
fn without_the_choice(position: usize, told: &Told<'_>) -> Result<Option<WishCost>, PlanError> {
    let Some(fit) = told.purchase.fits.iter().find(|f| f.position == position) else { return Ok(None) };
    let chosen: Vec<usize> = fit.parts.iter().map(|t| t.source).collect();
    let mut problem = told.order.problem.clone();
    let Some(here) = problem.positions.get_mut(position) else { return Ok(None) };
    for arrangement in &mut here.arrangements {
        for demand in &mut arrangement.demands {
            demand.any_of.retain(|s| !chosen.contains(s));
        }
    }
    here.arrangements.retain(|a| a.demands.iter().all(|d| !d.any_of.is_empty()));
    let landed = landed(&problem, told)?;
    Ok(Some(cost("anything else at this place".to_owned(), landed, told)))
}

/// What one supplier less would cost.
fn fewer_suppliers(told: &Told<'_>) -> Result<Option<WishCost>, PlanError> {
    let used = told.purchase.suppliers.len();
    let Some(fewer) = u32::try_from(used).ok().and_then(|u| u.checked_sub(1)).filter(|f| 0 < *f) else {
        return Ok(None);
    };
    let mut problem = told.order.problem.clone();
    problem.rules.max_suppliers = Some(fewer);
    let landed = landed(&problem, told)?;
    Ok(Some(cost(format!("from at most {fewer} suppliers"), landed, told)))
}

/// What the limit on suppliers costs, where there is one.
fn more_suppliers(told: &Told<'_>) -> Result<Option<WishCost>, PlanError> {
    let Some(most) = told.order.problem.rules.max_suppliers else { return Ok(None) };
    let mut problem = told.order.problem.clone();
    problem.rules.max_suppliers = None;
    let landed = landed(&problem, told)?;
    Ok(Some(cost(format!("without the limit of {most} suppliers"), landed, told)))
}

/// What would be cheaper by the piece if more days were allowed; it is told, not solved, for the whole
/// order would have to be chosen anew.
fn more_days(index: usize, told: &Told<'_>) -> Option<WishCost> {
    let days = told.choices.within_days?;
    let late = told.late.serving(Target::Single(index)).filter_map(|(s, _)| {
        let price = s.tiers.first()?.each.at_rate(told.shop.rate(&told.shop.supplier(s.key.supplier()?)?.currency)?);
        Some((price, &s.key))
    });
    let in_time = told.found.serving(Target::Single(index)).filter_map(|(s, _)| unit_price(s, told)).min();
    let (price, key) = late.min()?;
    let difference = in_time.map(|m| price - m);
    Some(WishCost { what: format!("the price of one, if {key} could come after the {days} days promised"), difference })
}
