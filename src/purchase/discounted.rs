//! What a decided node costs at least, found by taking its rows out: one threshold watched to the grain, and what helps
//! to reach another at a discount.

use super::clock::Clock;
use super::eliminate::{Eliminated, cheapest};
use super::model::Model;
use super::node::Node;
use super::paid::Terms;
use super::plan::Plan;
use super::table::{Table, real};

/// What it showed.
pub(super) enum Discounted {
    /// No plan of the node costs as little as the limit.
    Dear,
    /// The least that a plan costs, grains, a plan, and whether it costs that if it misses no threshold but the one
    /// watched: not where goods stand at a discount.
    Open(f64, Plan, bool),
    /// Too many rows are next to each other.
    TooWide,
}

/// Whether a decided node costs more than `limit` (grains).
pub(super) fn discounted(model: &Model, node: &Node, limit: f64, clock: &Clock) -> Discounted {
    let terms = terms(model, node);
    if terms.discount > 0.0 {
        // To watch a threshold makes larger tables; a discount is often enough.
        match cheapest(model, node, &terms.unwatched(), limit, clock) {
            Eliminated::Dear => return Discounted::Dear,
            Eliminated::TooWide => return Discounted::TooWide,
            Eliminated::Plan(..) => {}
        }
    }
    match cheapest(model, node, &terms, limit, clock) {
        Eliminated::Plan(cost, plan) => Discounted::Open(cost, plan, terms.rate.iter().all(|rate| *rate >= 1.0)),
        Eliminated::Dear => Discounted::Dear,
        Eliminated::TooWide => Discounted::TooWide,
    }
}

/// The terms of the suppliers of a decided node. Watched is the threshold whose discount weighs most.
fn terms(model: &Model, node: &Node) -> Terms {
    let mut terms =
        Terms { fixed: 0.0, rate: Table::filled(1.0, model.suppliers.len()), watched: None, least: 0, discount: 0.0 };
    let mut thresholds = Vec::new();
    for v in &node.suppliers {
        let Some(b) = node.options[*v].first().copied().flatten() else { continue };
        let Some(band) = model.suppliers[*v].bands.get(b) else { continue };
        terms.fixed += real(band.fixed);
        if band.least > 0 {
            let discount = node.discount[*v].get(b).copied().unwrap_or(0.0).clamp(0.0, 1.0);
            thresholds.push((*v, band.least, discount));
        }
    }
    thresholds.sort_by(|a, b| (b.2 * real(b.1)).total_cmp(&(a.2 * real(a.1))).then(a.0.cmp(&b.0)));
    for (n, (v, least, discount)) in thresholds.into_iter().enumerate() {
        if n == 0 {
            (terms.watched, terms.least, terms.discount) = (Some(v), least, discount);
        } else {
            terms.fixed += discount * real(least);
            terms.rate[v] = 1.0 - discount;
        }
    }
    terms
}

#[cfg(test)]
mod tests;
