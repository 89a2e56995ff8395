//! What else could be done at the place whose story is told: another choice, a dearer one, a longer
//! life, no spares.
//!
//! The plan itself leaves aside what another offer of the same supplier beats, for that is in no better
//! order. Here the chosen part is taken away or made dearer, so everything that serves is weighed.

use std::collections::BTreeMap;

use super::order::{self, Order};
use super::why::Told;
use super::{PlanError, record};
use crate::model::plan::WishCost;
use crate::money::{Money, Percent};
use crate::purchase::{Fit, Problem, SpareWhy, Taken};
use crate::substitute::arrange::{Choice, Position, positions};
use crate::substitute::candidates::{Source, SourceKey};
use crate::units::Hour;

/// One unit of the shop's currency.
const ONE: Money = Money::from_ten_thousandths(10_000);

/// The order with everything that serves one place in it.
struct Around<'a> {
    told: &'a Told<'a>,
    label: &'a str,
    /// How the plan meets the place.
    fit: &'a Fit,
    positions: Vec<Position>,
    order: Order<'a>,
    /// The sources that the plan takes for the place.
    chosen: Vec<&'a SourceKey>,
}

/// What each change at this place would cost; nothing where the plan fits nothing there.
///
/// # Errors
/// A supplier without exchange rate; the purchase could not be worked out.
pub(super) fn costs(told: &Told<'_>, label: &str, position: usize) -> Result<Vec<WishCost>, PlanError> {
    let Some(fit) = told.bought.purchase.fits.iter().find(|f| f.position == position) else {
        return Ok(Vec::new());
    };
    let mut all = told.bought.positions.to_vec();
    let whole = positions(&told.finds.place).into_iter().find(|p| p.refs.iter().any(|r| r == label));
    if let (Some(here), Some(whole)) = (all.get_mut(position), whole) {
        *here = whole;
    }
    let (finds, offered) = (told.finds, offered(told));
    let order = order::build(
        &all,
        (&offered, finds.in_time.thinned.or(finds.place.thinned).is_some()),
        told.bought.shop,
        told.choices,
    )?;
    let chosen = fit.parts.iter().filter_map(|t| told.bought.order.sources.get(t.source)).map(|s| &s.key).collect();
    let around = Around { told, label, fit, positions: all, order, chosen };
    let mut costs = vec![around.anything_else()?];
    costs.extend(without_the_wish(told, label, position)?);
    costs.extend(around.one_more_apiece()?);
    costs.extend(around.longer_life()?);
    costs.extend(around.without_spares()?);
    Ok(costs)
}

/// What the plan chose from, and what serves the place besides.
fn offered(told: &Told<'_>) -> Vec<Source> {
    let all = told.finds.in_time.sources.iter().chain(&told.finds.place.sources);
    let by_key: BTreeMap<&SourceKey, &Source> = all.map(|s| (&s.key, s)).collect();
    by_key.into_values().cloned().collect()
}

/// What buying nothing here would save, where the part is replaced only because the technician wishes it.
fn without_the_wish(told: &Told<'_>, label: &str, position: usize) -> Result<Option<WishCost>, PlanError> {
    let [ask] = told.finds.place.asks else { return Ok(None) };
    let Some(wish) = ask.context.judgement.findings.first().filter(|f| f.rule == "wish") else { return Ok(None) };
    let others = told.bought.positions.iter().enumerate().filter(|(i, _)| *i != position);
    let others: Vec<Position> = others.map(|(_, p)| p.clone()).collect();
    let order = order::build(
        &others,
        (&told.finds.in_time.sources, told.finds.in_time.thinned.is_some()),
        told.bought.shop,
        told.choices,
    )?;
    told.with_order(format!("nothing bought here ({})", wish.says), label, (&others, &order)).map(Some)
}

