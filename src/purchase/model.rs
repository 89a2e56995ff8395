//! The problem in canonical form: sorted by content, like merged with like.
//!
//! Everything after this file sees only this form, so that the order of the rows of the input
//! cannot reach the result. Positions with the same ways become one class with a count; demands
//! with the same sources become one row.

use std::collections::BTreeMap;

use super::problem::{Arrangement, Problem, Source};
use super::table::{Table, count};

/// A supplier's terms in ten-thousandths.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Sup {
    pub(super) id: usize,
    /// The ways in which an order with it can be charged.
    pub(super) bands: Vec<Band>,
    /// Its sources in the canonical table.
    pub(super) sources: Vec<usize>,
}

/// One way of being charged: `fixed` on top of the goods, if the goods reach `least`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Band {
    pub(super) fixed: i64,
    pub(super) least: i64,
}

/// Quantities `lo..=hi` in steps of the pack at one price.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Seg {
    pub(super) lo: u32,
    pub(super) hi: u32,
    pub(super) each: i64,
}

/// An offer or a shelf line.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Src {
    pub(super) id: usize,
    pub(super) sup: Option<usize>,
    pub(super) pack: u32,
    pub(super) segs: Vec<Seg>,
    pub(super) class: Option<usize>,
    pub(super) life: u32,
    /// Place of its number among all numbers, for ties.
    pub(super) rank: usize,
    /// Most pieces that all rows together could take, spares included.
    pub(super) useful: u32,
    /// Rows that it can serve.
    pub(super) rows: Vec<usize>,
}

/// Chunks of `take` pieces (and `extra` to select from), each from one of the sources.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Row {
    pub(super) any_of: Vec<usize>,
    pub(super) take: u32,
    pub(super) extra: u32,
    /// Most chunks that could be asked of it.
    pub(super) most: u32,
}

/// Positions with the same ways.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Class {
    pub(super) ways: Vec<Way>,
    /// Of each member: its index in the problem and, for each way, the arrangement meant.
    pub(super) members: Vec<(usize, Vec<usize>)>,
}

/// A way of filling a position: chunks of rows.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Way {
    pub(super) uses: Vec<(usize, u32)>,
    pub(super) life: u32,
}

/// The canonical problem.
#[derive(Debug, Clone)]
pub(super) struct Model {
    pub(super) sources: Table<Src>,
    pub(super) suppliers: Table<Sup>,
    pub(super) rows: Table<Row>,
    pub(super) classes: Table<Class>,
    /// Every amount is a multiple of this many ten-thousandths.
    pub(super) grain: i64,
    pub(super) max_suppliers: Option<u32>,
    pub(super) rules: super::problem::Rules,
    /// Positions without any arrangement that could be bought, by index in the problem.
    pub(super) hopeless: Vec<usize>,
}

impl Row {
    /// Pieces bought for one chunk, without spares.
    pub(super) fn weight(&self) -> u32 {
        self.take + self.extra
    }
}

impl Class {
    pub(super) fn count(&self) -> u32 {
        count(self.members.len() as u64)
    }
}

impl Src {
    /// The cheapest lawful purchase of at least `n` pieces: quantity and cost.
    pub(super) fn cheapest(&self, n: u32) -> Option<(u32, i64)> {
        if n == 0 {
            return Some((0, 0));
        }
        let need = n.div_ceil(self.pack).saturating_mul(self.pack);
        let lawful = |g: &Seg| (need <= g.hi).then(|| need.max(g.lo)).map(|q| (g.each * i64::from(q), q));
        self.segs.iter().filter_map(lawful).min().map(|(cost, q)| (q, cost))
    }

    /// The most pieces that can be had.
    pub(super) fn most(&self) -> u32 {
        self.segs.iter().map(|g| g.hi).max().unwrap_or(0)
    }

    /// The unit price at `quantity`, if that quantity can be bought.
    pub(super) fn each(&self, quantity: u32) -> Option<i64> {
        let lawful = |g: &&Seg| (g.lo..=g.hi).contains(&quantity) && quantity.is_multiple_of(self.pack);
        self.segs.iter().find(lawful).map(|g| g.each)
    }
}

impl Model {
    /// Builds the canonical form. The problem has passed its check.
    pub(super) fn new(problem: &Problem) -> Self {
        let (mut sources, of_source) = sorted_sources(problem);
        let suppliers = sorted_suppliers(problem, &mut sources);
        let mut model = Self {
            sources,
            suppliers,
            rows: Table::new(),
            classes: Table::new(),
            grain: 1,
            max_suppliers: problem.rules.max_suppliers,
            rules: problem.rules.clone(),
            hopeless: Vec::new(),
        };
        model.merge(problem, &of_source);
        model.settle(problem);
        model
    }

