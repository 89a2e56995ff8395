//! Among plans of the same cost, suppliers and numbers: the longest life, then the first numbers.

use super::milp::{Aim, Scope, Solved};
use super::model::Model;
use super::plan::Plan;
use super::table::real;

/// Plans that are at least as good as `solved` in the order of ties, the best last.
pub(super) fn better(model: &Model, scope: &Scope, solved: &Solved) -> Vec<Plan> {
    let mut plans = Vec::new();
    let mut current = solved.plan.trimmed(model);
    if let Some(longer) = scope.solve(model, Aim::Life(solved.value), &[], None) {
        current = longer.plan.trimmed(model);
        plans.push(current.clone());
    }
    let Some(worth) = current.worth(model) else { return plans };
    let life = real(i64::try_from(worth.life.0).unwrap_or(i64::MAX)) - 0.5;
    let mut by_rank: Vec<usize> = (0..model.sources.len()).collect();
    by_rank.sort_by_key(|s| model.sources[*s].rank);
    let mut held: Vec<usize> = Vec::new();
    for s in by_rank {
        if held.len() >= worth.numbers {
            break;
        }
        let mut trial = held.clone();
        trial.push(s);
        if current.quantity[s] == 0 {
            let Some(other) = scope.solve(model, Aim::Prefer(solved.value, life), &trial, None) else { continue };
            let plan = other.plan.trimmed(model);
            if plan
                .worth(model)
                .is_none_or(|w| (w.cost, w.suppliers, w.numbers) != (worth.cost, worth.suppliers, worth.numbers))
            {
                continue;
            }
            current = plan;
            plans.push(current.clone());
        }
        held = trial;
    }
    plans
}
