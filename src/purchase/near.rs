//! A look with a strong solver at a set of suppliers that the search could not settle: one integer programme over what
//! is near the bound, for a plan that greed does not find. It proves nothing.

use super::branch::Branch;
use super::bundle::{Until, raise};
use super::milp::Aim;
use super::node::Node;
use super::parts;
use super::reduce::reduce;

/// Rounds of price moving before it.
const ROUNDS: u32 = 80;

/// What is looked at: what raises the bound by less than this part of the way to the best plan.
const ROOM: f64 = 0.35;

/// Most flows of such a programme.
const FLOWS: usize = 4_000;

/// The part of the seconds left that it may take, where they are counted.
const TIME: f64 = 0.6;

impl Branch<'_> {
    /// Looks for a plan in a decided node that was left unsettled, once for each way of deciding.
    pub(super) fn look_near(&mut self, node: &Node) {
        if self.clock.over() || self.looked.contains(&node.options) {
            return;
        }
        self.looked.push(node.options.clone());
        let mut node = node.clone();
        // Mostly because the turn was over; this looks in its own time, and leaves the turn as it was.
        let left = self.clock.turn_left();
        self.clock.begin_turn(u64::MAX);
        raise(self.model, &mut node, Until { target: self.better(), rounds: ROUNDS, near: 1e-3 }, self.clock);
        self.near_programme(node);
        self.clock.begin_turn(left);
    }

    fn near_programme(&mut self, mut node: Node) {
        let near = node.bound + ROOM * (self.better() - node.bound);
        if !reduce(self.model, &mut node, near) {
            return;
        }
        let scope = parts::scope(self.model, &node);
        if scope.allowed.iter().map(Vec::len).sum::<usize>() > FLOWS {
            return;
        }
        self.programmes += 1;
        let seconds = self.clock.seconds().map(|s| s * TIME);
        let solved = scope.solve(self.model, Aim::Cost, &[], seconds);
        if let Some(plan) = solved.map(|s| s.plan) {
            self.consider(&plan);
        }
    }
}
