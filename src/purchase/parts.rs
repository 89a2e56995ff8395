//! Parts of a decided order that share nothing: split, bounded, and solved one by one.

use std::collections::BTreeMap;

use super::ascend::{raise, reduce};
use super::clock::Clock;
use super::milp::{Aim, Scope};
use super::model::{Band, Model};
use super::node::Node;
use super::plan::Plan;
use super::table::{Table, real};

/// Largest number of flows and quantities that one integer programme is asked for.
const LARGEST: usize = 40;

/// Rounds of price moving for a part.
const ROUNDS: u32 = 40;

/// A part: its own node, and how large it is.
#[derive(Debug, Clone)]
pub(super) struct Part {
    pub(super) node: Node,
    pub(super) size: usize,
}

/// What came of a part.
pub(super) enum Outcome {
    /// Its least cost in grains, and its piece of the plan.
    Solved(f64, Plan),
    /// It cannot be had at or below the limit.
    Dear,
    /// Stopped before it was known.
    Unsettled,
}

/// Splits a node, in which every supplier is decided, into parts without a common row or source.
pub(super) fn split(model: &Model, node: &Node) -> Vec<Part> {
    let mut up = Table::from((0..model.rows.len()).collect::<Vec<usize>>());
    let mut join = |list: &mut dyn Iterator<Item = usize>| {
        let mut first = None;
        for r in list {
            let root = top(&mut up, r);
            match first {
                None => first = Some(root),
                Some(f) => {
                    let f = top(&mut up, f);
                    up[root] = f;
                }
            }
        }
    };
    for c in &node.classes {
        join(&mut model.classes[*c].ways.iter().flat_map(|w| w.uses.iter().map(|u| u.0)));
    }
    for s in 0..model.sources.len() {
        if !node.segs[s].is_empty() {
            join(&mut node.rows[s].iter().copied());
        }
    }
    for v in &node.suppliers {
        join(&mut node.live(model, *v).flat_map(|s| node.rows[s].iter().copied()));
    }
    let mut groups: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for c in &node.classes {
        let first = model.classes[*c].ways.iter().flat_map(|w| w.uses.iter()).map(|u| u.0).next();
        groups.entry(first.map_or(usize::MAX, |r| top(&mut up, r))).or_default().push(*c);
    }
    let parts = groups.into_iter().map(|(root, classes)| {
        let here = |s: &usize, up: &mut Table<usize>| {
            !node.segs[*s].is_empty() && node.rows[*s].first().is_some_and(|r| top(up, *r) == root)
        };
        let plain: Vec<usize> = node.plain.iter().copied().filter(|s| here(s, &mut up)).collect();
        let suppliers: Vec<usize> =
            node.suppliers.iter().copied().filter(|v| node.live(model, *v).any(|s| here(&s, &mut up))).collect();
        let live = plain.iter().copied().chain(suppliers.iter().flat_map(|v| node.live(model, *v)));
        let size = live.map(|s| node.rows[s].len() + node.segs[s].len()).sum();
        Part { node: Node { classes, suppliers, plain, ..node.clone() }, size }
    });
    parts.collect()
}

fn top(up: &mut Table<usize>, r: usize) -> usize {
    let mut r = r;
    while up[r] != r {
        let above = up[up[r]];
        up[r] = above;
        r = above;
    }
    r
}

/// Raises the bounds of parts that together may cost `limit`, and puts the smallest first.
pub(super) fn raise_all(model: &Model, list: &mut [Part], limit: f64, clock: &Clock) {
    for part in list.iter_mut() {
        part.node.bound = part.node.priced(model).bound;
    }
    let room = limit - list.iter().map(|p| p.node.bound).sum::<f64>();
    for part in list.iter_mut() {
        let target = part.node.bound + room.max(1.0);
        raise(model, &mut part.node, target, ROUNDS, clock);
    }
    list.sort_by_key(|p| (p.size, p.node.classes.clone()));
}

/// Adds a part's piece to the whole.
pub(super) fn join(whole: &mut Plan, piece: &Plan) {
    for (c, ways) in piece.ways.iter().enumerate().filter(|(_, w)| w.iter().any(|n| *n > 0)) {
        whole.ways[c].clone_from(ways);
    }
    for (r, flow) in piece.flow.iter().enumerate().filter(|(_, f)| !f.is_empty()) {
        whole.flow[r].clone_from(flow);
    }
    for (s, q) in piece.quantity.iter().enumerate().filter(|(_, q)| **q > 0) {
        whole.quantity[s] = *q;
    }
}

/// Settles parts and counts what that took.
pub(super) struct Work<'a> {
    pub(super) model: &'a Model,
    pub(super) clock: &'a Clock,
    pub(super) nodes: u64,
    pub(super) programmes: u64,
}

