//! What each job would cost if it were ordered for itself, and what ordering together saves.

use std::collections::BTreeSet;

use super::PlanError;
use crate::model::plan::{Alone, Together};
use crate::money::Money;
use crate::purchase::{self, Limits, Problem, Purchase, Source, SpareWhy, Tier, solve};
use crate::substitute::arrange::Position;

/// Orders each job for itself, one after another in the order of the names, and holds the sum against
/// the common order; `None` with one job. `seconds` is the time for all of them.
///
/// Pieces can be used once only: what one order takes from the shelf or from a stated stock is gone for
/// the next one, and what it buys beyond needs and spares, for a price break, a pack or a minimum, lies
/// on the shelf for it. Without that the saving would be claimed too high.
///
/// # Errors
/// The purchase could not be worked out.
pub(super) fn of_jobs(
    names: &[&str],
    positions: &[Position],
    (common, purchase): (&Problem, &Purchase),
    seconds: Option<f64>,
) -> Result<Option<Together>, PlanError> {
    let Some(count) = u32::try_from(names.len()).ok().filter(|n| 1 < *n) else { return Ok(None) };
    let limits = Limits::cost_alone(seconds.map(|s| s / f64::from(count)));
    let missed = |position: &usize| purchase.unmet.iter().any(|u| u.position == *position);
    let mut left = common.clone();
    let mut jobs = Vec::new();
    for name in names {
        let own = of_job(name, positions);
        let problem = only(&own, &left);
        let bought = solve(&problem, &limits).map_err(PlanError::Purchase)?;
        let lost: BTreeSet<usize> = bought.unmet.iter().filter_map(|u| own.get(u.position)).copied().collect();
        let refs = |of: &dyn Fn(&usize) -> bool| -> Vec<String> {
            own.iter().filter(|p| of(p)).filter_map(|p| positions.get(*p)).flat_map(|p| p.refs.clone()).collect()
        };
        jobs.push(Alone {
            landed: bought.totals.landed,
            bound: bought.totals.bound,
            lacks: refs(&|p| lost.contains(p) && !missed(p)),
            gains: refs(&|p| !lost.contains(p) && missed(p)),
        });
        carry_over(&mut left, &bought);
    }
    let alone: Money = jobs.iter().map(|j| j.landed).sum();
    let bound: Money = jobs.iter().map(|j| j.bound).sum();
    let together = purchase.totals.landed;
    Ok(Some(Together { alone, bound, saves: alone - together, saves_least: bound - together, jobs }))
}

/// The positions of one job.
fn of_job(name: &str, positions: &[Position]) -> Vec<usize> {
    let prefix = format!("{name}/");
    let here = |p: &Position| p.refs.first().is_some_and(|r| r.starts_with(&prefix));
    positions.iter().enumerate().filter(|(_, p)| here(p)).map(|(i, _)| i).collect()
}

/// The problem of these positions alone; what serves none of them cannot be bought to fill the order up.
fn only(own: &[usize], left: &Problem) -> Problem {
    let positions: Vec<_> = own.iter().filter_map(|p| left.positions.get(*p)).cloned().collect();
    let demands = positions.iter().flat_map(|p| &p.arrangements).flat_map(|a| &a.demands);
    let serving: BTreeSet<usize> = demands.flat_map(|d| d.any_of.iter().copied()).collect();
    let mut problem = Problem { positions, ..left.clone() };
    for (index, source) in problem.sources.iter_mut().enumerate() {
        if !serving.contains(&index) {
            source.stock = Some(0);
        }
    }
    problem
}

/// Takes what was bought out of shelf and stock, and lays what is left over of it on the shelf.
fn carry_over(left: &mut Problem, bought: &Purchase) {
    for line in &bought.buy {
        let Some(source) = left.sources.get_mut(line.source) else { continue };
        source.stock = source.stock.map(|stock| stock.saturating_sub(line.quantity));
        let over = line.spare.iter().filter(|(why, _)| !matches!(why, SpareWhy::Policy | SpareWhy::Select));
        let over: u32 = over.map(|(_, pieces)| pieces).sum();
        if 0 < over && source.supplier.is_some() {
            let lying = lying(source, over);
            add(left, line.source, lying);
        }
    }
}

/// Pieces of an offer that are there already and cost nothing any more.
fn lying(source: &Source, pieces: u32) -> Source {
    Source {
        number: source.number.clone(),
        supplier: None,
        tiers: vec![Tier { from: 1, each: Money::ZERO }],
        pack: 1,
        minimum: 0,
        stock: Some(pieces),
        spares: None,
        life_hours: source.life_hours,
    }
}

/// Adds a source that does wherever another one does.
fn add(problem: &mut Problem, like: usize, source: Source) {
    let index = problem.sources.len();
    problem.sources.push(source);
    let arrangements = problem.positions.iter_mut().flat_map(|p| &mut p.arrangements);
    for demand in arrangements.flat_map(|a: &mut purchase::Arrangement| &mut a.demands) {
        if demand.any_of.contains(&like) {
            demand.any_of.push(index);
        }
    }
}
