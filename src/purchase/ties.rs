//! Among plans of the same cost: fewer suppliers, fewer numbers, longer life, the first numbers.
//!
//! One integer programme after another, each holding what the one before found.

use std::cmp::Reverse;

use super::milp::{Aim, Scope};
use super::model::Model;
use super::plan::{Plan, Worth};
use super::table::real;

/// The first plan in the order of ties among those that cost what `plan` costs, which is the least.
pub(super) fn first(model: &Model, scope: &Scope, plan: &Plan) -> Plan {
    let mut hunt = Hunt { model, scope, best: plan.clone() };
    hunt.run();
    hunt.best
}

struct Hunt<'a> {
    model: &'a Model,
    scope: &'a Scope,
    best: Plan,
}

impl Hunt<'_> {
    /// Takes a plan over if it comes before the best.
    fn ask(&mut self, aim: Aim, held: &[usize]) {
        let Some(solved) = self.scope.solve(self.model, aim, held, None) else { return };
        let plan = solved.plan.trimmed(self.model);
        if let (Some(new), Some(old)) = (plan.worth(self.model), self.best.worth(self.model))
            && new < old
        {
            self.best = plan;
        }
    }

    /// Cost, ties and life of the best plan, as the programme counts them.
    fn reached(&self) -> Option<(f64, f64, f64, Worth)> {
        let worth = self.best.worth(self.model)?;
        let number = |n: usize| real(i64::try_from(n).unwrap_or(i64::MAX));
        let few = number(worth.suppliers * (self.model.sources.len() + 1) + worth.numbers);
        let Reverse(life) = worth.life;
        let cost = real(worth.cost) / real(self.model.grain);
        Some((cost, few, real(i64::try_from(life).unwrap_or(i64::MAX)), worth))
    }

    fn run(&mut self) -> Option<()> {
        let (cost, _, _, _) = self.reached()?;
        self.ask(Aim::Few(cost), &[]);
        let (_, few, _, _) = self.reached()?;
        self.ask(Aim::Life(cost, few), &[]);
        let (_, _, life, worth) = self.reached()?;
        let mut by_rank: Vec<usize> = (0..self.model.sources.len()).collect();
        by_rank.retain(|s| !self.scope.segs[*s].is_empty() || self.best.quantity[*s] > 0);
        by_rank.sort_by_key(|s| self.model.sources[*s].rank);
        let mut held: Vec<usize> = Vec::new();
        for s in by_rank {
            if held.len() >= worth.numbers {
                break;
            }
            held.push(s);
            if self.best.quantity[s] == 0 {
                self.ask(Aim::Any(cost, few, life), &held);
            }
            if self.best.quantity[s] == 0 {
                held.pop();
            }
        }
        Some(())
    }
}
