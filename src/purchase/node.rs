//! A part of the search: what is still allowed, and the prices that bound it.
//!
//! The demand of each row is priced, the goods of each supplier are discounted by what helps to
//! reach its threshold, and then every source decides by itself. The sum is a lower bound of every
//! plan within the node, a threshold reached by paying for nothing included.

use std::rc::Rc;

use super::model::{Model, Seg, Src, Sup, Way};
use super::table::{Table, real};

/// What is still allowed, with the prices found so far.
#[derive(Debug, Clone)]
pub(super) struct Node {
    /// Classes whose demand is in it.
    pub(super) classes: Vec<usize>,
    /// Suppliers whose terms are in it.
    pub(super) suppliers: Vec<usize>,
    /// Sources whose supplier's terms are not: the shelf, and suppliers that are ordered from anyway.
    pub(super) plain: Vec<usize>,
    /// Ways of being charged by supplier, as indices of its bands; none: closed.
    pub(super) options: Table<Vec<Option<usize>>>,
    pub(super) segs: Table<Rc<Vec<Seg>>>,
    /// Sources that must be bought.
    pub(super) must: Table<bool>,
    /// Rows that a source may still serve.
    pub(super) rows: Table<Rc<Vec<usize>>>,
    /// Price of one chunk of each row, grains.
    pub(super) price: Table<f64>,
    /// Discount on the goods, by supplier and band.
    pub(super) discount: Table<Vec<f64>>,
    /// How far the price of each row may be expected to move.
    pub(super) scale: Rc<Table<f64>>,
    /// How long the steps of the prices were at last; 0 at first.
    pub(super) length: f64,
    /// Of each source: what the mixture of answers at the best prices buys.
    pub(super) usage: Table<Usage>,
    /// Lower bound, grains.
    pub(super) bound: f64,
}

/// What a mixture of answers buys of a source.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Usage {
    /// In what part it buys any.
    pub(super) bought: f64,
    /// Pieces on the average.
    pub(super) mean: f64,
    /// In what part it buys more than that.
    pub(super) above: f64,
}

/// The value of the rows to one source: density per piece, pieces and row, dearest first.
pub(super) struct Worths(Vec<(f64, u32, usize)>);

/// What the prices say.
pub(super) struct Priced {
    pub(super) bound: f64,
    /// Chunks asked minus chunks offered, by row.
    pub(super) short: Table<f64>,
    /// Sources that are bought at these prices, and those that are not.
    pub(super) bought: Vec<(usize, bool)>,
    /// By how much the goods of a supplier would miss the threshold of each band, grains.
    pub(super) misses: Vec<(usize, usize, f64)>,
}

impl Node {
    /// Everything allowed; each row priced at what it costs alone.
    pub(super) fn root(model: &Model) -> Self {
        let price = prices_alone(model);
        let scale = price.iter().zip(model.rows.iter()).map(|(p, r)| p.max(0.01) / f64::from(r.most.max(1)).sqrt());
        let closed_or = |v: &Sup| std::iter::once(None).chain((0..v.bands.len()).map(Some)).collect();
        Self {
            classes: (0..model.classes.len()).filter(|c| model.classes[*c].count() > 0).collect(),
            suppliers: (0..model.suppliers.len()).collect(),
            plain: (0..model.sources.len()).filter(|s| model.sources[*s].sup.is_none()).collect(),
            options: model.suppliers.iter().map(closed_or).collect(),
            segs: model.sources.iter().map(|s| Rc::new(s.segs.clone())).collect(),
            must: Table::filled(false, model.sources.len()),
            rows: model.sources.iter().map(|s| Rc::new(s.rows.clone())).collect(),
            scale: Rc::new(scale.collect()),
            price,
            discount: model.suppliers.iter().map(|v| vec![0.0; v.bands.len()]).collect(),
            length: 0.0,
            usage: Table::filled(Usage::default(), model.sources.len()),
            bound: f64::NEG_INFINITY,
        }
    }

    /// Supplier `v` is charged in this way from now on; none: it is closed.
    pub(super) fn charge(&mut self, model: &Model, v: usize, option: Option<usize>) {
        self.options[v] = vec![option];
        if option.is_none() {
            for s in &model.suppliers[v].sources {
                self.segs[*s] = Rc::default();
            }
            self.suppliers.retain(|x| *x != v);
        }
    }