impl Around<'_> {
    fn again(&self, what: String, problem: Problem) -> Result<WishCost, PlanError> {
        let changed = Order { problem, ..self.order.clone() };
        self.told.with_order(what, self.label, (&self.positions, &changed))
    }

    /// What it would cost not to use the chosen pieces here.
    fn anything_else(&self) -> Result<WishCost, PlanError> {
        let problem = self.only_with(|_, _, source| !self.is_chosen(source));
        self.again("anything else at this place".to_owned(), problem)
    }

    /// What one unit of the currency more for each piece chosen here would do.
    fn one_more_apiece(&self) -> Result<Option<WishCost>, PlanError> {
        let mut problem = self.order.problem.clone();
        let mut names: Vec<String> = Vec::new();
        for (index, source) in problem.sources.iter_mut().enumerate() {
            if self.is_chosen(index) && source.supplier.is_some() {
                source.tiers.iter_mut().for_each(|t| t.each += ONE);
                names.extend(self.order.sources.get(index).map(|s| s.key.to_string()));
            }
        }
        if names.is_empty() {
            return Ok(None);
        }
        let what = format!("{} at 1.00 {} more apiece", names.join(" and "), self.told.bought.shop.currency);
        self.again(what, problem).map(Some)
    }

    /// What something that lasts longer would cost, where the life to be expected is known and short of
    /// the most that is ever told.
    fn longer_life(&self) -> Result<Option<WishCost>, PlanError> {
        let known = self.told.fitted(self.label).and_then(|f| f.years).filter(|years| *years < record::MOST_YEARS);
        let (Some(years), Some(hours)) = (known, self.hours()) else { return Ok(None) };
        let problem = self.only_with(|arrangement, demand, source| {
            let choice = self.choice(arrangement, demand, source);
            choice.is_none_or(|(extra, c)| extra || c.hours.is_some_and(|h| hours < h))
        });
        self.again(format!("something that lasts longer than {years:.1} years"), problem).map(Some)
    }

    /// What the spares bought with these pieces cost, and the pieces to select a match from.
    fn without_spares(&self) -> Result<Vec<WishCost>, PlanError> {
        let mut costs = Vec::new();
        if self.has_spares(SpareWhy::Policy) {
            let mut problem = self.order.problem.clone();
            problem.rules.spares.iter_mut().for_each(|n| *n = 0);
            problem.rules.over_ten = Percent::default();
            costs.push(self.again("without spares for the bench, in the whole order".to_owned(), problem)?);
        }
        if self.has_spares(SpareWhy::Select) {
            let mut problem = self.order.problem.clone();
            let arrangements = problem.positions.get_mut(self.fit.position).map(|p| &mut p.arrangements);
            let demands = arrangements.into_iter().flatten().flat_map(|a| &mut a.demands);
            demands.for_each(|d| d.select_extra = 0);
            costs.push(self.again("without pieces to select a match from".to_owned(), problem)?);
        }
        Ok(costs)
    }

    fn is_chosen(&self, source: usize) -> bool {
        self.order.sources.get(source).is_some_and(|s| self.chosen.contains(&&s.key))
    }

    /// Whether spares of this reason are bought with the pieces chosen.
    fn has_spares(&self, why: SpareWhy) -> bool {
        let lines =
            self.told.bought.purchase.buy.iter().filter(|l| self.fit.parts.iter().any(|t| t.source == l.source));
        lines.flat_map(|l| &l.spare).any(|(reason, _)| *reason == why)
    }

    /// The shortest life among the pieces chosen.
    fn hours(&self) -> Option<Hour> {
        let bought = self.told.bought;
        let of = |taken: &Taken| {
            let number = *bought.order.alternatives.get(self.fit.position)?.get(self.fit.arrangement)?;
            let demand =
                bought.positions.get(self.fit.position)?.alternatives.get(number)?.demands.get(taken.demand)?;
            let key = &bought.order.sources.get(taken.source)?.key;
            demand.any_of.iter().find(|c| c.source == *key && demand.extra_for.is_empty())?.hours
        };
        self.fit.parts.iter().filter_map(of).reduce(Hour::min)
    }

    /// The choice that a source stands for in a demand, and whether that demand is for an extra.
    fn choice(&self, arrangement: usize, demand: usize, source: usize) -> Option<(bool, &Choice)> {
        let number = *self.order.alternatives.get(self.fit.position)?.get(arrangement)?;
        let demand = self.positions.get(self.fit.position)?.alternatives.get(number)?.demands.get(demand)?;
        let key = &self.order.sources.get(source)?.key;
        Some((!demand.extra_for.is_empty(), demand.any_of.iter().find(|c| c.source == *key)?))
    }

    /// The problem with only those sources at the place for which the test holds: of arrangement, demand
    /// and source.
    fn only_with(&self, keep: impl Fn(usize, usize, usize) -> bool) -> Problem {
        let mut problem = self.order.problem.clone();
        let here = problem.positions.get_mut(self.fit.position).map(|p| &mut p.arrangements);
        for (a, arrangement) in here.into_iter().flatten().enumerate() {
            for (d, demand) in arrangement.demands.iter_mut().enumerate() {
                // An arrangement with nothing left for a demand cannot be had; it keeps its number.
                demand.any_of.retain(|s| keep(a, d, *s));
            }
        }
        problem
    }
}
