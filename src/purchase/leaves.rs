//! Small orders: every set of suppliers, and within a set the positions that share nothing apart.
//!
//! With the suppliers and their ways of being charged settled, positions hang together only through
//! sources that they share. Such groups are small at one bench, and each is solved by itself, exactly:
//! by looking where there is one position with one way, by an integer programme else. Where the goods
//! of the groups reach what the way of charging asks, the set is settled; where they do not, the set is
//! cut by its bound or solved whole. What is cut or left is in the bound that comes back.

use std::collections::BTreeMap;

use super::beaten::beaten;
use super::branch::Branch;
use super::clock::Clock;
use super::groups::{Group, groups};
use super::milp::{Aim, NoPlan, Scope};
use super::model::{Band, Model};
use super::node::Node;
use super::parts::join;
use super::plan::Plan;
use super::table::{Table, real};

/// At most so many sets with their ways of being charged.
const MOST_LEAVES: usize = 4_096;
/// At most so many rows in a group that is solved by itself.
const MOST_ROWS: usize = 6;
/// At most so many sets are searched whole; what is left over goes to bounds and branches.
const MOST_WHOLE: u32 = 6;
/// Source evaluations after which a set that is searched whole is given up.
const WHOLE_WORK: u64 = 1_000_000;
/// At most so many sources in such a group.
const MOST_SOURCES: usize = 60;

/// What the sets of suppliers gave.
pub(super) struct Settled {
    /// The best plan.
    pub(super) best: Option<Plan>,
    /// No plan costs less.
    pub(super) bound: i64,
    /// Integer programmes solved.
    pub(super) programmes: u64,
    /// Sets looked at.
    pub(super) nodes: u64,
}

/// A group solved for some suppliers: cost, and the plan of its part.
#[derive(Debug, Clone)]
struct Piece {
    cost: i64,
    plan: Plan,
}

/// All groups solved for a set of suppliers.
struct Base {
    cost: i64,
    goods: Table<i64>,
    plan: Plan,
}

/// What the groups cost with a set of suppliers at least, and in all.
struct Least {
    groups: Vec<i64>,
    cost: i64,
}

/// A set of suppliers with a way of being charged for each.
struct Leaf {
    bound: i64,
    mask: u64,
    bands: Vec<Option<Band>>,
    short: bool,
}

/// Settles an order by its sets of suppliers; `None` where it is not small in this sense.
pub(super) fn settle(model: &Model, start: Option<&Plan>, ties: bool, clock: &Clock) -> Option<Settled> {
    let groups = groups(model);
    let large = |g: &Group| g.rows.len() > MOST_ROWS || g.sources.len() > MOST_SOURCES;
    let leaves = model.suppliers.iter().try_fold(1usize, |n, v| n.checked_mul(v.bands.len() + 1))?;
    if model.suppliers.len() >= 63 || leaves > MOST_LEAVES || groups.iter().any(large) {
        return None;
    }
    let mut search = Search {
        model,
        beaten: groups.iter().flat_map(|g| beaten(model, g)).collect(),
        groups,
        pieces: BTreeMap::new(),
        few: BTreeMap::new(),
        best: start.cloned(),
        programmes: 0,
        wholes: 0,
        ties,
        trouble: false,
        clock,
    };
    let settled = search.run();
    (!search.trouble).then_some(settled)
}

struct Search<'a> {
    model: &'a Model,
    groups: Vec<Group>,
    /// Sources that others beat, with the suppliers of these.
    beaten: BTreeMap<usize, (u64, bool)>,
    pieces: BTreeMap<(usize, u64), Option<Piece>>,
    /// The same pieces with the fewest numbers, where that was asked.
    few: BTreeMap<(usize, u64), Plan>,
    best: Option<Plan>,
    programmes: u64,
    wholes: u32,
    ties: bool,
    /// A group came to nothing without being proven impossible, so what was left out proves nothing.
    trouble: bool,
    clock: &'a Clock,
}

