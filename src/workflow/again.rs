//! Solving again with one thing changed: what the change would do to the cost of the order, and to
//! what is fitted at the place that is asked about.

use std::collections::BTreeSet;

use super::order::{self, Order};
use super::why::Told;
use super::{Choices, PlanError, record};
use crate::model::plan::{Fitting, WishCost};
use crate::money::Money;
use crate::purchase::{Limits, Problem, Purchase, solve};
use crate::substitute::arrange::{Position, positions};
use crate::substitute::candidates::Found;

impl Told<'_> {
    /// What the order costs with its problem changed.
    ///
    /// # Errors
    /// The purchase could not be worked out.
    pub(super) fn with_problem(&self, what: String, label: &str, problem: Problem) -> Result<WishCost, PlanError> {
        let changed = Order { problem, ..self.bought.order.clone() };
        self.with_order(what, label, (self.bought.positions, &changed))
    }

    /// What the order costs with other candidates.
    ///
    /// # Errors
    /// A supplier without exchange rate; the purchase could not be worked out.
    pub(super) fn with_candidates(
        &self,
        what: String,
        label: &str,
        (found, choices): (&Found<'_>, &Choices),
    ) -> Result<WishCost, PlanError> {
        // What waits under a ceiling is not bought here either.
        let bought_here =
            |p: &Position| self.bought.positions.iter().any(|b| b.refs.iter().any(|r| p.refs.contains(r)));
        let positions: Vec<Position> = positions(found).into_iter().filter(bought_here).collect();
        let order = order::build(&positions, (&found.sources, found.thinned.is_some()), self.bought.shop, choices)?;
        self.with_order(what, label, (&positions, &order))
    }

    /// What another order than the plan's costs.
    ///
    /// # Errors
    /// The purchase could not be worked out.
    pub(super) fn with_order(
        &self,
        what: String,
        label: &str,
        (positions, order): (&[Position], &Order<'_>),
    ) -> Result<WishCost, PlanError> {
        let limits = Limits { seconds: self.choices.seconds, ..Limits::default() };
        let again = solve(&order.problem, &limits).map_err(PlanError::Purchase)?;
        let base = self.bought.purchase;
        let (missed, missed_again) = (missed(self.bought.positions, base), missed(positions, &again));
        let proven = base.totals.proven && again.totals.proven;
        if !missed_again.is_subset(&missed) {
            return Ok(WishCost { what, difference: None, proven, instead: None, meets: Vec::new() });
        }
        let bought = record::Bought { positions, order, purchase: &again, ..*self.bought };
        let (now, then) = (self.fitted(label), fitted(&bought, label));
        Ok(WishCost {
            what,
            difference: Some(again.totals.landed - base.totals.landed),
            proven,
            instead: then.filter(|then| now.as_ref().is_none_or(|now| !same(now, then))),
            meets: missed.difference(&missed_again).map(|r| (*r).to_owned()).collect(),
        })
    }

    /// What the plan fits at the place.
    pub(super) fn fitted(&self, label: &str) -> Option<Fitting> {
        fitted(self.bought, label)
    }
}

/// What is fitted at a place.
fn fitted(bought: &record::Bought<'_>, label: &str) -> Option<Fitting> {
    record::fits(bought).into_iter().find(|f| f.refs.iter().any(|r| r == label))
}

/// Whether the same pieces are fitted.
fn same(a: &Fitting, b: &Fitting) -> bool {
    a.arrangement == b.arrangement && a.parts == b.parts && a.extras == b.extras
}

/// References that are not met.
fn missed<'p>(positions: &'p [Position], purchase: &Purchase) -> BTreeSet<&'p str> {
    let position = |u: &crate::purchase::Unmet| positions.get(u.position);
    purchase.unmet.iter().filter_map(position).flat_map(|p| &p.refs).map(String::as_str).collect()
}

/// A change that needs no solving, since nothing follows from it.
pub(super) fn nothing(what: String) -> WishCost {
    WishCost { what, difference: Some(Money::ZERO), proven: true, instead: None, meets: Vec::new() }
}
