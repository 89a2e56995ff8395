//! The search for orders of any size: bound, drop, branch over suppliers, settle what is left in parts.

use super::ascend::{raise, reduce};
use super::clock::Clock;
use super::model::{Band, Model};
use super::node::Node;
use super::parts::{self, Part};
use super::plan::Plan;
use super::primal;
use super::state::State;
use super::table::{Table, real};

/// Rounds of price moving at the root, and deeper down.
const ROUNDS: (u32, u32) = (400, 80);

/// The search and the best plan it holds.
pub(super) struct Branch<'a> {
    pub(super) model: &'a Model,
    pub(super) clock: &'a Clock,
    pub(super) best: Option<(i64, Plan)>,
    /// The least bound of what was left unsettled, grains.
    pub(super) floor: f64,
    pub(super) nodes: u64,
    pub(super) programmes: u64,
    pub(super) kept: usize,
}

impl<'a> Branch<'a> {
    pub(super) fn new(model: &'a Model, clock: &'a Clock, start: Option<Plan>) -> Self {
        let best = start.and_then(|p| p.cost(model).map(|c| (c, p)));
        Self { model, clock, best, floor: f64::INFINITY, nodes: 0, programmes: 0, kept: 0 }
    }

    /// What a plan must cost at most to be of interest, grains: one grain less than the best.
    fn target(&self) -> f64 {
        let Some((cost, _)) = &self.best else { return 1e12 };
        let cost = real(*cost) / real(self.model.grain);
        cost - 1.0 + 1e-3 + cost * 1e-9
    }

    /// Searches everything; the bound in ten-thousandths.
    pub(super) fn run(&mut self) -> i64 {
        let mut root = Node::root(self.model);
        self.nodes += 1;
        raise(self.model, &mut root, self.target(), ROUNDS.0, self.clock);
        self.polish(&root);
        if root.bound <= self.target() && reduce(self.model, &mut root, self.target()) {
            self.kept = root.segs.iter().filter(|g| !g.is_empty()).count();
            self.explore(root);
        }
        let cost = self.best.as_ref().map_or(i64::MAX, |b| b.0);
        let grains = (self.floor - 1e-6).ceil().clamp(0.0, 1e15);
        // What is not left unsettled costs at least as much as the best plan.
        cost.min(super::table::grains(grains).saturating_mul(self.model.grain))
    }

    /// A plan of our own from the suppliers that the prices choose.
    fn polish(&mut self, node: &Node) {
        let chosen = node.priced(self.model).chosen;
        let mut bands: Table<Vec<Band>> = Table::filled(Vec::new(), self.model.suppliers.len());
        for (v, option, _) in chosen {
            if option.is_some() {
                bands[v].clone_from(&self.model.suppliers[v].bands);
            }
        }
        let mut state = State::new(self.model, bands);
        if primal::fill(&mut state) {
            primal::improve(&mut state, 6);
            primal::consider(self.model, &state, &mut self.best);
        }
    }

    /// Settles a node whose bound is known.
    fn explore(&mut self, mut node: Node) {
        self.nodes += 1;
        if self.clock.stopped() {
            self.floor = self.floor.min(node.bound);
            return;
        }
        let forced = node.suppliers.iter().filter(|v| node.options[**v].iter().all(Option::is_some)).count();
        if self.model.max_suppliers.is_some_and(|most| forced > most as usize) {
            return;
        }
        let known = node.bound;
        raise(self.model, &mut node, self.target(), ROUNDS.1, self.clock);
        node.bound = node.bound.max(known);
        if node.bound > self.target() || !reduce(self.model, &mut node, self.target()) {
            return;
        }
        if node.suppliers.iter().any(|v| node.options[*v].is_empty()) {
            return;
        }
        match self.divide(&node) {
            Some(v) => self.children(&node, v),
            None => self.leaf(node),
        }
    }

    /// The supplier to branch on: the one whose second option is least bad.
    fn divide(&self, node: &Node) -> Option<usize> {
        let open = node.suppliers.iter().filter(|v| node.options[**v].len() > 1);
        let gap = |v: &&usize| {
            let mut values: Vec<f64> =
                node.options[**v].iter().map(|o| node.option_value(self.model, **v, *o)).collect();
            values.sort_by(f64::total_cmp);
            match values.as_slice() {
                [a, b, ..] => b - a,
                _ => 0.0,
            }
        };
        // The widest gap first: its worse side is cut soonest, and its better side is bounded best.
        open.max_by(|a, b| gap(a).total_cmp(&gap(b)).then(b.cmp(a))).copied()
    }

