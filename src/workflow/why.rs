//! The story of one position, from what was seen to what was bought, and what each wish costs.
//!
//! Costs are found by solving again with one thing changed, never guessed.

use super::again::nothing;
use super::market::Finds;
use super::wish::Wish;
use super::{Choices, PlanError, record};
use crate::model::need::{Answer, PointKind};
use crate::model::plan::{Inspection, Story, StoryOffer, WishCost};
use crate::money::Money;
use crate::purchase::{Demand, Fit, Problem, SpareWhy};
use crate::substitute::arrange::Choice;
use crate::substitute::candidates::{Ask, Source, Target};
use crate::substitute::check;
use crate::units::Hour;

/// At most so many offers are shown as the best.
const MOST_BEST: usize = 5;

/// What a story is told from.
pub(super) struct Told<'a> {
    /// What was bought.
    pub(super) bought: &'a record::Bought<'a>,
    /// What was found.
    pub(super) finds: &'a Finds<'a>,
    /// The wishes that bind at the place, in the order of the searches without them.
    pub(super) wishes: &'a [Wish],
    /// What was asked for.
    pub(super) choices: &'a Choices,
}

/// Tells the story of one reference, given as [`known`] gives it.
///
/// # Errors
/// Solving again fails.
pub(super) fn story(label: String, told: &Told<'_>) -> Result<Story, PlanError> {
    let asked = told.finds.in_time.asks.iter().enumerate().find(|(_, a)| a.name == label);
    let position = told.bought.positions.iter().position(|p| p.refs.contains(&label));
    let mut costs = Vec::new();
    if let Some(position) = position {
        costs.extend(told.about_the_choice(&label, position)?);
        for (wish, found) in told.wishes.iter().zip(&told.finds.given_up) {
            costs.push(told.with_candidates(wish.what.clone(), &label, (found, told.choices))?);
        }
    }
    costs.extend(told.other_days(&label)?);
    costs.extend(told.other_suppliers(&label)?);
    Ok(Story {
        best: asked.map(|(index, ask)| best(index, ask, told)).unwrap_or_default(),
        missed: position.and_then(|p| told.bought.positions.get(p)).map(|p| p.nearest.clone()).unwrap_or_default(),
        costs,
        firm: asked.map(|(_, ask)| firm(ask)).unwrap_or_default(),
        reference: label,
    })
}

