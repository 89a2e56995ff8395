//! From the problem to the checked purchase.

use super::branch::Branch;
use super::clock::Clock;
use super::fault::PurchaseError;
use super::leaves;
use super::meet;
use super::milp::{Aim, Scope};
use super::model::Model;
use super::outcome::{Limits, Method, Purchase, Statistics};
use super::parts::LARGEST;
use super::plan::Plan;
use super::primal;
use super::problem::Problem;
use super::report::{self, Proof};
use super::table;
use super::ties;
use super::verify::verify;

/// Largest number of flows and sources that one integer programme is asked for.
const SMALL: usize = 16;

/// Source evaluations after which the search stops by itself, where no seconds are asked for.
const WORK: u64 = 60_000_000;

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
    let clock = Clock::new(if limits.seconds.is_some() { u64::MAX } else { WORK }, limits.seconds);
    let met = meet::settle(problem, &mut model, &clock);
    let mut search = Search {
        model: &model,
        limits: *limits,
        clock: &clock,
        best: met.plan,
        bound: 0,
        stopped: false,
        statistics: Statistics::default(),
    };
    search.run();
    let plan = search.best.unwrap_or_else(|| Plan::empty(&model));
    let proof = Proof { bound: search.bound, stopped: search.stopped, statistics: search.statistics };
    let purchase = report::purchase(problem, &model, &plan, met.unmet, proof);
    verify(problem, &purchase)?;
    Ok(purchase)
}

struct Search<'a> {
    model: &'a Model,
    limits: Limits,
    clock: &'a Clock,
    best: Option<Plan>,
    bound: i64,
    stopped: bool,
    statistics: Statistics,
}

impl Search<'_> {
    fn run(&mut self) {
        self.statistics.classes = self.model.classes.len();
        self.statistics.rows = self.model.rows.len();
        self.statistics.sources = self.model.sources.len();
        let small = self.model.sources.len() <= SMALL && !self.model.rules.more_goods;
        match self.limits.method {
            Method::Whole => self.whole(),
            Method::BySize if small => self.whole(),
            Method::BySize | Method::Sets => {
                if !self.leaves() {
                    self.branch();
                }
            }
            Method::Branch => self.branch(),
        }
    }

    /// Sets of suppliers, where the order is small in that sense; whether that settled it.
    fn leaves(&mut self) -> bool {
        let Some(settled) = leaves::settle(self.model, self.best.as_ref(), self.limits.ties, self.clock) else {
            return false;
        };
        self.statistics.nodes += settled.nodes;
        self.statistics.programmes += settled.programmes;
        self.statistics.sources_kept = self.model.sources.len();
        self.bound = settled.bound;
        if let Some(plan) = settled.best {
            self.keep(plan);
        }
        let cost = self.best.as_ref().and_then(|b| b.cost(self.model));
        cost.is_some_and(|cost| cost <= self.bound)
    }

    /// Bounds and branches.
    fn branch(&mut self) {
        if let Some(plan) = primal::plan(self.model, self.clock) {
            self.keep(plan);
        }
        let largest = if self.limits.method == Method::Branch { LARGEST.0 } else { LARGEST.1 };
        let start = Branch::new(self.model, self.clock, self.best.clone());
        let mut branch = Branch { ties: self.limits.ties, largest, ..start };
        self.bound = branch.run().max(self.bound);
        self.stopped = self.clock.stopped();
        self.statistics.nodes += branch.nodes;
        self.statistics.programmes += branch.programmes;
        self.statistics.sources_kept = branch.kept;
        if let Some((_, plan)) = branch.best {
            self.keep(plan);
        }
    }

    /// Keeps the better plan.
    fn keep(&mut self, plan: Plan) {
        let Some(worth) = plan.worth(self.model) else { return };
        if self.best.as_ref().and_then(|b| b.worth(self.model)).is_none_or(|b| worth < b) {
            self.best = Some(plan);
        }
    }

    /// What a plan costs at least if every threshold may be reached by paying for nothing; 0 where that is not found.
    fn relaxed(&mut self) -> i64 {
        let scope = Scope { waste: true, ..Scope::all(self.model) };
        self.statistics.programmes += 1;
        let solved = scope.solve(self.model, Aim::Cost, &[], self.clock.seconds()).filter(|s| s.optimal);
        solved.map_or(0, |s| table::grains(s.value.round().clamp(0.0, 1e15)).saturating_mul(self.model.grain))
    }

    /// One integer programme for everything.
    fn whole(&mut self) {
        let scope = Scope::all(self.model);
        let Some(solved) = scope.solve(self.model, Aim::Cost, &[], self.clock.seconds()) else { return };
        self.statistics.programmes += 1;
        let plan = solved.plan.trimmed(self.model);
        let cost = plan.worth(self.model).map(|w| w.cost);
        self.keep(plan);
        let best = self.best.as_ref().and_then(|b| b.cost(self.model));
        // A solver that overlooks a plan that is held already is not believed about the bound.
        if solved.optimal && cost.is_some() && cost == best {
            self.bound = if self.model.rules.more_goods { self.relaxed() } else { cost.unwrap_or(0) };
            if let Some(best) = &self.best
                && self.model.sources.len() <= SMALL
                && self.limits.ties
            {
                self.keep(ties::first(self.model, &scope, best));
            }
        }
    }
}