    fn children(&mut self, node: &Node, v: usize) {
        let mut options: Vec<(f64, Option<usize>)> =
            node.options[v].iter().map(|o| (node.option_value(self.model, v, *o), *o)).collect();
        options.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        for (_, option) in options {
            let mut child = node.clone();
            child.options[v] = vec![option];
            if option.is_none() {
                for s in &self.model.suppliers[v].sources {
                    child.segs[*s].clear();
                }
                child.suppliers.retain(|x| *x != v);
            }
            self.explore(child);
        }
    }

    /// Every supplier is decided: the rest falls apart into parts that are settled one by one.
    fn leaf(&mut self, node: Node) {
        let mut bound_to: Vec<usize> = node.suppliers.iter().copied().filter(|v| self.presses(&node, *v)).collect();
        loop {
            let mut fixed = 0.0;
            let mut base = node.clone();
            for v in &node.suppliers {
                if !bound_to.contains(v) {
                    let option = node.options[*v].first().copied().flatten();
                    let band = option.and_then(|b| self.model.suppliers[*v].bands.get(b));
                    fixed += band.map_or(0.0, |b| real(b.fixed) / real(self.model.grain));
                    base.plain.extend(node.live(self.model, *v));
                }
            }
            base.suppliers.clone_from(&bound_to);
            let Some(plan) = self.settle(&node, &base, fixed) else { return };
            let Some(missed) = self.missed(&node, &plan, &bound_to) else {
                self.accept(&node, plan.0, plan.1 + fixed);
                return;
            };
            bound_to.push(missed);
            bound_to.sort_unstable();
        }
    }

    /// Whether the threshold of a decided supplier bears on the bound.
    fn presses(&self, node: &Node, v: usize) -> bool {
        let Some(b) = node.options[v].first().copied().flatten() else { return false };
        node.discount[v].get(b).is_some_and(|d| *d > 0.02)
    }

    /// A supplier outside `bound_to` whose threshold the plan misses.
    fn missed(&self, node: &Node, plan: &(Plan, f64), bound_to: &[usize]) -> Option<usize> {
        let (goods, _) = plan.0.goods(self.model)?;
        node.suppliers.iter().copied().filter(|v| !bound_to.contains(v)).find(|v| {
            let band = node.options[*v].first().copied().flatten().and_then(|b| self.model.suppliers[*v].bands.get(b));
            band.is_some_and(|b| goods[*v] < b.least)
        })
    }

    /// Settles the parts of a leaf; none where it cannot beat the best plan or was left unsettled.
    fn settle(&mut self, node: &Node, base: &Node, fixed: f64) -> Option<(Plan, f64)> {
        let mut list: Vec<Part> = parts::split(self.model, base);
        parts::raise_all(self.model, &mut list, self.target() - fixed, self.clock);
        let mut sum: f64 = fixed + list.iter().map(|p| p.node.bound).sum::<f64>();
        let mut whole = Plan::empty(self.model);
        let mut settled = 0.0;
        for part in list {
            let room = self.target() - sum;
            if room < 0.0 {
                return None;
            }
            let start = part.node.bound;
            let mut work = parts::Work { model: self.model, clock: self.clock, nodes: 0, programmes: 0 };
            let outcome = work.settle(part, start + room);
            self.nodes += work.nodes;
            self.programmes += work.programmes;
            match outcome {
                parts::Outcome::Solved(value, plan) => {
                    parts::join(&mut whole, &plan);
                    sum += value - start;
                    settled += value;
                }
                parts::Outcome::Dear => return None,
                parts::Outcome::Unsettled => {
                    self.floor = self.floor.min(node.bound);
                    return None;
                }
            }
        }
        Some((whole, settled))
    }

    /// Makes a leaf's plan real. Where goods cannot reach a threshold to the grain, what is between
    /// stays open.
    fn accept(&mut self, node: &Node, plan: Plan, value: f64) {
        let bands = self.model.suppliers.iter().map(|v| v.bands.clone()).collect();
        let mut state = State::new(self.model, bands);
        state.load(&plan);
        primal::improve(&mut state, 2);
        primal::consider(self.model, &state, &mut self.best);
        let value = value.max(node.bound);
        if value <= self.target() {
            self.floor = self.floor.min(value);
        }
    }
}