    /// Nothing but `most` pieces or fewer of source `s` from now on.
    pub(super) fn at_most(&mut self, s: usize, most: u32, pack: u32) {
        let cut = |g: &Seg| Some(Seg { hi: g.hi.min(most / pack * pack), ..*g }).filter(|g| g.lo <= g.hi);
        let segs: Vec<Seg> = self.segs[s].iter().filter_map(cut).collect();
        if segs.is_empty() {
            self.rows[s] = Rc::default();
        }
        self.segs[s] = Rc::new(segs);
    }

    /// More than `most` pieces of source `s` from now on.
    pub(super) fn more_than(&mut self, s: usize, most: u32, pack: u32) {
        let least = (most / pack + 1) * pack;
        let cut = |g: &Seg| Some(Seg { lo: g.lo.max(least), ..*g }).filter(|g| g.lo <= g.hi);
        self.segs[s] = Rc::new(self.segs[s].iter().filter_map(cut).collect());
        self.must[s] = true;
    }

    /// Whether it is decided how each supplier is charged.
    pub(super) fn decided(&self) -> bool {
        self.suppliers.iter().all(|v| matches!(self.options[*v].as_slice(), [Some(_)]))
    }

    /// The value of the rows of source `s`.
    pub(super) fn worths(&self, model: &Model, s: usize) -> Worths {
        let row = |r: &usize| {
            let row = &model.rows[*r];
            (self.price[*r] / f64::from(row.weight().max(1)), row.most * row.weight(), *r)
        };
        let mut list: Vec<_> = self.rows[s].iter().map(row).filter(|w| w.0 > 0.0).collect();
        list.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.2.cmp(&b.2)));
        Worths(list)
    }

    /// The least of cost minus value of source `s` at `rate` of its price, and the quantity; 0 for not bought.
    pub(super) fn best(&self, model: &Model, s: usize, worths: &Worths, rate: f64) -> (f64, u32) {
        let idle = if self.must[s] { (f64::INFINITY, 0) } else { (0.0, 0) };
        let flat = model.rules.spare(model.sources[s].class, 1);
        let pack = model.sources[s].pack;
        self.segs[s].iter().fold(idle, |best, seg| {
            let each = rate * real(seg.each) / real(model.grain);
            let this = worths.within(pack, *seg, each, flat);
            if this.0 < best.0 { this } else { best }
        })
    }

    /// The lower bound at the node's prices.
    pub(super) fn priced(&self, model: &Model) -> Priced {
        let mut priced =
            Priced { bound: 0.0, short: Table::filled(0.0, model.rows.len()), bought: Vec::new(), misses: Vec::new() };
        priced.bound = self.ask(model, &mut priced.short);
        for s in self.plain.iter().filter(|s| !self.segs[**s].is_empty()) {
            let worths = self.worths(model, *s);
            let (value, quantity) = self.best(model, *s, &worths, 1.0);
            priced.bound += value;
            worths.offer(model, &model.sources[*s], quantity, &mut priced.short);
            priced.bought.push((*s, quantity > 0));
        }
        for v in &self.suppliers {
            priced.bound += self.supplier(model, *v, &mut priced);
        }
        priced
    }

    /// What the classes ask at these prices, each the way that costs it least.
    fn ask(&self, model: &Model, short: &mut Table<f64>) -> f64 {
        let mut sum = 0.0;
        for class in self.classes.iter().map(|c| &model.classes[*c]) {
            let price = |w: &Way| w.uses.iter().map(|(r, n)| self.price[*r] * f64::from(*n)).sum::<f64>();
            let Some(way) = class.ways.iter().min_by(|a, b| price(a).total_cmp(&price(b))) else { continue };
            sum += price(way) * f64::from(class.count());
            for (r, n) in &way.uses {
                short[*r] += f64::from(*n * class.count());
            }
        }
        sum
    }

    /// The sources of a supplier that are still allowed.
    pub(super) fn live<'a>(&'a self, model: &'a Model, v: usize) -> impl Iterator<Item = usize> + 'a {
        model.suppliers[v].sources.iter().copied().filter(|s| !self.segs[*s].is_empty())
    }

    /// A supplier takes its cheapest option; its part of the bound.
    fn supplier(&self, model: &Model, v: usize, priced: &mut Priced) -> f64 {
        let live: Vec<(usize, Worths)> = self.live(model, v).map(|s| (s, self.worths(model, s))).collect();
        let mut best = (f64::INFINITY, Vec::new());
        for option in &self.options[v] {
            let (fixed, rate) = self.terms(model, v, *option);
            let mut value = fixed;
            let mut quantities = Vec::new();
            if let Some(b) = option {
                let mut goods = 0.0;
                for (s, w) in &live {
                    let (part, quantity) = self.best(model, *s, w, rate);
                    value += part;
                    quantities.push(quantity);
                    goods += real(model.sources[*s].each(quantity).unwrap_or(0)) * f64::from(quantity);
                }
                let least = model.suppliers[v].bands.get(*b).map_or(0, |b| b.least);
                if least > 0 {
                    priced.misses.push((v, *b, (real(least) - goods) / real(model.grain)));
                }
            } else if live.iter().any(|(s, _)| self.must[*s]) {
                value = f64::INFINITY;
            }
            if value < best.0 {
                best = (value, quantities);
            }
        }
        for ((s, w), quantity) in live.iter().zip(&best.1) {
            w.offer(model, &model.sources[*s], *quantity, &mut priced.short);
            priced.bought.push((*s, *quantity > 0));
        }
        best.0
    }

    /// The part of the bound of one option of a supplier.
    pub(super) fn option_value(&self, model: &Model, v: usize, option: Option<usize>) -> f64 {
        if option.is_none() {
            return if self.live(model, v).any(|s| self.must[s]) { f64::INFINITY } else { 0.0 };
        }
        let (fixed, rate) = self.terms(model, v, option);
        fixed + self.live(model, v).map(|s| self.best(model, s, &self.worths(model, s), rate).0).sum::<f64>()
    }

    /// What an option costs besides goods, and the rate at which goods count.
    pub(super) fn terms(&self, model: &Model, v: usize, option: Option<usize>) -> (f64, f64) {
        let Some((b, band)) = option.and_then(|b| Some((b, model.suppliers[v].bands.get(b)?))) else {
            return (0.0, 1.0);
        };
        let discount = self.discount[v].get(b).copied().unwrap_or(0.0);
        let grain = real(model.grain);
        (real(band.fixed) / grain + discount * real(band.least) / grain, 1.0 - discount)
    }
}

