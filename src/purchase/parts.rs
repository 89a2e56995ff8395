//! Parts of a decided order that share nothing: split, bounded, and solved one by one.

use std::collections::BTreeMap;

use super::backend::STRONG;
use super::bundle::{Until, raise};
use super::clock::Clock;
use super::discounted::{Discounted, discounted};
use super::milp::{Aim, NoPlan, Scope};
use super::model::{Band, Model};
use super::node::Node;
use super::plan::Plan;
use super::reduce::reduce;
use super::round;
use super::table::{Table, floor, real};

/// Largest number of flows and quantities that one integer programme is asked for: without a look at what can be
/// had at once and in every search by bounds and branches alone, and else. The programmes of one bench are soon
/// done at that size.
pub(super) const LARGEST: (usize, usize) = (16, if STRONG { 200 } else { 60 });

/// Rounds of price moving for a part.
const ROUNDS: u32 = 40;

/// Sources that are tried before one is branched on, and the rounds of a trial.
const TRIED: usize = 3;
const TRIAL: u32 = 15;

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
        raise(model, &mut part.node, Until { target, rounds: ROUNDS, near: 0.05 }, clock);
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
    /// As in [`LARGEST`].
    pub(super) largest: usize,
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
        // What a part costs is a whole number of grains.
        let limit = (limit + 1e-6).floor() + 1e-3;
        if node.bound > limit || !reduce(self.model, &mut node, limit) {
            return Outcome::Dear;
        }
        let list = split(self.model, &node);
        if list.len() > 1 {
            return self.several(list, limit);
        }
        let Some(part) = list.into_iter().next() else { return Outcome::Solved(0.0, Plan::empty(self.model)) };
        match discounted(self.model, &part.node, limit, self.clock) {
            Discounted::Dear => return Outcome::Dear,
            // The one threshold was watched, so that is exact.
            Discounted::Open(value, plan, _) if part.node.suppliers.len() <= 1 => return Outcome::Solved(value, plan),
            Discounted::Open(..) | Discounted::TooWide => {}
        }
        if part.size <= LARGEST.0 {
            return self.programme(&part.node, limit);
        }
        self.halve(&part, limit)
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
        let asked = scope(self.model, node).attempt(self.model, Aim::Under(limit + 1e-3), &[], self.clock.seconds());
        let solved = match asked {
            Ok(solved) => solved,
            Err(NoPlan::Infeasible) => return Outcome::Dear,
            Err(NoPlan::Unknown) => return Outcome::Unsettled,
        };
        if !solved.optimal {
            return Outcome::Unsettled;
        }
        if solved.value > limit { Outcome::Dear } else { Outcome::Solved(solved.value, solved.plan) }
    }

    /// Branches on whether a source is bought.
    fn halve(&mut self, part: &Part, limit: f64) -> Outcome {
        let mut limit = limit;
        let mut best: Option<(f64, Plan)> = round::plan(self.model, &part.node, 1).filter(|b| b.0 <= limit);
        if let Some((value, _)) = &mut best {
            // A decided supplier that is left out charges less than the part is bound to pay.
            *value = value.max((part.node.bound - 1e-6).ceil());
            limit = *value - 1.0 + 1e-3;
        }
        if part.node.bound > limit {
            return best.map_or(Outcome::Dear, |(value, plan)| Outcome::Solved(value, plan));
        }
        if part.size > 0 && part.size <= self.largest {
            return match (self.programme(&part.node, limit), best) {
                (Outcome::Dear, Some((value, plan))) => Outcome::Solved(value, plan),
                (outcome, _) => outcome,
            };
        }
        let Some(order) = self.children(&part.node, limit) else { return self.programme(&part.node, limit) };
        for mut node in order {
            if node.bound > limit {
                continue;
            }
            let known = node.bound;
            raise(self.model, &mut node, Until { target: limit, rounds: ROUNDS, near: 0.05 }, self.clock);
            node.bound = node.bound.max(known);
            match self.settle(Part { node, size: 0 }, limit) {
                Outcome::Solved(value, plan) => {
                    limit = value - 1.0 + 1e-3;
                    best = Some((value, plan));
                }
                Outcome::Dear => {}
                Outcome::Unsettled => return Outcome::Unsettled,
            }
        }
        best.map_or(Outcome::Dear, |(value, plan)| Outcome::Solved(value, plan))
    }

    /// The two halves for the source whose halves rise most when tried, the cheaper first.
    fn children(&self, node: &Node, limit: f64) -> Option<[Node; 2]> {
        let mut best: Option<(f64, [Node; 2])> = None;
        for (s, most) in self.pivots(node) {
            let mut low = node.clone();
            low.at_most(s, most, self.model.sources[s].pack);
            let mut high = node.clone();
            high.more_than(s, most, self.model.sources[s].pack);
            for half in [&mut low, &mut high] {
                raise(self.model, half, Until { target: limit, rounds: TRIAL, near: 0.05 }, self.clock);
                half.bound = half.bound.max(node.bound);
            }
            let rise = |half: &Node| (half.bound.min(limit + 1.0) - node.bound).max(0.01);
            let score = rise(&low) * rise(&high);
            let done = low.bound > limit || high.bound > limit;
            if best.as_ref().is_none_or(|b| score > b.0) {
                best = Some((score, if high.bound < low.bound { [high, low] } else { [low, high] }));
            }
            if done {
                break;
            }
        }
        best.map(|b| b.1)
    }

    /// The sources whose quantity is most in doubt, each with the quantity at which to cut it.
    fn pivots(&self, node: &Node) -> Vec<(usize, u32)> {
        let all = node.plain.iter().copied().chain(node.suppliers.iter().flat_map(|v| node.live(self.model, *v)));
        let mut list: Vec<(f64, usize, u32)> = Vec::new();
        for s in all {
            let segs = &node.segs[s];
            let (Some(lo), Some(hi)) = (segs.iter().map(|g| g.lo).min(), segs.iter().map(|g| g.hi).max()) else {
                continue;
            };
            let usage = node.usage[s];
            // The largest lawful quantity that is not above the mean.
            let mean = floor(usage.mean + 1e-6) / self.model.sources[s].pack * self.model.sources[s].pack;
            let at = segs.iter().filter(|g| g.lo <= mean).map(|g| mean.min(g.hi)).max().unwrap_or(0);
            let at = if at >= hi { lo.saturating_sub(1) } else { at };
            if node.must[s] && at < lo {
                continue;
            }
            let each = segs.iter().map(|g| g.each).min().unwrap_or(0);
            let cost = real(each) / real(self.model.grain) * f64::from(lo);
            let torn = usage.above.min(1.0 - usage.above).max(0.0);
            list.push(((torn + 1e-4) * cost.max(1.0).sqrt(), s, at));
        }
        list.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        list.iter().take(TRIED).map(|x| (x.1, x.2)).collect()
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
        segs[s] = node.segs[s].to_vec();
        for r in node.rows[s].iter() {
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
