//! The cheapest way of filling a part of an order, exactly, by taking its rows out one after the other.
//!
//! A source ties together only the few rows that it serves. The row with the smallest neighbourhood goes first: what
//! its sources can do is put together into one table, the least cost of every number of chunks of each row in the
//! neighbourhood, and the table stands for these sources from then on. As long as few rows are next to each other the
//! tables stay small, however long the order is. Where a supplier's threshold is watched, a table keeps of each place
//! every cost that no other beats in cost and in goods.
//!
//! The prices of the rows say of each entry by how much it is above the bound already. What is further above it than
//! the limit is, is left out; so that the bound is close, sources of the same rows are put together first, and the
//! prices moved once more.

use std::collections::{BTreeMap, BTreeSet};

use super::clock::Clock;
use super::factor::{self, Asked, Factor, Prices, factors};
use super::merged::{Merged, reprice};
use super::model::Model;
use super::node::Node;
use super::paid::{Paid, Terms};
use super::plan::Plan;
use super::table::{Table, real};
use super::tabled::{Bucket, Limits, Steps};

/// Most places of a table that is made before the rows are taken out, and the steps that it may take.
const GATHERED: (usize, u64) = (1_000, 200_000);

/// Most steps of everything.
const WORK: u64 = 8_000_000;

/// Most entries that are held for all tables: some fifty bytes each.
const HELD: usize = 3_000_000;

/// Most places of a table, so that they can be counted.
const PLACES: usize = 1 << 48;

/// Steps that take as long as looking at a source once.
const STEPS: u64 = 16;

/// What came of it.
pub(super) enum Eliminated {
    /// The least cost in grains, and a plan that has it.
    Plan(f64, Plan),
    /// There is no way at or below the limit.
    Dear,
    /// Too many rows are next to each other.
    TooWide,
}

/// The factors, and what is known of them at the prices.
struct Eliminator {
    asked: Asked,
    terms: Terms,
    prices: Prices,
    factors: Table<Factor>,
    /// Numbers of the factors that are not part of another.
    open: BTreeSet<usize>,
    /// The tables so far, each with its entries after each factor; the factor of the first comes after the sources
    /// and classes, and so on.
    tables: Vec<(Bucket, Steps)>,
    /// What is left of the limit above the bound, ten-thousandths.
    room: f64,
    work: u64,
    /// Entries of all tables.
    held: usize,
}

/// The cheapest way of filling the classes of a node from its sources, if it costs no more than `limit` (grains).
pub(super) fn cheapest(model: &Model, node: &Node, terms: &Terms, limit: f64, clock: &Clock) -> Eliminated {
    let Some((asked, factors)) = factors(model, node, terms) else { return Eliminated::TooWide };
    let grain = real(model.grain);
    let row = asked.rows.iter().map(|r| node.price[*r] * grain).collect();
    let mut eliminator = Eliminator {
        prices: Prices { row, discount: terms.discount },
        asked,
        terms: terms.clone(),
        open: (0..factors.len()).collect(),
        factors,
        tables: Vec::new(),
        room: 0.0,
        work: 0,
        held: 0,
    };
    eliminator.rebase();
    eliminator.room = room(limit * grain, eliminator.bound());
    let outcome = eliminator.run(model, node, limit, clock);
    clock.spend(eliminator.work / STEPS);
    if let Err(outcome) = outcome {
        return outcome;
    }
    let (cost, chosen) = eliminator.trace();
    if cost > limit * grain + ROUNDING {
        return Eliminated::Dear;
    }
    Eliminated::Plan(cost / grain, factor::plan(model, node, &eliminator.asked, &eliminator.factors, &chosen))
}

/// Half a ten-thousandth: nothing is lost by rounding.
const ROUNDING: f64 = 0.5;

fn room(limit: f64, bound: f64) -> f64 {
    limit - bound + ROUNDING + 1e-9 * bound.abs()
}