/// What a chunk of each row costs if the whole row is bought alone from its cheapest source.
pub(super) fn prices_alone(model: &Model) -> Table<f64> {
    let price = |r: &super::model::Row| {
        let asked = r.most.max(1);
        let costs = r.any_of.iter().filter_map(|s| model.sources[*s].cheapest(asked * r.weight()));
        costs.map(|c| real(c.1) / real(model.grain) / f64::from(asked)).reduce(f64::min).unwrap_or(1.0)
    };
    model.rows.iter().map(price).collect()
}

impl Worths {
    /// The most value that `pieces` can serve.
    fn value(&self, pieces: u32) -> f64 {
        let mut left = pieces;
        let mut sum = 0.0;
        for (density, most, _) in &self.0 {
            let n = left.min(*most);
            sum += density * f64::from(n);
            left -= n;
            if left == 0 {
                break;
            }
        }
        sum
    }

    /// Takes what a source gives at `quantity` off what is short.
    fn offer(&self, model: &Model, src: &Src, quantity: u32, short: &mut Table<f64>) {
        let flat = model.rules.spare(src.class, 1);
        let mut left = quantity.saturating_sub(flat);
        for (_, most, r) in &self.0 {
            let n = left.min(*most);
            short[*r] -= f64::from(n) / f64::from(model.rows[*r].weight());
            left -= n;
            if left == 0 {
                break;
            }
        }
    }

    /// The least of cost minus value within one span of quantities, `off` pieces serving nothing.
    pub(super) fn within(&self, pack: u32, seg: Seg, each: f64, off: u32) -> (f64, u32) {
        let wanted = off + self.0.iter().take_while(|w| w.0 > each).map(|w| w.1).sum::<u32>();
        // Cost minus value is convex in the number of packs, so the least is next to where value falls below cost.
        let low = (wanted / pack * pack).clamp(seg.lo, seg.hi);
        let high = (low + pack).clamp(seg.lo, seg.hi);
        let at = |q: u32| (each * f64::from(q) - self.value(q.saturating_sub(off)), q);
        let (low, high) = (at(low), at(high));
        if high.0 < low.0 { high } else { low }
    }
}
