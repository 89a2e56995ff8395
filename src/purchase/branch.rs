//! The search for orders of any size: bound, drop, branch over suppliers, settle what is left in parts.

use super::backend::STRONG;
use super::bundle::{Until, raise};
use super::clock::Clock;
use super::discounted::{Discounted, discounted};
use super::milp::Aim;
use super::model::Model;
use super::node::Node;
use super::parts::{self, Part};
use super::plan::Plan;
use super::reduce::reduce;
use super::table::{Table, real};
use super::ties;
use super::turns::{LARGE, PATIENT, SMALL, Turns};

/// Rounds of price moving: at the root, deeper down, there in a small order, and where all suppliers are decided.
const ROUNDS: (u32, u32, u32, u32) = (300, 80, 20, 5);

/// Most flows at the least cost among which ties are settled one criterion after another.
const TIES: usize = 30;

/// Most flows for which what is left of an order is put into one integer programme at the end.
const LAST: usize = if STRONG { 4_000 } else { 120 };

/// In so many turns a plan is made from everything that is still allowed.
const POLISHED: u32 = 2;

/// The search and the best plan it holds.
pub(super) struct Branch<'a> {
    pub(super) model: &'a Model,
    pub(super) clock: &'a Clock,
    pub(super) best: Option<(i64, Plan)>,
    /// What a plan may cost at most in this turn, grains.
    pub(super) limit: f64,
    /// The least bound of what was left unsettled, grains.
    pub(super) floor: f64,
    pub(super) nodes: u64,
    pub(super) programmes: u64,
    pub(super) kept: usize,
    /// Whether plans of the same cost are told apart.
    pub(super) ties: bool,
    /// As in [`parts::LARGEST`].
    pub(super) largest: usize,
    /// The ways of deciding in which a strong solver has looked for a plan.
    pub(super) looked: Vec<Table<Vec<Option<usize>>>>,
}

impl<'a> Branch<'a> {
    pub(super) fn new(model: &'a Model, clock: &'a Clock, start: Option<Plan>) -> Self {
        let best = start.and_then(|p| p.cost(model).map(|c| (c, p)));
        Self {
            model,
            clock,
            best,
            limit: f64::INFINITY,
            floor: f64::INFINITY,
            nodes: 0,
            programmes: 0,
            kept: 0,
            ties: true,
            largest: parts::LARGEST.1,
            looked: Vec::new(),
        }
    }

    /// What a plan must cost at most to be of interest, grains: the limit of this turn, and one
    /// grain less than the best.
    fn target(&self) -> f64 {
        self.limit.min(self.better())
    }

    /// One grain less than the best plan.
    pub(super) fn better(&self) -> f64 {
        let Some((cost, _)) = &self.best else { return 1e12 };
        let cost = real(*cost) / real(self.model.grain);
        cost - 1.0 + 1e-3 + cost * 1e-9
    }

    /// Searches everything; the bound in ten-thousandths.
    ///
    /// The limit rises from just above the bound: with little room most of what could be bought
    /// falls away, and the rest falls apart into small parts. Each turn that ends without a plan
    /// has proven that there is none up to its limit.
    pub(super) fn run(&mut self) -> i64 {
        self.run_from(Node::root(self.model))
    }

    /// Searches what `root` allows; the bound of that, at most the cost of the best plan.
    pub(super) fn run_from(&mut self, mut root: Node) -> i64 {
        self.nodes += 1;
        let until = Until { target: self.better(), rounds: ROUNDS.0, near: 1e-3 };
        raise(self.model, &mut root, until, self.clock);
        let mut proven = root.bound;
        let (rows, sources) = (self.model.rows.len(), self.model.sources.len());
        let mut turns = Turns::new(rows, sources, self.better() - proven);
        let (mut turn, mut stalled) = (0, true);
        while !self.clock.over() && proven < self.better() {
            self.limit = proven + turns.width;
            self.floor = f64::INFINITY;
            if rows >= LARGE && stalled {
                self.shake_best();
            }
            self.clock.begin_turn(turns.work);
            let mut node = root.clone();
            if reduce(self.model, &mut node, self.target()) {
                self.kept = node.segs.iter().filter(|g| !g.is_empty()).count();
                if rows >= LARGE && turn < POLISHED {
                    self.polish(&node);
                }
                self.explore(node);
            }
            stalled = self.clock.stopped();
            proven = proven.max(self.limit.min(self.floor));
            if self.floor >= self.limit {
                turns.go_on();
            } else if stalled {
                turns.draw_in();
            } else {
                break;
            }
            turn += 1;
        }
        self.clock.begin_turn(u64::MAX);
        // Goods that are not in the problem could reach a threshold to the grain.
        let exact = !self.model.rules.more_goods;
        if proven < self.better() && !self.clock.over() && exact && self.close_the_gap(&root) {
            proven = proven.max(self.better());
        }
        let cost = self.best.as_ref().map_or(i64::MAX, |b| b.0);
        if proven >= self.better() {
            if self.ties {
                self.settle_ties(root);
            }
            return cost;
        }
        let grains = (proven - 1e-6).ceil().clamp(0.0, 1e15);
        cost.min(super::table::grains(grains).saturating_mul(self.model.grain))
    }