impl Eliminator {
    fn run(&mut self, model: &Model, node: &Node, limit: f64, clock: &Clock) -> Result<(), Eliminated> {
        self.gather()?;
        let factors = self.open.iter().map(|n| &self.factors[*n]);
        let merged = Merged::new(factors, &self.asked, &self.terms, real(model.grain));
        let (prices, bound) = reprice(merged, node, &self.prices, limit, clock);
        self.prices = prices;
        self.rebase();
        self.room = room(limit * real(model.grain), bound);
        if self.room < 0.0 {
            return Err(Eliminated::Dear);
        }
        for bucket in order(&self.asked, &self.factors, &self.open).ok_or(Eliminated::TooWide)? {
            self.put_together(bucket, WORK)?;
        }
        Ok(())
    }

    /// Computes anew what each factor adds to the bound.
    fn rebase(&mut self) {
        for factor in self.factors.iter_mut() {
            factor.base = factor.least(&self.prices);
        }
    }

    /// What everything costs at least, ten-thousandths.
    fn bound(&self) -> f64 {
        let worth: f64 = self.prices.row.iter().zip(self.asked.most.iter()).map(|(p, n)| p * f64::from(*n)).sum();
        let discount = self.prices.discount * real(self.terms.least);
        worth + self.terms.fixed + discount + self.open.iter().map(|n| self.factors[*n].base).sum::<f64>()
    }

    /// Puts together what serves the same rows, or some of them, where that stays small.
    fn gather(&mut self) -> Result<(), Eliminated> {
        let mut groups: BTreeMap<(usize, Vec<usize>), Vec<usize>> = BTreeMap::new();
        for (n, factor) in self.factors.iter().enumerate() {
            groups.entry((factor.rows.len(), factor.rows.clone())).or_default().push(n);
        }
        for ((_, scope), factors) in groups.into_iter().filter(|(_, list)| list.len() > 1) {
            self.attempt(Bucket { row: None, scope, factors })?;
        }
        let mut small: Vec<usize> = self.open.iter().copied().collect();
        small.sort_by_key(|n| self.factors[*n].rows.len());
        for n in small {
            let rows = &self.factors[n].rows;
            let within = |o: &usize| {
                let scope = &self.factors[*o].rows;
                let larger = scope.len() > rows.len() && rows.iter().all(|r| scope.contains(r));
                larger.then(|| self.asked.places(scope)).flatten().map(|places| (places, *o))
            };
            let into = self.open.iter().filter_map(within).min();
            if let Some((_, into)) = into.filter(|_| self.open.contains(&n)) {
                let scope = self.factors[into].rows.clone();
                self.attempt(Bucket { row: None, scope, factors: vec![n, into] })?;
            }
        }
        Ok(())
    }

    /// Puts factors together if that stays small.
    fn attempt(&mut self, bucket: Bucket) -> Result<(), Eliminated> {
        if self.asked.places(&bucket.scope).is_none_or(|n| n > GATHERED.0) {
            return Ok(());
        }
        match self.put_together(bucket, self.work + GATHERED.1) {
            Err(Eliminated::TooWide) => Ok(()),
            outcome => outcome,
        }
    }

    /// Puts factors together into one, in so many steps of everything at most.
    fn put_together(&mut self, bucket: Bucket, most: u64) -> Result<(), Eliminated> {
        let limits = Limits::new(self.room, self.terms.least, most.saturating_sub(self.work));
        let (table, work) = bucket.table(&self.asked, &self.factors, &self.prices, limits);
        self.work += work;
        let (mut message, steps) = table.ok_or(Eliminated::TooWide)?;
        self.held += steps.iter().map(Vec::len).sum::<usize>();
        if self.held > HELD {
            return Err(Eliminated::TooWide);
        }
        // Together the factors cost at least as much as each by itself.
        let together = message.least(&self.prices).max(message.base);
        self.room -= together - message.base;
        message.base = together;
        if message.choices.is_empty() || self.room < 0.0 {
            return Err(Eliminated::Dear);
        }
        for n in &bucket.factors {
            self.open.remove(n);
        }
        self.open.insert(self.factors.push(message));
        self.tables.push((bucket, steps));
        Ok(())
    }

