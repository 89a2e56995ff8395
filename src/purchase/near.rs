//! A first look with a strong solver: one integer programme over what is near the relaxation, for a plan that
//! greed does not find. It proves nothing.

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

/// The part of the seconds left that it may take, where they are counted.
const TIME: f64 = 0.25;

impl Branch<'_> {
    /// Looks for a plan in which the suppliers are charged as in the best one.
    pub(super) fn look_near(&mut self, root: &Node) {
        let Some((_, plan)) = &self.best else { return };
        let (Some((goods, _)), open) = (plan.goods(self.model), plan.open(self.model)) else { return };
        let mut node = root.clone();
        for (v, sup) in self.model.suppliers.iter().enumerate() {
            let charged = sup.bands.iter().enumerate().filter(|(_, b)| open[v] && b.least <= goods[v]);
            node.charge(self.model, v, charged.min_by_key(|(_, b)| b.fixed).map(|(n, _)| n));
        }
        raise(self.model, &mut node, Until { target: self.better(), rounds: ROUNDS, near: 1e-3 }, self.clock);
        let near = node.bound + ROOM * (self.better() - node.bound);
        if !reduce(self.model, &mut node, near) {
            return;
        }
        self.programmes += 1;
        let seconds = self.clock.seconds().map(|s| s * TIME);
        let solved = parts::scope(self.model, &node).solve(self.model, Aim::Cost, &[], seconds);
        if let Some(plan) = solved.map(|s| s.plan) {
            self.consider(&plan);
        }
    }
}