impl Work<'_> {
    /// The least cost of a part at or below `limit` (grains).
    pub(super) fn settle(&mut self, part: Part, limit: f64) -> Outcome {
        self.nodes += 1;
        if self.clock.stopped() {
            return Outcome::Unsettled;
        }
        let mut node = part.node;
        if node.bound > limit || !reduce(self.model, &mut node, limit) {
            return Outcome::Dear;
        }
        let list = split(self.model, &node);
        if list.len() > 1 {
            return self.several(list, limit);
        }
        let Some(part) = list.into_iter().next() else { return Outcome::Solved(0.0, Plan::empty(self.model)) };
        if part.size <= LARGEST {
            return self.programme(&part.node, limit);
        }
        self.halve(part, limit)
    }

    /// Parts that fell apart on the way.
    fn several(&mut self, mut list: Vec<Part>, limit: f64) -> Outcome {
        raise_all(self.model, &mut list, limit, self.clock);
        let mut sum: f64 = list.iter().map(|p| p.node.bound).sum();
        let mut whole = Plan::empty(self.model);
        let mut settled = 0.0;
        for part in list {
            let start = part.node.bound;
            if sum > limit {
                return Outcome::Dear;
            }
            match self.settle(part, start + limit - sum) {
                Outcome::Solved(value, piece) => {
                    join(&mut whole, &piece);
                    sum += value - start;
                    settled += value;
                }
                other => return other,
            }
        }
        Outcome::Solved(settled, whole)
    }

    /// One integer programme.
    fn programme(&mut self, node: &Node, limit: f64) -> Outcome {
        self.programmes += 1;
        let Some(solved) = scope(self.model, node).solve(self.model, Aim::Cost, &[], self.clock.seconds()) else {
            return if self.clock.stopped() { Outcome::Unsettled } else { Outcome::Dear };
        };
        if !solved.optimal {
            return Outcome::Unsettled;
        }
        if solved.value > limit { Outcome::Dear } else { Outcome::Solved(solved.value, solved.plan) }
    }

    /// Branches on whether a source is bought.
    fn halve(&mut self, part: Part, limit: f64) -> Outcome {
        let Some(s) = self.pivot(&part.node) else { return self.programme(&part.node, limit) };
        let mut without = part.node.clone();
        without.segs[s].clear();
        without.rows[s].clear();
        let mut with = part.node;
        with.must[s] = true;
        let mut limit = limit;
        let mut best: Option<(f64, Plan)> = None;
        let rate = self.rate(&with, s);
        let bought = with.best(self.model, s, &with.worths(self.model, s), rate).0 < 0.0;
        let order = if bought { [with, without] } else { [without, with] };
        for mut node in order {
            raise(self.model, &mut node, limit, ROUNDS, self.clock);
            match self.settle(Part { node, size: 0 }, limit) {
                Outcome::Solved(value, plan) => {
                    limit = value - 0.5;
                    best = Some((value, plan));
                }
                Outcome::Dear => {}
                Outcome::Unsettled => return Outcome::Unsettled,
            }
        }
        best.map_or(Outcome::Dear, |(value, plan)| Outcome::Solved(value, plan))
    }

    fn rate(&self, node: &Node, s: usize) -> f64 {
        let sup = self.model.sources[s].sup.filter(|v| node.suppliers.contains(v));
        sup.map_or(1.0, |v| node.terms(self.model, v, node.options[v].first().copied().flatten()).1)
    }

    /// The source that is nearest to being bought or not, the more rows the better.
    fn pivot(&self, node: &Node) -> Option<usize> {
        let all = node.plain.iter().copied().chain(node.suppliers.iter().flat_map(|v| node.live(self.model, *v)));
        let mut best: Option<(f64, usize)> = None;
        for s in all.filter(|s| !node.must[*s] && !node.segs[*s].is_empty()) {
            let worths = node.worths(self.model, s);
            let rate = self.rate(node, s);
            let grain = real(self.model.grain);
            let each = |g: &super::model::Seg| rate * real(g.each) / grain;
            let values = node.segs[s].iter().map(|g| worths.within(self.model.sources[s].pack, *g, each(g), 0));
            let Some((value, q)) = values.min_by(|a, b| a.0.total_cmp(&b.0)) else { continue };
            let cost = node.segs[s].iter().map(each).fold(f64::INFINITY, f64::min) * f64::from(q.max(1));
            let rows = real(i64::try_from(node.rows[s].len()).unwrap_or(0));
            let torn = node.usage[s].min(1.0 - node.usage[s]).max(0.0) + 0.01;
            let score = torn * cost.max(1.0) * rows.sqrt() / (value.abs() + 0.1 * cost.max(1.0));
            if best.is_none_or(|b| score > b.0) {
                best = Some((score, s));
            }
        }
        best.map(|b| b.1)
    }
}

/// The integer programme of a part; suppliers outside it charge nothing for being used.
pub(super) fn scope(model: &Model, node: &Node) -> Scope {
    let mut allowed: Table<Vec<usize>> = Table::filled(Vec::new(), model.rows.len());
    let mut segs = Table::filled(Vec::new(), model.sources.len());
    let mut bands: Table<Vec<Band>> = Table::filled(Vec::new(), model.suppliers.len());
    for v in &node.suppliers {
        let options = node.options[*v].iter().flatten();
        bands[*v] = options.filter_map(|b| model.suppliers[*v].bands.get(*b)).copied().collect();
    }
    let all: Vec<usize> =
        node.plain.iter().copied().chain(node.suppliers.iter().flat_map(|v| node.live(model, *v))).collect();
    for s in all {
        segs[s].clone_from(&node.segs[s]);
        for r in &node.rows[s] {
            allowed[*r].push(s);
        }
        if let Some(v) = model.sources[s].sup.filter(|v| bands[*v].is_empty()) {
            bands[v] = vec![Band { fixed: 0, least: 0 }];
        }
    }
    let mut rows: Vec<usize> = node
        .classes
        .iter()
        .flat_map(|c| model.classes[*c].ways.iter().flat_map(|w| w.uses.iter().map(|u| u.0)))
        .collect();
    rows.sort_unstable();
    rows.dedup();
    Scope { allowed, segs, bands, classes: node.classes.clone(), rows, waste: true }
}
