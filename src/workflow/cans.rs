//! The ways of renewing a can, side by side: what goods each takes, and what it does to the order.
//!
//! What a way does to the order is found by buying again with it: with the rest of the order as the plan
//! has it, and with the rest from the few most promising sets of suppliers. So it is the most that the way
//! costs beyond the plan; the last cent would take the whole search for each way.

use std::collections::BTreeMap;

use super::narrowed::narrowed;
use super::order::{self, Order};
use super::record::Bought;
use super::{Choices, PlanError};
use crate::model::plan::{CanOption, CanWay, CanWays, Extra, Piece};
use crate::money::Money;
use crate::purchase::{Arrangement, Demand, Fit, Limits, Problem, Purchase, solve};
use crate::substitute::arrange::{Alternative, Position, Ways};
use crate::substitute::candidates::{Found, SourceKey};

/// Up to so many cans the order is worked out again for; with more of them the goods alone are told, so
/// that an order of many sets does not take many times as long.
const MOST_CANS: usize = 12;

/// Every can with its ways and their costs.
///
/// # Errors
/// Solving again fails.
pub(super) fn side_by_side(
    bought: &Bought<'_>,
    cans: &[Ways],
    found: &Found<'_>,
    choices: &Choices,
) -> Result<Vec<CanWays>, PlanError> {
    let again = cans.len() <= MOST_CANS;
    let told = Told { bought, found, choices, again };
    cans.iter().map(|can| told.can(can)).collect()
}

/// What the options are worked out from.
struct Told<'t> {
    bought: &'t Bought<'t>,
    found: &'t Found<'t>,
    choices: &'t Choices,
    /// Whether the order is worked out again for each way.
    again: bool,
}

impl Told<'_> {
    fn can(&self, can: &Ways) -> Result<CanWays, PlanError> {
        let at = self.bought.positions.iter().position(|p| p.refs == can.refs);
        let taken = self.bought.purchase.fits.iter().find(|f| Some(f.position) == at);
        let taken = taken.and_then(|f| Some((f, self.bought.alternative(f)?.1)));
        let mut options = Vec::new();
        for (way, outcome) in &can.options {
            options.push(match (outcome, at, taken) {
                (Err(why), ..) => not_possible(*way, why.clone()),
                (_, _, Some((fit, chosen))) if chosen.way == Some(*way) => CanOption {
                    taken: true,
                    difference: Some(Money::ZERO),
                    ..option(*way, (self.bought.order, self.bought.purchase), chosen, fit)
                },
                (Ok(alternatives), Some(at), _) if self.again => self.solved(*way, alternatives, at)?,
                (Ok(alternatives), ..) => self.by_goods(*way, alternatives),
            });
        }
        Ok(CanWays { can: can.can.clone(), refs: can.refs.clone(), options })
    }

    /// This way by buying again with it and the rest of the order.
    fn solved(&self, way: CanWay, alternatives: &[Alternative], at: usize) -> Result<CanOption, PlanError> {
        let mut positions: Vec<Position> = self.bought.positions.to_vec();
        if let Some(position) = positions.get_mut(at) {
            position.alternatives = alternatives.to_vec();
        }
        let order = order::build(
            &positions,
            (&self.found.sources, self.found.thinned.is_some()),
            self.bought.shop,
            self.choices,
        )?;
        let mut problems = narrowed(&self.with_the_gaps(order.problem.clone(), at), at);
        problems.push(self.keep_the_rest(&order, at));
        let limits = Limits::cost_alone(self.choices.seconds);
        let before = &self.bought.purchase;
        let mut best: Option<(Purchase, CanOption)> = None;
        for problem in problems {
            let purchase = solve(&problem, &limits).map_err(PlanError::Purchase)?;
            let fit = purchase.fits.iter().find(|f| f.position == at);
            // Arrangements were dropped by the narrowing, so the one chosen is found by its sources.
            let chosen = fit.and_then(|f| Some((f, chosen(&order, &problem, (at, f), alternatives)?)));
            let Some((fit, alternative)) = chosen.filter(|_| purchase.unmet.len() <= before.unmet.len()) else {
                continue;
            };
            if best.as_ref().is_none_or(|(known, _)| purchase.totals.landed < known.totals.landed) {
                let option = option(way, (&order, &purchase), alternative, fit);
                best = Some((purchase, option));
            }
        }
        let Some((purchase, option)) = best else {
            return Ok(not_possible(way, "what it takes is not to be had beside the rest of the order".to_owned()));
        };
        // Where the plan leaves the can unmet there is nothing to compare with.
        let as_much = purchase.unmet.len() == before.unmet.len();
        Ok(CanOption { difference: as_much.then(|| purchase.totals.landed - before.totals.landed), ..option })
    }

    /// The problem without the positions that the plan could not fill.
    fn with_the_gaps(&self, mut problem: Problem, at: usize) -> Problem {
        for (number, position) in problem.positions.iter_mut().enumerate().filter(|(n, _)| *n != at) {
            if !self.bought.purchase.fits.iter().any(|f| f.position == number) {
                position.arrangements.clear();
            }
        }
        problem
    }

    /// Leaves every other position with what the plan bought for it; one that it could not fill stays empty.
    fn keep_the_rest(&self, order: &Order<'_>, at: usize) -> Problem {
        let index: BTreeMap<&SourceKey, usize> = order.sources.iter().enumerate().map(|(i, s)| (&s.key, i)).collect();
        let old = self.bought.order;
        let mut problem = order.problem.clone();
        for (number, position) in problem.positions.iter_mut().enumerate().filter(|(n, _)| *n != at) {
            let Some(fit) = self.bought.purchase.fits.iter().find(|f| f.position == number) else {
                position.arrangements.clear();
                continue;
            };
            // The alternatives of other positions are the same as before, so their numbers hold.
            let chosen = old.problem.positions.get(number).and_then(|p| p.arrangements.get(fit.arrangement)).cloned();
            position.arrangements = chosen.into_iter().collect();
            for demand in position.arrangements.iter_mut().flat_map(|a| a.demands.iter_mut().enumerate()) {
                let (which, demand) = demand;
                let taken = fit.parts.iter().filter(|t| t.demand == which).filter_map(|t| old.sources.get(t.source));
                demand.any_of = taken.filter_map(|s| index.get(&s.key).copied()).collect();
            }
        }
        problem
    }

    /// This way by the least goods that it takes, at the prices of the order where it holds them.
    fn by_goods(&self, way: CanWay, alternatives: &[Alternative]) -> CanOption {
        let goods = alternatives.iter().filter_map(|a| self.goods(a)).min();
        CanOption { goods, ..empty(way) }
    }

    fn goods(&self, alternative: &Alternative) -> Option<Money> {
        let price = |key, count: u32| {
            let index = self.bought.order.sources.iter().position(|s| s.key == key);
            let in_order = |i: usize| self.bought.purchase.buy.iter().find(|l| l.source == i).map(|l| l.each);
            let listed = |i: usize| self.bought.order.problem.sources.get(i)?.tier(count).map(|t| t.each);
            index.and_then(|i| in_order(i).or_else(|| listed(i))).map(|each| each.times(count))
        };
        let least = |d: &crate::substitute::arrange::Demand| {
            d.any_of.iter().filter_map(|c| price(c.source.clone(), d.count)).min()
        };
        alternative.demands.iter().map(least).collect::<Option<Vec<Money>>>().map(|all| all.into_iter().sum())
    }
}

