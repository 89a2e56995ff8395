//! The relaxed problem at given prices, laid out flat so that it can be asked thousands of times.
//!
//! With a price on each row's demand every source decides by itself how much it sells, and every
//! supplier which way it is charged. The discount by which a supplier's goods help to reach its
//! threshold is not moved beside the prices but settled here, at its best for the prices: what the
//! supplier then sells is a mixture of two answers whose goods meet the threshold exactly, and that
//! mixture is the direction in which the prices see the threshold.

use super::model::Model;
use super::node::Node;
use super::offer::Offer;
use super::table::{Table, real};

/// Most answers that are asked for to settle one discount.
const ANSWERS: u32 = 9;

/// A function of prices that bounds every plan of a node from below, whatever the prices.
pub(super) trait Relaxed {
    /// The bound at a point: the prices of the rows of [`rows`](Self::rows), then what else is priced.
    fn ask(&mut self, point: &Table<f64>) -> Answer;
    /// The rows that are priced.
    fn rows(&self) -> &[usize];
    /// Sources that an answer looks at.
    fn size(&self) -> u64;
}

/// What the prices say.
#[derive(Debug, Clone)]
pub(super) struct Answer {
    /// No plan of the node costs less, grains.
    pub(super) bound: f64,
    /// By how much the bound rises with each price: chunks asked minus chunks offered, by row.
    pub(super) slope: Table<f64>,
    /// What is bought of each source.
    pub(super) bought: Vec<Bought>,
}

/// So many pieces of a source, in this part of a mixture.
#[derive(Debug, Clone, Copy)]
pub(super) struct Bought {
    pub(super) s: usize,
    pub(super) part: f64,
    pub(super) quantity: u32,
}

/// A way of being charged that is still open.
#[derive(Debug, Clone, Copy)]
struct Charge {
    band: usize,
    fixed: f64,
    least: f64,
}

#[derive(Debug, Clone)]
struct Seller {
    v: usize,
    offers: Vec<Offer>,
    charges: Vec<Charge>,
    /// Whether it may be left out.
    closed: bool,
}

#[derive(Debug, Clone)]
pub(super) struct Asked {
    count: f64,
    ways: Vec<Vec<(usize, f64)>>,
}

/// A node, ready to be asked.
#[derive(Debug, Clone)]
pub(super) struct Oracle {
    classes: Vec<Asked>,
    plain: Vec<Offer>,
    sellers: Vec<Seller>,
    rows: Vec<usize>,
    sources: usize,
    /// The discounts that were best for the last prices; the search for the next begins there.
    pub(super) discount: Table<Vec<f64>>,
}

/// What a supplier would sell at one discount.
struct Sold {
    value: f64,
    goods: f64,
    quantities: Vec<u32>,
}

/// What is sold, at a discount or in a part of a mixture.
type At = (f64, Sold);

impl Oracle {
    /// Lays out what `node` still allows.
    pub(super) fn new(model: &Model, node: &Node) -> Self {
        let grain = real(model.grain);
        let (rows, place) = rows(model, node);
        let plain = node.plain.iter().filter_map(|s| Offer::new(model, node, *s, &place));
        let sellers = node.suppliers.iter().map(|v| {
            let bands = node.options[*v].iter().flatten().filter_map(|b| {
                let band = model.suppliers[*v].bands.get(*b)?;
                Some(Charge { band: *b, fixed: real(band.fixed) / grain, least: real(band.least) / grain })
            });
            Seller {
                v: *v,
                offers: node.live(model, *v).filter_map(|s| Offer::new(model, node, s, &place)).collect(),
                charges: bands.collect(),
                closed: node.options[*v].iter().any(Option::is_none),
            }
        });
        Self {
            classes: asked(model, node, &place),
            plain: plain.collect(),
            sellers: sellers.collect(),
            rows,
            discount: node.discount.clone(),
            sources: node.plain.len() + node.suppliers.iter().map(|v| node.live(model, *v).count()).sum::<usize>(),
        }
    }
}

impl Relaxed for Oracle {
    fn ask(&mut self, point: &Table<f64>) -> Answer {
        let mut answer = Answer::new(self.rows.len(), self.sources);
        for class in &self.classes {
            class.ask(point, &mut answer);
        }
        for offer in &mut self.plain {
            offer.value_at(point);
            let (value, quantity) = offer.best(1.0);
            answer.bound += value;
            offer.give(quantity, 1.0, &mut answer);
        }
        for seller in &mut self.sellers {
            seller.ask(point, &mut self.discount[seller.v], &mut answer);
        }
        answer
    }

    fn rows(&self) -> &[usize] {
        &self.rows
    }

    fn size(&self) -> u64 {
        self.sources as u64
    }
}

/// The rows of a node, and the place of each among them.
pub(super) fn rows(model: &Model, node: &Node) -> (Vec<usize>, Table<usize>) {
    let uses = node.classes.iter().flat_map(|c| model.classes[*c].ways.iter().flat_map(|w| w.uses.iter()));
    let mut rows: Vec<usize> = uses.map(|u| u.0).collect();
    rows.sort_unstable();
    rows.dedup();
    let mut place = Table::filled(usize::MAX, model.rows.len());
    for (n, r) in rows.iter().enumerate() {
        place[*r] = n;
    }
    (rows, place)
}