    /// Whether one integer programme over all that is left shows what the least is. The search takes it that a
    /// threshold can be reached by paying for nothing; where real goods do not reach it to the grain, this tells.
    fn close_the_gap(&mut self, root: &Node) -> bool {
        let mut node = root.clone();
        if !reduce(self.model, &mut node, self.better()) {
            return true;
        }
        let mut scope = parts::scope(self.model, &node);
        scope.waste = false;
        if scope.allowed.iter().map(Vec::len).sum::<usize>() > LAST {
            return false;
        }
        self.programmes += 1;
        let Some(solved) = scope.solve(self.model, Aim::Cost, &[], self.clock.seconds()) else { return false };
        let plan = solved.plan.trimmed(self.model);
        if let Some(cost) = plan.cost(self.model)
            && self.best.as_ref().is_none_or(|b| cost < b.0)
        {
            self.best = Some((cost, plan));
        }
        // What the programme says costs more than the best plan proves that plan; less than it would be a plan.
        let reached = self.best.as_ref().map_or(f64::INFINITY, |b| real(b.0) / real(self.model.grain));
        solved.optimal && reached <= solved.value + 1e-3 + solved.value * 1e-9
    }

    /// Puts the first of the plans that cost the same in the place of the best, where what is left
    /// at that cost is small enough to tell.
    fn settle_ties(&mut self, mut root: Node) {
        let Some((cost, plan)) = self.best.clone() else { return };
        let grains = real(cost) / real(self.model.grain);
        if !reduce(self.model, &mut root, grains + 1e-3 + grains * 1e-9) {
            return;
        }
        let mut scope = parts::scope(self.model, &root);
        scope.waste = false;
        let size: usize = scope.allowed.iter().map(Vec::len).sum();
        if size <= TIES {
            self.best = Some((cost, ties::first(self.model, &scope, &plan)));
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
        // A small order's leaves are settled soon: it does not pay to bound what is above them closely.
        let small = self.model.rows.len() < SMALL;
        let rounds = match (node.decided(), small) {
            (true, _) => ROUNDS.3,
            (false, true) => ROUNDS.2,
            (false, false) => ROUNDS.1,
        };
        let until = Until { target: self.target(), rounds, near: 0.05 };
        raise(self.model, &mut node, until, self.clock);
        node.bound = node.bound.max(known);
        if node.bound > self.target() || !reduce(self.model, &mut node, self.target()) {
            return;
        }
        if node.suppliers.iter().any(|v| node.options[*v].is_empty()) {
            return;
        }
        match self.divide(&node) {
            Some(v) => self.children(&node, v),
            None => self.leaf(&node),
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
            child.charge(self.model, v, option);
            self.explore(child);
        }
    }

    /// Every supplier is decided: the rest falls apart into parts that are settled one by one.
    fn leaf(&mut self, node: &Node) {
        if self.model.rows.len() >= PATIENT {
            self.round(node);
        }
        match discounted(self.model, node, self.target(), self.clock) {
            Discounted::Dear => return,
            Discounted::Open(value, plan, exact) => {
                let whole = (plan, value);
                if exact && self.missed(node, &whole, &[]).is_none() {
                    self.accept(node, &whole.0, value);
                    return;
                }
                self.consider(&whole.0);
            }
            Discounted::TooWide => {}
        }
        let mut bound_to: Vec<usize> = node.suppliers.iter().copied().filter(|v| Self::presses(node, *v)).collect();
        loop {
            let (base, fixed) = self.apart(node, &bound_to);
            let Some(plan) = self.settle(node, &base, fixed) else { return };
            let Some(missed) = self.missed(node, &plan, &bound_to) else {
                self.accept(node, &plan.0, plan.1 + fixed);
                return;
            };
            bound_to.push(missed);
            bound_to.sort_unstable();
        }
    }

    /// A decided node with the terms of these suppliers in it, and what the others charge beside it, grains.
    fn apart(&self, node: &Node, bound_to: &[usize]) -> (Node, f64) {
        let mut fixed = 0.0;
        let mut base = node.clone();
        for v in node.suppliers.iter().filter(|v| !bound_to.contains(v)) {
            let option = node.options[*v].first().copied().flatten();
            let band = option.and_then(|b| self.model.suppliers[*v].bands.get(b));
            fixed += band.map_or(0.0, |b| real(b.fixed) / real(self.model.grain));
            base.plain.extend(node.live(self.model, *v));
        }
        base.suppliers = bound_to.to_vec();
        base.bound = node.bound - fixed;
        (base, fixed)
    }

    /// Whether the threshold of a decided supplier bears on the bound.
    fn presses(node: &Node, v: usize) -> bool {
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
            let mut work =
                parts::Work { model: self.model, clock: self.clock, largest: self.largest, nodes: 0, programmes: 0 };
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
                    if STRONG {
                        self.look_near(node);
                    }
                    return None;
                }
            }
        }
        Some((whole, settled))
    }

    /// Makes a leaf's plan real. Where goods cannot reach a threshold to the grain, what is between
    /// stays open.
    fn accept(&mut self, node: &Node, plan: &Plan, value: f64) {
        self.consider(plan);
        let value = value.max(node.bound);
        if value <= self.target() {
            self.floor = self.floor.min(value);
        }
    }
}