impl Search<'_> {
    fn run(&mut self) -> Settled {
        let (bases, mut leaves) = self.leaves();
        leaves.sort_by_key(|leaf| (leaf.bound, leaf.mask.count_ones(), leaf.mask));
        let nodes = leaves.len() as u64;
        let mut bound = i64::MAX;
        for leaf in leaves {
            let reached = self.best.as_ref().and_then(|b| b.cost(self.model));
            if reached.is_some_and(|cost| leaf.bound > cost) {
                break;
            }
            let Some(base) = bases.get(&leaf.mask) else { continue };
            if leaf.short {
                bound = bound.min(self.whole(&leaf));
            } else {
                self.keep(&base.plan);
                let few = self.fewest(leaf.mask);
                self.keep(&few);
            }
        }
        let cost = self.best.as_ref().and_then(|b| b.cost(self.model)).unwrap_or(0);
        Settled { best: self.best.clone(), bound: bound.min(cost), programmes: self.programmes, nodes }
    }

    /// Keeps the better plan.
    fn keep(&mut self, plan: &Plan) {
        let plan = plan.trimmed(self.model);
        let Some(worth) = plan.worth(self.model) else { return };
        if self.best.as_ref().and_then(|b| b.worth(self.model)).is_none_or(|b| worth < b) {
            self.best = Some(plan);
        }
    }

    /// The sets of suppliers that can meet everything, and every way of being charged in each. Sets that
    /// must cost more than the best plan are left out before their groups are solved.
    fn leaves(&mut self) -> (BTreeMap<u64, Base>, Vec<Leaf>) {
        let count = self.model.suppliers.len();
        let most = self.model.max_suppliers.unwrap_or(u32::MAX);
        let mut masks: Vec<u64> = (0..1u64 << count).collect();
        // What a group costs with some suppliers it costs at least with fewer, so large sets come first.
        masks.sort_by_key(|m| (std::cmp::Reverse(m.count_ones()), *m));
        let mut bases = BTreeMap::new();
        let mut leaves = Vec::new();
        for mask in masks {
            let full = mask.count_ones() == u32::try_from(count).unwrap_or(u32::MAX);
            if (mask.count_ones() > most && !full) || !self.hopeful(mask) {
                continue;
            }
            let Some(base) = self.base(mask) else { continue };
            if mask.count_ones() > most {
                continue;
            }
            self.keep(&base.plan);
            let groups = (0..self.groups.len()).map(|g| self.piece(g, mask).map_or(0, |p| p.cost)).collect();
            leaves.extend(self.ways(mask, &Least { groups, cost: base.cost }, Some(&base.goods)));
            bases.insert(mask, base);
        }
        (bases, leaves)
    }

    /// Whether a set of suppliers could still cost no more than the best plan, by what is known of larger sets.
    fn hopeful(&self, mask: u64) -> bool {
        let Some(reached) = self.best.as_ref().and_then(|b| b.cost(self.model)) else { return true };
        let groups: Vec<i64> = (0..self.groups.len()).map(|g| self.at_least(g, mask)).collect();
        let least = Least { cost: groups.iter().sum(), groups };
        self.ways(mask, &least, None).iter().any(|leaf| leaf.bound <= reached)
    }

    /// What a group costs at least with these suppliers: what it is known to cost with more.
    fn at_least(&self, g: usize, mask: u64) -> i64 {
        let Some(group) = self.groups.get(g) else { return 0 };
        let key = mask & group.mask;
        let larger = self.pieces.range((g, 0)..=(g, u64::MAX)).filter(|((_, k), _)| k & key == key);
        larger.filter_map(|(_, piece)| piece.as_ref().map(|p| p.cost)).max().unwrap_or(0)
    }

    /// All groups with these suppliers.
    fn base(&mut self, mask: u64) -> Option<Base> {
        let mut plan = Plan::empty(self.model);
        let mut cost = 0;
        for g in 0..self.groups.len() {
            let piece = self.piece(g, mask)?;
            cost += piece.cost;
            join(&mut plan, &piece.plan);
        }
        let (goods, _) = plan.goods(self.model)?;
        Some(Base { cost, goods, plan })
    }

    /// The ways of being charged by these suppliers, each with a bound. Without `goods` every threshold
    /// is taken as missed.
    fn ways(&self, mask: u64, least: &Least, goods: Option<&Table<i64>>) -> Vec<Leaf> {
        let mut bands: Vec<Vec<Option<Band>>> = vec![Vec::new()];
        for (v, sup) in self.model.suppliers.iter().enumerate() {
            let open = mask >> v & 1 == 1;
            let ways: Vec<Option<Band>> = if open { sup.bands.iter().map(|b| Some(*b)).collect() } else { vec![None] };
            bands = bands
                .into_iter()
                .flat_map(|before| ways.iter().map(move |w| [before.clone(), vec![*w]].concat()))
                .collect();
        }
        let leaves = bands.into_iter().map(|bands| {
            let fixed: i64 = bands.iter().flatten().map(|b| b.fixed).sum();
            let mut bound = least.cost + fixed;
            let (mut missed, mut together) = (0, 0);
            for (v, band) in bands.iter().enumerate() {
                let reached = goods.map_or(0, |g| g[v]);
                let Some(band) = band.filter(|b| b.least > reached) else { continue };
                missed |= 1 << v;
                together += band.least;
                bound = bound.max(band.least + fixed + self.beside(1 << v, least));
            }
            bound = bound.max(together + fixed + self.beside(missed, least));
            Leaf { bound, mask, bands, short: missed != 0 }
        });
        leaves.collect()
    }

    /// What the groups cost at least that none of these suppliers can serve.
    fn beside(&self, suppliers: u64, least: &Least) -> i64 {
        let apart = self.groups.iter().zip(&least.groups).filter(|(g, _)| g.mask & suppliers == 0);
        apart.map(|(_, cost)| cost).sum()
    }

    /// The groups with these suppliers, each with the fewest numbers at its cost.
    fn fewest(&mut self, mask: u64) -> Plan {
        let mut plan = Plan::empty(self.model);
        for g in 0..self.groups.len() {
            let Some(group) = self.groups.get(g).cloned() else { continue };
            let key = (g, mask & group.mask);
            let Some(piece) = self.piece(g, mask) else { continue };
            let few = match self.few.get(&key) {
                Some(few) => few.clone(),
                None => self.fewer(&group, key.1, piece),
            };
            join(&mut plan, &few);
            self.few.insert(key, few);
        }
        plan
    }

    /// One group with these suppliers; remembered.
    fn piece(&mut self, g: usize, mask: u64) -> Option<Piece> {
        let group = self.groups.get(g)?.clone();
        let key = (g, mask & group.mask);
        if let Some(known) = self.pieces.get(&key) {
            return known.clone();
        }
        // What the larger set buys of these suppliers alone is the cheapest here too.
        let known = self.pieces.range((g, 0)..=(g, u64::MAX)).filter(|((_, k), _)| k & key.1 == key.1);
        let same = known.filter_map(|(_, p)| p.as_ref()).find(|p| self.bought_of(&group, &p.plan) & !key.1 == 0);
        if let Some(piece) = same.cloned() {
            self.pieces.insert(key, Some(piece.clone()));
            return Some(piece);
        }
        let piece = match self.single(&group) {
            Some((c, r)) => self.looked_up(c, r, key.1),
            None => self.programme(&group, key.1),
        };
        self.pieces.insert(key, piece.clone());
        piece
    }

    /// The class and the row of a group that is one position with one way of one row.
    fn single(&self, group: &Group) -> Option<(usize, usize)> {
        let ([c], [r]) = (group.classes.as_slice(), group.rows.as_slice()) else { return None };
        let class = &self.model.classes[*c];
        let [way] = class.ways.as_slice() else { return None };
        (class.count() == 1 && way.uses.as_slice() == [(*r, 1)]).then_some((*c, *r))
    }

    /// The cheapest source of such a group, found by looking; `None` where no supplier of the set has it.
    fn looked_up(&self, c: usize, r: usize, mask: u64) -> Option<Piece> {
        let row = &self.model.rows[r];
        let offers = row.any_of.iter().filter(|s| self.is_open(**s, mask)).filter_map(|s| {
            let src = &self.model.sources[*s];
            let spare = self.model.rules.spare(src.class, row.take);
            let (quantity, cost) = src.cheapest(row.weight() + spare)?;
            Some(((cost, std::cmp::Reverse(src.life), src.rank), *s, quantity))
        });
        let ((cost, _, _), s, quantity) = offers.min()?;
        let mut plan = Plan::empty(self.model);
        plan.ways[c] = vec![1];
        plan.flow[r] = vec![(s, 1)];
        plan.quantity[s] = quantity;
        Some(Piece { cost, plan })
    }

    fn is_open(&self, s: usize, mask: u64) -> bool {
        self.model.sources[s].sup.is_none_or(|v| mask >> v & 1 == 1)
    }

    /// The suppliers, a bit each, of which a plan buys for a group.
    fn bought_of(&self, group: &Group, plan: &Plan) -> u64 {
        let bought = group.sources.iter().filter(|s| plan.quantity[**s] > 0);
        bought.filter_map(|s| self.model.sources[*s].sup).fold(0, |m, v| m | 1 << v)
    }

    /// A group and the suppliers of a set, without their charges.
    fn scope(&self, group: &Group, mask: u64) -> Scope {
        let mut scope = Scope::all(self.model);
        scope.classes.clone_from(&group.classes);
        scope.rows.clone_from(&group.rows);
        for s in 0..self.model.sources.len() {
            let better = self.beaten.get(&s).is_some_and(|(by, shelf)| by & mask != 0 || *shelf);
            if !group.sources.contains(&s) || !self.is_open(s, mask) || better {
                scope.segs[s].clear();
            }
        }
        for v in 0..self.model.suppliers.len() {
            scope.bands[v] = if mask >> v & 1 == 1 { vec![Band { fixed: 0, least: 0 }] } else { Vec::new() };
        }
        scope
    }

    /// A group at the least cost, by an integer programme.
    fn programme(&mut self, group: &Group, mask: u64) -> Option<Piece> {
        let scope = self.scope(group, mask);
        self.programmes += 1;
        let solved = match scope.attempt(self.model, Aim::Cost, &[], self.clock.seconds()) {
            Ok(solved) if solved.optimal => solved,
            Err(NoPlan::Infeasible) => return None,
            Ok(_) | Err(NoPlan::Unknown) => {
                self.trouble = true;
                return None;
            }
        };
        let cost = self.goods_cost(&solved.plan)?;
        Some(Piece { cost, plan: solved.plan })
    }

    /// The same at the same cost with the fewest numbers.
    fn fewer(&mut self, group: &Group, mask: u64, piece: Piece) -> Plan {
        if self.single(group).is_some() {
            return piece.plan;
        }
        let scope = self.scope(group, mask);
        self.programmes += 1;
        let aim = Aim::Few(real(piece.cost) / real(self.model.grain));
        let few = scope.solve(self.model, aim, &[], self.clock.seconds()).map(|s| s.plan);
        few.filter(|p| self.goods_cost(p) == Some(piece.cost)).unwrap_or(piece.plan)
    }

    fn goods_cost(&self, plan: &Plan) -> Option<i64> {
        let (goods, shelf) = plan.goods(self.model)?;
        Some(goods.iter().sum::<i64>() + shelf)
    }

    /// A set whose groups do not reach what the way of charging asks: searched whole by bounds and
    /// branches; the bound that this gives. A better plan is kept.
    fn whole(&mut self, leaf: &Leaf) -> i64 {
        self.wholes += 1;
        if self.wholes > MOST_WHOLE {
            return leaf.bound;
        }
        let mut root = Node::root(self.model);
        for (v, band) in leaf.bands.iter().enumerate() {
            let bands = &self.model.suppliers[v].bands;
            let chosen = band.and_then(|b| bands.iter().position(|o| *o == b));
            root.charge(self.model, v, chosen);
        }
        let clock = Clock::new(WHOLE_WORK, self.clock.seconds());
        let start = Branch::new(self.model, &clock, self.best.clone());
        let mut branch = Branch { ties: self.ties, ..start };
        let bound = branch.run_from(root);
        self.programmes += branch.programmes;
        if let Some((_, plan)) = branch.best {
            self.keep(&plan);
        }
        bound.max(leaf.bound)
    }
}
