//! Plans of our own that the search makes on its way.

use super::branch::Branch;
use super::model::Band;
use super::node::Node;
use super::plan::Plan;
use super::primal;
use super::round;
use super::shake::shake;
use super::state::State;
use super::table::Table;

/// A plan made from a leaf is improved where it costs no more than a fiftieth more than the best.
const NEAR: i64 = 50;

/// Passes of improving a plan made from a leaf.
const LEAF_PASSES: u32 = 4;

impl Branch<'_> {
    /// A plan of our own from what a node still allows, improved with everything.
    pub(super) fn polish(&mut self, node: &Node) {
        let mut bands: Table<Vec<Band>> = Table::filled(Vec::new(), self.model.suppliers.len());
        for v in &node.suppliers {
            if node.options[*v].iter().any(Option::is_some) {
                bands[*v].clone_from(&self.model.suppliers[*v].bands);
            }
        }
        let mut state = State::new(self.model, bands);
        state.bar(node.segs.iter().map(|g| g.is_empty()).collect());
        if !primal::fill(&mut state) {
            return;
        }
        primal::improve(&mut state, 4);
        shake(&mut state, self.clock, self.nodes);
        primal::consider(self.model, &state, &mut self.best);
        state.allow_all();
        primal::improve(&mut state, 4);
        shake(&mut state, self.clock, self.nodes);
        primal::consider(self.model, &state, &mut self.best);
    }

    /// Makes a plan real, improved a little, and keeps it if it is the best so far.
    pub(super) fn consider(&mut self, plan: &Plan) {
        let mut state = State::new(self.model, self.model.suppliers.iter().map(|v| v.bands.clone()).collect());
        state.load(plan);
        primal::improve(&mut state, 2);
        primal::consider(self.model, &state, &mut self.best);
    }

    /// Looks for a better plan around the best.
    pub(super) fn shake_best(&mut self) {
        let Some((_, plan)) = &self.best else { return };
        let mut state = State::new(self.model, self.model.suppliers.iter().map(|v| v.bands.clone()).collect());
        state.load(plan);
        shake(&mut state, self.clock, self.nodes);
        primal::improve(&mut state, LEAF_PASSES);
        primal::consider(self.model, &state, &mut self.best);
    }

    /// A plan of our own from what the relaxation of a leaf buys.
    pub(super) fn round(&mut self, node: &Node) {
        let Some((_, plan)) = round::plan(self.model, node, LEAF_PASSES) else { return };
        let mut state = State::new(self.model, self.model.suppliers.iter().map(|v| v.bands.clone()).collect());
        state.load(&plan);
        if self.best.as_ref().is_none_or(|b| state.cost() < b.0 + b.0 / NEAR) {
            primal::improve(&mut state, LEAF_PASSES);
            if self.best.as_ref().is_none_or(|b| state.cost() < b.0) {
                shake(&mut state, self.clock, self.nodes);
            }
            primal::consider(self.model, &state, &mut self.best);
        }
    }
}
