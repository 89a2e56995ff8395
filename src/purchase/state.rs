//! A plan under change: chunks moved one by one, its cost kept up to date, moves taken back.
//!
//! The cost here lets a supplier's threshold be reached by paying for nothing; `topup` makes the
//! plan real afterwards.

use std::collections::BTreeMap;

use super::model::{Band, Model};
use super::plan::Plan;
use super::table::Table;

/// More than any lawful plan costs: an unlawful quantity or order.
pub(super) const UNLAWFUL: i64 = 1 << 50;

/// The plan under change.
#[derive(Debug, Clone)]
pub(super) struct State<'a> {
    pub(super) model: &'a Model,
    /// Ways of being charged that are allowed, by supplier; none: closed.
    bands: Table<Vec<Band>>,
    pub(super) ways: Table<Vec<u32>>,
    pub(super) flow: Table<BTreeMap<usize, u32>>,
    barred: Table<bool>,
    used: Table<u32>,
    need: Table<u32>,
    extra: Table<u32>,
    cost_of: Table<i64>,
    /// What each source costs at least, bought or not; nothing but while a plan is filled.
    floor: Table<i64>,
    goods: Table<i64>,
    lines: Table<u32>,
    open: u32,
    pub(super) total: i64,
    journal: Vec<Change>,
}

/// How a source would stand: pieces wanted of it, and what they cost.
#[derive(Debug, Clone, Copy)]
struct With {
    s: usize,
    need: u32,
    cost: i64,
}

#[derive(Debug, Clone, Copy)]
enum Change {
    Flow(usize, usize, u32, bool),
    Way(usize, usize, u32, bool),
}

impl<'a> State<'a> {
    /// Nothing bought yet.
    pub(super) fn new(model: &'a Model, bands: Table<Vec<Band>>) -> Self {
        Self {
            model,
            bands,
            ways: model.classes.iter().map(|c| vec![0; c.ways.len()]).collect(),
            flow: Table::filled(BTreeMap::new(), model.rows.len()),
            need: Table::filled(0, model.sources.len()),
            barred: Table::filled(false, model.sources.len()),
            used: Table::filled(0, model.sources.len()),
            extra: Table::filled(0, model.sources.len()),
            cost_of: Table::filled(0, model.sources.len()),
            floor: Table::filled(0, model.sources.len()),
            goods: Table::filled(0, model.suppliers.len()),
            lines: Table::filled(0, model.suppliers.len()),
            open: 0,
            total: 0,
            journal: Vec::new(),
        }
    }

    /// Whether the source may be bought of.
    pub(super) fn usable(&self, s: usize) -> bool {
        !self.barred[s] && self.model.sources[s].sup.is_none_or(|v| !self.bands[v].is_empty())
    }

    /// Every supplier may be ordered from, and every source bought of, from now on.
    pub(super) fn allow_all(&mut self) {
        let model = self.model;
        self.bands = model.suppliers.iter().map(|v| v.bands.clone()).collect();
        self.barred = Table::filled(false, model.sources.len());
    }

    /// Which sources may not be bought of from now on.
    pub(super) fn bar(&mut self, barred: Table<bool>) {
        self.barred = barred;
    }

    /// Counts these sums as spent already from now on: as much as they buy is to be had for nothing more.
    pub(super) fn spend_at_least(&mut self, floor: Table<i64>) {
        self.floor = floor;
        for s in 0..self.model.sources.len() {
            self.reprice(s);
        }
    }

    /// A point to go back to.
    pub(super) fn mark(&self) -> usize {
        self.journal.len()
    }

    /// Takes back everything since `mark`.
    pub(super) fn back(&mut self, mark: usize) {
        while self.journal.len() > mark {
            match self.journal.pop() {
                Some(Change::Flow(r, s, k, added)) => self.shift(r, s, k, !added),
                Some(Change::Way(c, w, k, added)) => self.turn(c, w, k, !added),
                None => return,
            }
        }
    }

    /// Forgets how to go back.
    pub(super) fn keep(&mut self) {
        self.journal.clear();
    }

    /// Adds or removes `k` chunks of row `r` at source `s`.
    pub(super) fn add(&mut self, r: usize, s: usize, k: u32, added: bool) {
        self.journal.push(Change::Flow(r, s, k, added));
        self.shift(r, s, k, added);
    }

    /// Adds or removes `k` members of class `c` going way `w`; the flows are the caller's matter.
    pub(super) fn way(&mut self, c: usize, w: usize, k: u32, added: bool) {
        self.journal.push(Change::Way(c, w, k, added));
        self.turn(c, w, k, added);
    }