    /// Recomputes what hangs on the counts of the classes.
    pub(super) fn settle(&mut self, problem: &Problem) {
        let mut most: Table<u64> = Table::filled(0, self.rows.len());
        for class in self.classes.iter() {
            let mut asked: BTreeMap<usize, u32> = BTreeMap::new();
            for (r, times) in class.ways.iter().flat_map(|w| w.uses.iter()) {
                let a = asked.entry(*r).or_insert(0);
                *a = (*a).max(*times);
            }
            for (r, times) in asked {
                most[r] += u64::from(times) * u64::from(class.count());
            }
        }
        let mut rows: Table<Vec<usize>> = Table::filled(Vec::new(), self.sources.len());
        for (r, n) in most.iter().enumerate() {
            self.rows[r].most = count(*n);
            for s in &self.rows[r].any_of {
                rows[*s].push(r);
            }
        }
        for (s, rows) in rows.iter().enumerate() {
            let pieces = |of: fn(&Row) -> u32| {
                let each = |r: &usize| u64::from(self.rows[*r].most) * u64::from(of(&self.rows[*r]));
                rows.iter().map(each).sum::<u64>()
            };
            let (used, extra) = (pieces(|r| r.take), pieces(|r| r.extra));
            let spare = self.rules.spare(self.sources[s].class, count(used));
            self.sources[s].useful = count(used + extra + u64::from(spare));
            self.sources[s].rows.clone_from(rows);
        }
        self.segments(problem);
        self.grain = self.common_measure();
    }

    fn segments(&mut self, problem: &Problem) {
        for s in 0..self.sources.len() {
            let src = &self.sources[s];
            let top = src.sup.map_or(0, |v| self.suppliers[v].bands.iter().map(|b| b.least).max().unwrap_or(0));
            let segs = problem.sources.get(src.id).map(|o| segments(o, src.useful, top)).unwrap_or_default();
            self.sources[s].segs = segs;
        }
    }

    fn common_measure(&self) -> i64 {
        let prices = self.sources.iter().flat_map(|s| s.segs.iter().map(|g| g.each));
        let terms = self.suppliers.iter().flat_map(|v| v.bands.iter().flat_map(|b| [b.fixed, b.least]));
        prices.chain(terms).fold(0, gcd).max(1)
    }

    fn merge(&mut self, problem: &Problem, of_source: &[usize]) {
        let mut rows: BTreeMap<(Vec<usize>, u32, u32), usize> = BTreeMap::new();
        let mut keyed = Vec::new();
        for (p, position) in problem.positions.iter().enumerate() {
            let ways: Vec<_> =
                position.arrangements.iter().map(|a| (plain(a, of_source), a.life_hours)).enumerate().collect();
            let mut ways: Vec<_> = ways.into_iter().filter(|(_, w)| w.0.keys().all(|k| !k.0.is_empty())).collect();
            ways.sort_by(|a, b| a.1.cmp(&b.1).then(a.0.cmp(&b.0)));
            ways.dedup_by(|b, a| a.1 == b.1);
            for key in ways.iter().flat_map(|(_, w)| w.0.keys()) {
                rows.entry(key.clone()).or_default();
            }
            keyed.push((p, ways));
        }
        for (n, (key, id)) in rows.iter_mut().enumerate() {
            *id = n;
            self.rows.push(Row { any_of: key.0.clone(), take: key.1, extra: key.2, most: 0 });
        }
        let mut classes: BTreeMap<Vec<Way>, Vec<(usize, Vec<usize>)>> = BTreeMap::new();
        for (p, ways) in keyed {
            if ways.is_empty() {
                self.hopeless.push(p);
                continue;
            }
            let arrangements = ways.iter().map(|w| w.0).collect();
            let ways = ways.into_iter().map(|(_, w)| Way {
                uses: w.0.iter().filter_map(|(k, n)| rows.get(k).map(|r| (*r, *n))).collect(),
                life: w.1,
            });
            classes.entry(ways.collect()).or_default().push((p, arrangements));
        }
        for (ways, mut members) in classes {
            members.sort_by_key(|m| problem.positions.get(m.0).map(|p| p.key.as_str()));
            self.classes.push(Class { ways, members });
        }
    }
}

/// An arrangement as chunks by (sources, take, extra), in canonical numbers.
fn plain(arrangement: &Arrangement, of_source: &[usize]) -> BTreeMap<(Vec<usize>, u32, u32), u32> {
    let mut chunks = BTreeMap::new();
    for demand in arrangement.demands.iter().filter(|d| d.count > 0) {
        let mut any_of: Vec<usize> = demand.any_of.iter().filter_map(|s| of_source.get(*s).copied()).collect();
        any_of.sort_unstable();
        any_of.dedup();
        let (take, times) = if demand.same_source { (demand.count, 1) } else { (1, demand.count) };
        *chunks.entry((any_of, take, demand.select_extra)).or_insert(0) += times;
    }
    chunks
}