/// What the classes of a node ask.
pub(super) fn asked(model: &Model, node: &Node, place: &Table<usize>) -> Vec<Asked> {
    let classes = node.classes.iter().map(|c| {
        let class = &model.classes[*c];
        let ways = class.ways.iter().map(|w| w.uses.iter().map(|(r, n)| (place[*r], f64::from(*n))).collect());
        Asked { count: f64::from(class.count()), ways: ways.collect() }
    });
    classes.collect()
}

impl Answer {
    /// Nothing asked and nothing offered yet.
    pub(super) fn new(dimensions: usize, sources: usize) -> Self {
        Self { bound: 0.0, slope: Table::filled(0.0, dimensions), bought: Vec::with_capacity(sources) }
    }
}

impl Asked {
    /// What a class asks, the way that costs it least.
    pub(super) fn ask(&self, price: &Table<f64>, answer: &mut Answer) {
        let cost = |w: &Vec<(usize, f64)>| w.iter().map(|(r, n)| price[*r] * n).sum::<f64>();
        let least = self.ways.iter().map(|w| (cost(w), w)).min_by(|a, b| a.0.total_cmp(&b.0));
        let Some((cost, way)) = least else { return };
        answer.bound += cost * self.count;
        for (r, n) in way {
            answer.slope[*r] += n * self.count;
        }
    }
}

impl Seller {
    /// Takes the cheapest way of being charged.
    fn ask(&mut self, price: &Table<f64>, discount: &mut [f64], answer: &mut Answer) {
        for offer in &mut self.offers {
            offer.value_at(price);
        }
        let bound_to = self.offers.iter().any(|o| o.must);
        let mut best: (f64, Vec<At>) = (if self.closed && !bound_to { 0.0 } else { f64::INFINITY }, Vec::new());
        for charge in &self.charges {
            let Some(start) = discount.get_mut(charge.band) else { continue };
            let (value, mixture) = self.charged(charge, start, best.0);
            if value < best.0 {
                best = (value, mixture);
            }
        }
        answer.bound += best.0;
        for (part, sold) in &best.1 {
            for (offer, quantity) in self.offers.iter().zip(&sold.quantities) {
                offer.give(*quantity, *part, answer);
            }
        }
    }

    /// What is sold if each unit of money spent on goods counts for `1 - discount`.
    fn sold(&self, charge: &Charge, discount: f64) -> Sold {
        let mut sold = Sold {
            value: charge.fixed + discount * charge.least,
            goods: 0.0,
            quantities: Vec::with_capacity(self.offers.len()),
        };
        for offer in &self.offers {
            let (value, quantity) = offer.best(1.0 - discount);
            sold.value += value;
            sold.goods += offer.goods(quantity);
            sold.quantities.push(quantity);
        }
        sold
    }

    /// The value of a way of being charged at its best discount, with what is sold in which part.
    ///
    /// The value is concave in the discount, and goods rise with it. Once it is above `known` it
    /// cannot be the cheapest way, and is not looked at any closer.
    fn charged(&self, charge: &Charge, discount: &mut f64, known: f64) -> (f64, Vec<At>) {
        if charge.least <= 0.0 {
            let sold = self.sold(charge, 0.0);
            return (sold.value, vec![(1.0, sold)]);
        }
        let mut at = discount.clamp(0.0, 1.0);
        let (mut low, mut high): (Option<At>, Option<At>) = (None, None);
        let mut step = 0.01;
        let mut best = (f64::NEG_INFINITY, at);
        for _ in 0..ANSWERS {
            let sold = self.sold(charge, at);
            if sold.value > best.0 {
                best = (sold.value, at);
            }
            if best.0 >= known {
                *discount = best.1;
                return (best.0, Vec::new());
            }
            let short = sold.goods < charge.least;
            let edge = if short { at >= 1.0 } else { at <= 0.0 };
            if short {
                low = Some((at, sold));
            } else {
                high = Some((at, sold));
            }
            at = match (&low, &high) {
                _ if edge => break,
                (Some(l), Some(h)) => match crossing(charge.least, l, h) {
                    (at, value) if value > best.0 + 1e-6 * value.abs() => at,
                    _ => break,
                },
                _ if short => (at + step).min(1.0),
                _ => (at - step).max(0.0),
            };
            step *= 3.0;
        }
        *discount = best.1;
        (best.0, mixture(charge.least, low, high))
    }
}

/// Where the tangents at two discounts meet, and how high: nothing between them is higher.
fn crossing(least: f64, low: &At, high: &At) -> (f64, f64) {
    let (up, down) = (least - low.1.goods, least - high.1.goods);
    let at = (high.1.value - low.1.value + up * low.0 - down * high.0) / (up - down).max(1e-9);
    let at = at.clamp(low.0, high.0);
    (at, low.1.value + up * (at - low.0))
}

/// What is sold on both sides of the best discount, in the parts that reach `least` together.
fn mixture(least: f64, low: Option<At>, high: Option<At>) -> Vec<At> {
    match (low, high) {
        (Some((_, l)), Some((_, h))) => {
            let part = ((least - l.goods) / (h.goods - l.goods).max(1e-9)).clamp(0.0, 1.0);
            vec![(1.0 - part, l), (part, h)]
        }
        (Some((_, one)), None) | (None, Some((_, one))) => vec![(1.0, one)],
        (None, None) => Vec::new(),
    }
}