    fn turn(&mut self, c: usize, w: usize, k: u32, added: bool) {
        if let Some(n) = self.ways[c].get_mut(w) {
            *n = if added { *n + k } else { n.saturating_sub(k) };
        }
    }

    fn shift(&mut self, r: usize, s: usize, k: u32, added: bool) {
        let (take, extra) = (self.model.rows[r].take * k, self.model.rows[r].extra * k);
        if added {
            *self.flow[r].entry(s).or_insert(0) += k;
            self.used[s] += take;
            self.extra[s] += extra;
        } else {
            if let Some(n) = self.flow[r].get_mut(&s) {
                *n = n.saturating_sub(k);
            }
            self.flow[r].retain(|_, n| *n > 0);
            self.used[s] = self.used[s].saturating_sub(take);
            self.extra[s] = self.extra[s].saturating_sub(extra);
        }
        self.reprice(s);
    }

    /// Pieces wanted of source `s` with so many fitted and so many to select from, and what they cost.
    fn priced(&self, s: usize, used: u32, extra: u32) -> (u32, i64) {
        let src = &self.model.sources[s];
        let need = used + extra + self.model.rules.spare(src.class, used);
        (need, src.cheapest(need).map_or(UNLAWFUL, |c| c.1).max(self.floor[s]))
    }

    fn reprice(&mut self, s: usize) {
        let src = &self.model.sources[s];
        let (need, cost) = self.priced(s, self.used[s], self.extra[s]);
        let dearer = cost - self.cost_of[s];
        let was = self.need[s];
        self.cost_of[s] = cost;
        self.need[s] = need;
        let Some(v) = src.sup else {
            self.total += dearer;
            return;
        };
        self.total -= self.charge(v);
        self.goods[v] += dearer;
        if was == 0 && need > 0 {
            self.lines[v] += 1;
            self.open += u32::from(self.lines[v] == 1);
        } else if was > 0 && need == 0 {
            self.lines[v] -= 1;
            self.open -= u32::from(self.lines[v] == 0);
        }
        self.total += self.charge(v);
    }

    /// Charges supplier `v` on other terms from now on; gives back the terms it had.
    pub(super) fn charge_as(&mut self, v: usize, bands: Vec<Band>) -> Vec<Band> {
        self.total -= self.charge(v);
        let before = std::mem::replace(&mut self.bands[v], bands);
        self.total += self.charge(v);
        before
    }

    /// What supplier `v` charges, goods and all.
    fn charge(&self, v: usize) -> i64 {
        self.charge_for(v, self.lines[v], self.goods[v])
    }

    /// What supplier `v` would charge for so many lines with goods of this sum.
    fn charge_for(&self, v: usize, lines: u32, goods: i64) -> i64 {
        if lines == 0 {
            return 0;
        }
        let charged = self.bands[v].iter().map(|b| b.fixed + goods.max(b.least)).min();
        charged.unwrap_or(UNLAWFUL + goods)
    }

    /// The cost, thresholds reached by paying for nothing; at least [`UNLAWFUL`] where it cannot be.
    pub(super) fn cost(&self) -> i64 {
        let over = self.model.max_suppliers.map_or(0, |most| self.open.saturating_sub(most));
        self.total + UNLAWFUL * i64::from(over)
    }

    /// Whether anything is bought of the supplier.
    pub(super) fn is_open(&self, v: usize) -> bool {
        self.lines[v] > 0
    }

    /// The suppliers that anything is bought of.
    pub(super) fn open_set(&self) -> Vec<usize> {
        (0..self.lines.len()).filter(|v| self.is_open(*v)).collect()
    }

    /// Whether anything is taken of the source.
    pub(super) fn takes(&self, s: usize) -> bool {
        self.need[s] > 0
    }

    /// How source `s` would stand with `k` chunks of row `r` more or fewer.
    fn with(&self, r: usize, s: usize, k: u32, added: bool) -> With {
        let (take, extra) = (self.model.rows[r].take * k, self.model.rows[r].extra * k);
        let change = |n: u32, by: u32| if added { n + by } else { n.saturating_sub(by) };
        let (need, cost) = self.priced(s, change(self.used[s], take), change(self.extra[s], extra));
        With { s, need, cost }
    }

    /// Whether the goods of supplier `v` are more than a fifth away from each of its thresholds.
    pub(super) fn is_clear(&self, v: usize) -> bool {
        let goods = self.goods[v];
        self.bands[v]
            .iter()
            .filter(|b| b.least > 0)
            .all(|b| goods > b.least + b.least / 5 || goods < b.least - b.least / 5)
    }