    /// The least cost, ten-thousandths, and what is chosen of each factor.
    fn trace(&self) -> (f64, Table<Option<usize>>) {
        let mut chosen: Table<Option<usize>> = Table::filled(None, self.factors.len());
        let cost = self.last(&mut chosen);
        let first = self.factors.len() - self.tables.len();
        for (n, (bucket, steps)) in self.tables.iter().enumerate().rev() {
            let taken = chosen[first + n].and_then(|taken| self.factors[first + n].choices.get(taken));
            let mut entry = taken.map_or(0, |choice| choice.entry);
            for (f, step) in bucket.factors.iter().zip(steps).rev() {
                if let Some((before, choice)) = step.get(entry).map(|e| e.from) {
                    chosen[*f] = Some(choice as usize);
                    entry = before as usize;
                }
            }
        }
        (cost, chosen)
    }

    /// Puts together what is left in the end, which has no rows any more, and chooses there; the cost.
    fn last(&self, chosen: &mut Table<Option<usize>>) -> f64 {
        let mut ends: Vec<(Paid, Vec<usize>)> = vec![(Paid::default(), Vec::new())];
        for factor in self.open.iter().map(|n| &self.factors[*n]) {
            let mut sums: Vec<(Paid, Vec<usize>)> = Vec::new();
            for (paid, path) in &ends {
                sums.extend(factor.choices.iter().enumerate().map(|(n, choice)| {
                    let path = path.iter().copied().chain(std::iter::once(n)).collect();
                    (paid.with(choice.paid, self.terms.least), path)
                }));
            }
            sums.sort_by(|a, b| a.0.cost.total_cmp(&b.0.cost).then(b.0.goods.cmp(&a.0.goods)).then(a.1.cmp(&b.1)));
            ends.clear();
            for end in sums {
                if ends.last().is_none_or(|last| !last.0.covers(end.0)) {
                    ends.push(end);
                }
            }
        }
        let whole = |end: &(Paid, Vec<usize>)| self.terms.whole(end.0);
        let Some(best) = ends.iter().min_by(|a, b| whole(a).total_cmp(&whole(b))) else { return f64::INFINITY };
        for (n, choice) in self.open.iter().zip(&best.1) {
            chosen[*n] = Some(*choice);
        }
        whole(best)
    }
}

/// The order in which rows go, with the factors that each table is made of; none where a table cannot be counted.
fn order(asked: &Asked, factors: &Table<Factor>, open: &BTreeSet<usize>) -> Option<Vec<Bucket>> {
    let mut near: Table<BTreeSet<usize>> = (0..asked.rows.len()).map(|r| BTreeSet::from([r])).collect();
    let mut scopes: BTreeMap<usize, Vec<usize>> = open.iter().map(|n| (*n, factors[*n].rows.clone())).collect();
    for rows in scopes.values() {
        for r in rows {
            near[*r].extend(rows);
        }
    }
    let mut left: BTreeSet<usize> = (0..asked.rows.len()).collect();
    let mut buckets = Vec::with_capacity(left.len());
    while !left.is_empty() {
        let places = |r: &usize| near[*r].iter().try_fold(1usize, |n, x| n.checked_mul(asked.most[*x] as usize + 1));
        let (size, row) = left.iter().map(|r| (places(r).unwrap_or(usize::MAX), *r)).min()?;
        if size > PLACES {
            return None;
        }
        left.remove(&row);
        let list: Vec<usize> = scopes.iter().filter(|(_, rows)| rows.contains(&row)).map(|(n, _)| *n).collect();
        for n in &list {
            scopes.remove(n);
        }
        let scope: Vec<usize> = near[row].iter().copied().collect();
        let rest: Vec<usize> = scope.iter().copied().filter(|r| *r != row).collect();
        for r in &rest {
            near[*r].extend(&rest);
            near[*r].remove(&row);
        }
        scopes.insert(factors.len() + buckets.len(), rest);
        buckets.push(Bucket { row: Some(row), scope, factors: list });
    }
    Some(buckets)
}
