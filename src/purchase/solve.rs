//! From the problem to the checked purchase.

use super::fault::PurchaseError;
use super::meet;
use super::milp::{Aim, Scope};
use super::model::Model;
use super::outcome::{Limits, Method, Purchase, Statistics};
use super::plan::Plan;
use super::primal;
use super::problem::Problem;
use super::report::{self, Proof};
use super::ties;
use super::verify::verify;

/// Largest number of flows and sources that one integer programme is asked for.
const SMALL: usize = 60;

/// Buys what is needed at the least landed cost.
///
/// Positions that cannot be met are named with the reason, and the rest is bought. The plan has
/// passed [`verify`] when it comes back.
///
/// # Errors
/// [`PurchaseError::Invalid`] for a problem that makes no sense; [`PurchaseError::Disagreement`]
/// where the plan does not stand the check, which is a bug of this program.
pub fn solve(problem: &Problem, limits: &Limits) -> Result<Purchase, PurchaseError> {
    problem.check()?;
    let mut model = Model::new(problem);
    let met = meet::settle(problem, &mut model);
    let mut search =
        Search { model: &model, limits: *limits, best: met.plan, bound: 0, statistics: Statistics::default() };
    search.run();
    let plan = search.best.unwrap_or_else(|| Plan::empty(&model));
    let proof = Proof { bound: search.bound, stopped: false, statistics: search.statistics };
    let purchase = report::purchase(problem, &model, &plan, met.unmet, proof);
    verify(problem, &purchase)?;
    Ok(purchase)
}

struct Search<'a> {
    model: &'a Model,
    limits: Limits,
    best: Option<Plan>,
    bound: i64,
    statistics: Statistics,
}

impl Search<'_> {
    fn run(&mut self) {
        self.statistics.classes = self.model.classes.len();
        self.statistics.rows = self.model.rows.len();
        self.statistics.sources = self.model.sources.len();
        if let Some(plan) = primal::plan(self.model) {
            self.keep(plan);
        }
        self.whole();
    }

    /// Keeps the better plan.
    fn keep(&mut self, plan: Plan) {
        let Some(worth) = plan.worth(self.model) else { return };
        if self.best.as_ref().and_then(|b| b.worth(self.model)).is_none_or(|b| worth < b) {
            self.best = Some(plan);
        }
    }

    /// One integer programme for everything.
    fn whole(&mut self) {
        let scope = Scope::all(self.model);
        let Some(solved) = scope.solve(self.model, Aim::Cost, &[], self.limits.seconds) else { return };
        self.statistics.programmes += 1;
        let plan = solved.plan.trimmed(self.model);
        let cost = plan.worth(self.model).map(|w| w.cost);
        self.keep(plan);
        let best = self.best.as_ref().and_then(|b| b.cost(self.model));
        // A solver that overlooks a plan that is held already is not believed about the bound.
        if solved.optimal && cost.is_some() && cost == best {
            self.bound = cost.unwrap_or(0);
            if self.model.sources.len() <= SMALL && self.limits.method != Method::Branch {
                for plan in ties::better(self.model, &scope, &solved) {
                    self.keep(plan);
                }
            }
        }
    }
}