    /// What source `s` would cost more with so many pieces more.
    pub(super) fn more(&self, s: usize, used: u32, extra: u32) -> i64 {
        self.priced(s, self.used[s] + used, self.extra[s] + extra).1 - self.cost_of[s]
    }

    /// By how much the plan would be dearer if `k` chunks of row `r` went from one source to another.
    pub(super) fn if_moved(&self, r: usize, (from, to): (usize, usize), k: u32) -> i64 {
        self.dearer(&[self.with(r, from, k, false), self.with(r, to, k, true)])
    }

    /// By how much [`cost`](Self::cost) would change if these sources, each another one, stood like that.
    fn dearer(&self, changed: &[With]) -> i64 {
        let (mut total, mut open) = (0, self.open);
        for (n, one) in changed.iter().enumerate() {
            let Some(v) = self.model.sources[one.s].sup else {
                total += one.cost - self.cost_of[one.s];
                continue;
            };
            let same = |o: &&With| self.model.sources[o.s].sup == Some(v);
            if changed.iter().take(n).any(|o| same(&o)) {
                continue;
            }
            let (mut goods, mut lines) = (self.goods[v], self.lines[v]);
            for o in changed.iter().filter(same) {
                goods += o.cost - self.cost_of[o.s];
                lines = lines + u32::from(o.need > 0) - u32::from(self.need[o.s] > 0);
            }
            total += self.charge_for(v, lines, goods) - self.charge(v);
            open = open + u32::from(lines > 0) - u32::from(self.lines[v] > 0);
        }
        let over = |open: u32| self.model.max_suppliers.map_or(0, |most| open.saturating_sub(most));
        total + UNLAWFUL * (i64::from(over(open)) - i64::from(over(self.open)))
    }

    /// Adds `k` chunks of row `r` where they cost least, as many at a time as go; false where they do not go.
    pub(super) fn assign(&mut self, r: usize, k: u32, barred: impl Fn(usize) -> bool) -> bool {
        let model = self.model;
        let mut left = k;
        while left > 0 {
            let mut best: Option<(i64, u32, usize)> = None;
            for s in model.rows[r].any_of.iter().copied().filter(|s| !barred(*s)) {
                let room = model.sources[s].most().saturating_sub(self.need[s]) / model.rows[r].weight().max(1);
                let n = left.min(room);
                if n == 0 || !self.usable(s) {
                    continue;
                }
                let more = self.with(r, s, n, true);
                let each = self.dearer(&[more]) * 1_000 / i64::from(n);
                let lawful = more.cost < UNLAWFUL;
                if lawful && best.is_none_or(|b| each < b.0 || (each == b.0 && n > b.1)) {
                    best = Some((each, n, s));
                }
            }
            let Some((_, n, s)) = best else { return false };
            self.add(r, s, n, true);
            left -= n;
        }
        true
    }

    /// Removes `k` chunks of row `r` where that saves most.
    pub(super) fn withdraw(&mut self, r: usize, k: u32) {
        let mut left = k;
        while left > 0 {
            let held: Vec<(usize, u32)> = self.flow[r].iter().map(|(s, n)| (*s, *n)).collect();
            let mut best: Option<(i64, usize, u32)> = None;
            for (s, n) in held {
                let n = n.min(left);
                let each = self.dearer(&[self.with(r, s, n, false)]) * 1_000 / i64::from(n);
                if best.is_none_or(|b| each < b.0) {
                    best = Some((each, s, n));
                }
            }
            let Some((_, s, n)) = best else { return };
            self.add(r, s, n, false);
            left -= n;
        }
    }

    /// The plan, each source in its cheapest quantity.
    pub(super) fn plan(&self) -> Plan {
        let quantity = self.need.iter().enumerate().map(|(s, n)| self.model.sources[s].cheapest(*n).map_or(0, |c| c.0));
        Plan {
            ways: self.ways.clone(),
            flow: self.flow.iter().map(|f| f.iter().map(|(s, n)| (*s, *n)).collect()).collect(),
            quantity: quantity.collect(),
        }
    }

    /// Takes over a plan.
    pub(super) fn load(&mut self, plan: &Plan) {
        for (r, flow) in plan.flow.iter().enumerate() {
            for (s, k) in flow {
                self.add(r, *s, *k, true);
            }
        }
        self.ways.clone_from(&plan.ways);
        self.keep();
    }
}