/// Sources by supplier's name, number and content; with the way back from the problem's indices.
fn sorted_sources(problem: &Problem) -> (Table<Src>, Vec<usize>) {
    let name = |s: &Source| s.supplier.and_then(|v| problem.suppliers.get(v)).map(|v| v.name.as_str());
    let key = |s: &Source| (s.number.clone(), s.tiers.clone(), s.pack, s.minimum, s.stock, s.spares, s.life_hours);
    let mut order: Vec<usize> = (0..problem.sources.len()).collect();
    let at = |i: &usize| problem.sources.get(*i).map(|s| (name(s), key(s)));
    order.sort_by_cached_key(at);
    let mut ranks: Vec<_> = order
        .iter()
        .enumerate()
        .map(|(i, id)| (i, problem.sources.get(*id).map(|s| (s.number.as_str(), name(s)))))
        .collect();
    ranks.sort_by(|a, b| a.1.cmp(&b.1).then(a.0.cmp(&b.0)));
    let mut rank = vec![0; order.len()];
    for (place, (i, _)) in ranks.iter().enumerate() {
        if let Some(r) = rank.get_mut(*i) {
            *r = place;
        }
    }
    let mut of_source = vec![0; order.len()];
    let mut sources = Table::new();
    for ((i, id), rank) in order.iter().enumerate().zip(rank) {
        if let (Some(o), Some(s)) = (of_source.get_mut(*id), problem.sources.get(*id)) {
            *o = i;
            sources.push(Src {
                id: *id,
                sup: s.supplier,
                pack: s.pack,
                segs: Vec::new(),
                class: s.spares,
                life: s.life_hours,
                rank,
                useful: 0,
                rows: Vec::new(),
            });
        }
    }
    (sources, of_source)
}

/// Suppliers by name; renumbers them in the sources.
fn sorted_suppliers(problem: &Problem, sources: &mut Table<Src>) -> Table<Sup> {
    let mut order: Vec<usize> = (0..problem.suppliers.len()).collect();
    order.sort_by_key(|v| problem.suppliers.get(*v).map(|v| v.name.as_str()));
    let mut suppliers: Table<Sup> = Table::new();
    for id in &order {
        let bands = problem.suppliers.get(*id).map(bands).unwrap_or_default();
        suppliers.push(Sup { id: *id, bands, sources: Vec::new() });
    }
    for s in 0..sources.len() {
        let place = sources[s].sup.and_then(|v| order.iter().position(|o| *o == v));
        sources[s].sup = place;
        if let Some(v) = place {
            suppliers[v].sources.push(s);
        }
    }
    suppliers
}

/// The ways in which an order can be charged; one that another beats at every sum is left out.
fn bands(terms: &super::problem::Supplier) -> Vec<Band> {
    let carriage = terms.carriage.ten_thousandths();
    let free = terms.free_over.map(crate::money::Money::ten_thousandths);
    let least = terms.minimum_order.map_or(0, crate::money::Money::ten_thousandths);
    let small = terms.small_order_fee.map(crate::money::Money::ten_thousandths);
    let mut all = vec![Band { fixed: carriage, least }];
    if let Some(free) = free {
        all.push(Band { fixed: 0, least: free.max(least) });
    }
    if let Some(fee) = small {
        all.push(Band { fixed: carriage + fee, least: 0 });
        all.extend(free.map(|least| Band { fixed: fee, least }));
    }
    all.sort_by_key(|b| (b.least, b.fixed));
    let mut kept: Vec<Band> = Vec::new();
    for band in all {
        if kept.last().is_none_or(|k| band.fixed < k.fixed) {
            kept.push(band);
        }
    }
    kept
}

/// What can be bought of an offer and could be of use: its tiers cut to packs, stock, the most
/// that is needed, and what a supplier's threshold `top` could ask beyond.
fn segments(offer: &Source, useful: u32, top: i64) -> Vec<Seg> {
    let pack = offer.pack;
    let up = |n: u32| n.div_ceil(pack).saturating_mul(pack);
    let stock = offer.stock.unwrap_or(u32::MAX);
    let enough = up(useful.max(offer.minimum).max(1));
    let mut segs = Vec::new();
    for (i, tier) in offer.tiers.iter().enumerate() {
        let each = tier.each.ten_thousandths();
        let lo = up(tier.from.max(offer.minimum).max(1));
        let end = offer.tiers.get(i + 1).map_or(u32::MAX, |next| next.from.saturating_sub(1)).min(stock);
        let beyond = if each > 0 { u32::try_from(top / each + 1).unwrap_or(u32::MAX) } else { 0 };
        let reach = up(enough.max(lo).saturating_add(beyond).min(super::problem::MOST_PIECES * 8));
        let hi = end.min(reach) / pack * pack;
        if lo <= hi {
            segs.push(Seg { lo, hi, each });
        }
    }
    segs
}

fn gcd(a: i64, b: i64) -> i64 {
    if b == 0 { a } else { gcd(b, a % b) }
}
