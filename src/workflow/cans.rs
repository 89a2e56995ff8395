//! The ways of renewing a can, side by side: what goods each takes, and what the whole order would cost
//! with it.
//!
//! The honest figure is that of the whole order, chosen anew with one way only: carriage, breaks and
//! what else is bought decide with. Orders too large for that show the goods alone.

use super::order::{self, Order};
use super::record::Bought;
use super::{Choices, PlanError};
use crate::model::plan::{CanOption, CanWay, CanWays, Extra, Piece};
use crate::money::Money;
use crate::purchase::{Fit, Limits, Purchase, solve};
use crate::substitute::arrange::{Alternative, Position, Ways};
use crate::substitute::candidates::Found;

/// Up to so many positions times offers the whole order is solved again for each way.
const MOST_WORK: usize = 40_000;
/// Up to so many cans are solved again for, so that an order of many sets does not take many times as long.
const MOST_CANS: usize = 4;

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
    let problem = &bought.order.problem;
    let small = problem.positions.len() * problem.sources.len() <= MOST_WORK && cans.len() <= MOST_CANS;
    let again = small && bought.purchase.totals.proven;
    let told = Told { bought, found, choices, again };
    cans.iter().map(|can| told.can(can)).collect()
}

/// What the options are worked out from.
struct Told<'t> {
    bought: &'t Bought<'t>,
    found: &'t Found<'t>,
    choices: &'t Choices,
    /// Whether the whole order is solved again for each way.
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

    /// This way by solving the whole order again with it.
    fn solved(&self, way: CanWay, alternatives: &[Alternative], at: usize) -> Result<CanOption, PlanError> {
        let mut positions: Vec<Position> = self.bought.positions.to_vec();
        if let Some(position) = positions.get_mut(at) {
            position.alternatives = alternatives.to_vec();
        }
        let order = order::build(&positions, self.found, self.bought.shop, self.choices)?;
        let limits = Limits { seconds: self.choices.seconds, ..Limits::default() };
        let purchase = solve(&order.problem, &limits).map_err(PlanError::Purchase)?;
        let fit = purchase.fits.iter().find(|f| f.position == at);
        let chosen = fit.and_then(|f| {
            let number = *order.alternatives.get(at)?.get(f.arrangement)?;
            Some((f, alternatives.get(number)?))
        });
        let before = &self.bought.purchase;
        let Some((fit, alternative)) = chosen.filter(|_| purchase.unmet.len() <= before.unmet.len()) else {
            return Ok(not_possible(way, "what it takes cannot be had with the rest of the order".to_owned()));
        };
        // A place that the plan could not fill makes both orders differ by more than this can.
        let as_much = purchase.unmet.len() == before.unmet.len();
        Ok(CanOption {
            difference: as_much.then(|| purchase.totals.landed - before.totals.landed),
            ..option(way, (&order, &purchase), alternative, fit)
        })
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

/// What is fitted by this way, and what its goods cost.
fn option(way: CanWay, (order, purchase): (&Order<'_>, &Purchase), alternative: &Alternative, fit: &Fit) -> CanOption {
    let mut option = empty(way);
    let mut goods = Money::ZERO;
    for taken in &fit.parts {
        let (Some(demand), Some(source)) = (alternative.demands.get(taken.demand), order.sources.get(taken.source)) else {
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
    CanOption {
        way,
        parts: Vec::new(),
        extras: Vec::new(),
        goods: None,
        difference: None,
        taken: false,
        why_not: None,
    }
}