/// The reference as the plan writes it; `JOB/REF` may be shortened where only one job has it.
///
/// # Errors
/// No parts list has it, or several have.
pub(super) fn known(inspections: &[Inspection], reference: &str) -> Result<String, PlanError> {
    let several = inspections.len() > 1;
    let labels = inspections.iter().flat_map(|i| {
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

/// What safety asks of the new part, which no saving is held against.
fn firm(ask: &Ask<'_>) -> Vec<String> {
    let safe = |point: PointKind, rule: &str| match point {
        PointKind::Voltage => !matches!(rule, "accept" | "accept-refused" | "cathode-rating" | "voltage-unproved"),
        PointKind::AcVoltage | PointKind::Class | PointKind::Flameproof | PointKind::Touch | PointKind::LimitFirst => {
            rule != "accept"
        }
        _ => false,
    };
    let reasons = ask.need.why.iter().filter(|w| safe(w.point, w.rule));
    reasons.map(|w| format!("{}: {}", w.point.word().replace('_', " "), w.says)).collect()
}

/// The five that serve alone at the least price of one.
fn best(index: usize, ask: &Ask<'_>, told: &Told<'_>) -> Vec<StoryOffer> {
    let mut serving: Vec<(&Source, Option<Money>)> =
        told.finds.in_time.serving(Target::Single(index)).map(|(s, _)| (s, told.unit_price(s))).collect();
    serving.sort_by(|a, b| a.1.is_none().cmp(&b.1.is_none()).then(a.1.cmp(&b.1)).then(a.0.key.cmp(&b.0.key)));
    let offer = |(source, each): (&Source, Option<Money>)| StoryOffer {
        number: source.key.to_string(),
        article: source.article.clone(),
        each,
        in_order: told.is_bought(source),
        cautions: check(&ask.need, &source.article, &ask.rules)
            .points
            .into_iter()
            .filter(|p| p.answer != Answer::Fit)
            .map(|p| p.says)
            .collect(),
    };
    serving.into_iter().take(MOST_BEST).map(offer).collect()
}

impl Told<'_> {
    /// The price of one piece in the shop's currency; `None` where it is in no arrangement.
    fn unit_price(&self, source: &Source) -> Option<Money> {
        let order = self.bought.order;
        let index = order.sources.iter().position(|s| s.key == source.key)?;
        order.problem.sources.get(index)?.tiers.first().map(|t| t.each)
    }

    /// Whether the order holds it.
    fn is_bought(&self, source: &Source) -> bool {
        let of_line = |l: &crate::purchase::Line| self.bought.order.sources.get(l.source);
        self.bought.purchase.buy.iter().filter_map(of_line).any(|s| s.key == source.key)
    }

    /// What is fitted at this place and no longer allowed, dearer, of a longer life, without its spares.
    fn about_the_choice(&self, label: &str, position: usize) -> Result<Vec<WishCost>, PlanError> {
        let Some(fit) = self.bought.purchase.fits.iter().find(|f| f.position == position) else {
            return Ok(Vec::new());
        };
        let mut costs = vec![self.anything_else(label, fit)?];
        costs.extend(self.one_more_apiece(label, fit)?);
        costs.extend(self.longer_life(label, fit)?);
        costs.extend(self.without_spares(label, fit)?);
        Ok(costs)
    }

    /// What it would cost not to use the chosen pieces here.
    fn anything_else(&self, label: &str, fit: &Fit) -> Result<WishCost, PlanError> {
        let chosen: Vec<usize> = fit.parts.iter().map(|t| t.source).collect();
        let problem = self.only_with(fit.position, |_, _, source| !chosen.contains(&source));
        self.with_problem("anything else at this place".to_owned(), label, problem)
    }

    /// What one unit of the currency more for each piece chosen here would do.
    fn one_more_apiece(&self, label: &str, fit: &Fit) -> Result<Option<WishCost>, PlanError> {
        let order = self.bought.order;
        let mut problem = order.problem.clone();
        let mut names: Vec<String> = Vec::new();
        let one = Money::from_ten_thousandths(10_000);
        for taken in &fit.parts {
            let Some(source) = problem.sources.get_mut(taken.source).filter(|s| s.supplier.is_some()) else { continue };
            let name = order.sources.get(taken.source).map(|s| s.key.to_string()).unwrap_or_default();
            if !names.contains(&name) {
                source.tiers.iter_mut().for_each(|t| t.each += one);
                names.push(name);
            }
        }
        if names.is_empty() {
            return Ok(None);
        }
        let what = format!("{} at 1.00 {} more apiece", names.join(" and "), self.bought.shop.currency);
        self.with_problem(what, label, problem).map(Some)
    }

    /// What something that lasts longer would cost, where the life to be expected is known and short of
    /// the most that is ever told.
    fn longer_life(&self, label: &str, fit: &Fit) -> Result<Option<WishCost>, PlanError> {
        let known = self.fitted(label).and_then(|f| f.years).filter(|years| *years < record::MOST_YEARS);
        let (Some(years), Some(hours)) = (known, self.hours(fit)) else { return Ok(None) };
        let problem = self.only_with(fit.position, |arrangement, demand, source| {
            let choice = self.choice(fit.position, (arrangement, demand), source);
            choice.is_none_or(|(extra, c)| extra || c.hours.is_some_and(|h| hours < h))
        });
        let what = format!("something that lasts longer than {years:.1} years");
        self.with_problem(what, label, problem).map(Some)
    }

    /// The shortest life among the pieces chosen.
    fn hours(&self, fit: &Fit) -> Option<Hour> {
        let of = |t: &crate::purchase::Taken| {
            let (extra, choice) = self.choice(fit.position, (fit.arrangement, t.demand), t.source)?;
            choice.hours.filter(|_| !extra)
        };
        fit.parts.iter().filter_map(of).reduce(Hour::min)
    }

    /// The choice that a source stands for in a demand, and whether that demand is for an extra.
    fn choice(&self, position: usize, (arrangement, demand): (usize, usize), source: usize) -> Option<(bool, &Choice)> {
        let order = self.bought.order;
        let number = *order.alternatives.get(position)?.get(arrangement)?;
        let demand = self.bought.positions.get(position)?.alternatives.get(number)?.demands.get(demand)?;
        let key = &order.sources.get(source)?.key;
        Some((!demand.extra_for.is_empty(), demand.any_of.iter().find(|c| c.source == *key)?))
    }

    /// The problem with only those sources at one position for which the test holds: of arrangement,
    /// demand and source.
    fn only_with(&self, position: usize, keep: impl Fn(usize, usize, usize) -> bool) -> Problem {
        let mut problem = self.bought.order.problem.clone();
        let Some(here) = problem.positions.get_mut(position) else { return problem };
        for (a, arrangement) in here.arrangements.iter_mut().enumerate() {
            for (d, demand) in arrangement.demands.iter_mut().enumerate() {
                // An arrangement whose demand has no source left is one that cannot be had; its place stays.
                demand.any_of.retain(|s| keep(a, d, *s));
            }
        }
        problem
    }

    /// What the spares bought with these pieces cost, and the pieces to select a match from.
    fn without_spares(&self, label: &str, fit: &Fit) -> Result<Vec<WishCost>, PlanError> {
        let purchase = self.bought.purchase;
        let here = |why: SpareWhy| {
            let lines = purchase.buy.iter().filter(|l| fit.parts.iter().any(|t| t.source == l.source));
            lines.flat_map(|l| &l.spare).any(|(reason, _)| *reason == why)
        };
        let mut costs = Vec::new();
        if here(SpareWhy::Policy) {
            let mut problem = self.bought.order.problem.clone();
            problem.rules.spares.iter_mut().for_each(|n| *n = 0);
            problem.rules.over_ten = crate::money::Percent::default();
            costs.push(self.with_problem("without spares for the bench, anywhere".to_owned(), label, problem)?);
        }
        if here(SpareWhy::Select) {
            let mut problem = self.bought.order.problem.clone();
            let demands = |d: &mut Demand| d.select_extra = 0;
            let arrangements = problem.positions.get_mut(fit.position).map(|p| &mut p.arrangements);
            arrangements.into_iter().flatten().flat_map(|a| &mut a.demands).for_each(demands);
            costs.push(self.with_problem("without pieces to select a match from".to_owned(), label, problem)?);
        }
        Ok(costs)
    }

    /// What waiting longer than the days promised would save: everything in the catalog allowed.
    fn other_days(&self, label: &str) -> Result<Option<WishCost>, PlanError> {
        let (Some(days), Some(found)) = (self.choices.within_days, &self.finds.whenever) else { return Ok(None) };
        let what = format!("delivery later than the {days} days promised");
        if self.finds.late.sources.is_empty() {
            return Ok(Some(nothing(format!("{what} (nothing that would do comes later)"))));
        }
        self.with_candidates(what, label, (found, self.choices)).map(Some)
    }

    /// What one supplier less would cost, and what a limit on suppliers costs.
    fn other_suppliers(&self, label: &str) -> Result<Vec<WishCost>, PlanError> {
        let used = self.bought.purchase.suppliers.len();
        let problem = &self.bought.order.problem;
        let mut costs = Vec::new();
        if let Some(fewer) = u32::try_from(used).ok().and_then(|u| u.checked_sub(1)).filter(|f| 0 < *f) {
            let mut fewest = problem.clone();
            fewest.rules.max_suppliers = Some(fewer);
            let many = if fewer == 1 { "supplier" } else { "suppliers" };
            costs.push(self.with_problem(format!("from at most {fewer} {many}"), label, fewest)?);
        }
        if let Some(most) = problem.rules.max_suppliers {
            let mut free = problem.clone();
            free.rules.max_suppliers = None;
            costs.push(self.with_problem(format!("without the limit of {most} suppliers"), label, free)?);
        }
        Ok(costs)
    }
}