/// The alternative that an arrangement of the narrowed problem stands for: the first with as many demands
/// that offers everything which the arrangement does.
fn chosen<'a>(
    order: &Order<'_>,
    problem: &Problem,
    (at, fit): (usize, &Fit),
    alternatives: &'a [Alternative],
) -> Option<&'a Alternative> {
    let narrow = problem.positions.get(at)?.arrangements.get(fit.arrangement)?;
    let holds = |whole: &Arrangement| {
        let part_of = |(few, all): (&Demand, &Demand)| few.any_of.iter().all(|s| all.any_of.contains(s));
        whole.demands.len() == narrow.demands.len() && narrow.demands.iter().zip(&whole.demands).all(part_of)
    };
    let index = order.problem.positions.get(at)?.arrangements.iter().position(holds)?;
    alternatives.get(*order.alternatives.get(at)?.get(index)?)
}

/// What is fitted by this way, and what its goods cost.
fn option(way: CanWay, (order, purchase): (&Order<'_>, &Purchase), alternative: &Alternative, fit: &Fit) -> CanOption {
    let mut option = empty(way);
    let mut goods = Money::ZERO;
    for taken in &fit.parts {
        let (Some(demand), Some(source)) = (alternative.demands.get(taken.demand), order.sources.get(taken.source))
        else {
            continue;
        };
        let each = purchase.buy.iter().find(|l| l.source == taken.source).map_or(Money::ZERO, |l| l.each);
        goods += each.times(taken.count);
        let piece = Piece {
            number: source.key.number().to_owned(),
            supplier: source.key.supplier().map(str::to_owned),
            count: taken.count,
            article: source.article.clone(),
        };
        if demand.extra_for.is_empty() {
            option.parts.push(piece);
        } else {
            option.extras.push(Extra { piece, why: demand.extra_for.clone() });
        }
    }
    option.goods = Some(goods);
    option
}

fn not_possible(way: CanWay, why: String) -> CanOption {
    CanOption { why_not: Some(why), ..empty(way) }
}

const fn empty(way: CanWay) -> CanOption {
    CanOption { way, parts: Vec::new(), extras: Vec::new(), goods: None, difference: None, taken: false, why_not: None }
}
