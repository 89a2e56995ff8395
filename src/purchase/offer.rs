//! One source in the relaxed problem: what it sells at given prices of its rows.

use super::model::Model;
use super::node::Node;
use super::oracle::{Answer, Bought};
use super::table::{Table, real};

/// A row that a source serves: which, pieces for one chunk, pieces at most.
#[derive(Debug, Clone, Copy)]
struct Link {
    row: usize,
    weight: f64,
    most: u32,
    density: f64,
    /// Pieces and value of this link and those before it.
    pieces: u32,
    value: f64,
}

/// Quantities at one price, grains.
#[derive(Debug, Clone, Copy)]
struct Span {
    lo: u32,
    hi: u32,
    each: f64,
}

/// A source at the prices of its rows: how much it sells and what that is worth.
#[derive(Debug, Clone)]
pub(super) struct Offer {
    s: usize,
    pack: u32,
    flat: u32,
    pub(super) must: bool,
    cheapest: f64,
    links: Vec<Link>,
    spans: Vec<Span>,
}

impl Offer {
    pub(super) fn new(model: &Model, node: &Node, s: usize, place: &Table<usize>) -> Option<Self> {
        let grain = real(model.grain);
        let spans: Vec<Span> =
            node.segs[s].iter().map(|g| Span { lo: g.lo, hi: g.hi, each: real(g.each) / grain }).collect();
        let link = |r: &usize| {
            let row = &model.rows[*r];
            let weight = row.weight().max(1);
            Link {
                row: place[*r],
                weight: f64::from(weight),
                most: row.most * weight,
                density: 0.0,
                pieces: 0,
                value: 0.0,
            }
        };
        let src = &model.sources[s];
        (!spans.is_empty()).then(|| Self {
            s,
            pack: src.pack,
            flat: model.rules.spare(src.class, 1),
            must: node.must[s],
            cheapest: spans.iter().map(|g| g.each).fold(f64::INFINITY, f64::min),
            // A row without demand has no place.
            links: node.rows[s].iter().filter(|r| place[**r] < usize::MAX).map(link).collect(),
            spans,
        })
    }

    /// Puts the rows in the order of what they pay for a piece.
    pub(super) fn value_at(&mut self, price: &Table<f64>) {
        for link in &mut self.links {
            link.density = price[link.row] / link.weight;
        }
        // Prices move little from one time to the next, so that the rows are nearly in order.
        self.links.sort_by(|a, b| b.density.total_cmp(&a.density).then(a.row.cmp(&b.row)));
        let (mut pieces, mut value) = (0, 0.0);
        for link in &mut self.links {
            if link.density > 0.0 {
                pieces += link.most;
                value += link.density * f64::from(link.most);
            }
            link.pieces = pieces;
            link.value = value;
        }
    }

    /// The most value that so many pieces can serve.
    fn value(&self, pieces: u32) -> f64 {
        let mut before = (0, 0.0);
        for link in &self.links {
            if link.pieces >= pieces {
                return before.1 + link.density.max(0.0) * f64::from(pieces - before.0);
            }
            before = (link.pieces, link.value);
        }
        before.1
    }

    /// The least of cost minus value at this rate of the prices, and the quantity; 0 for not bought.
    pub(super) fn best(&self, rate: f64) -> (f64, u32) {
        if !self.must && self.links.first().is_none_or(|l| l.density <= rate * self.cheapest) {
            return (0.0, 0);
        }
        let idle = if self.must { (f64::INFINITY, 0) } else { (0.0, 0) };
        self.spans.iter().fold(idle, |best, span| {
            let this = self.within(span, rate * span.each);
            if this.0 < best.0 { this } else { best }
        })
    }

    /// The least of cost minus value within one span; it is next to where a piece is worth its cost.
    fn within(&self, span: &Span, each: f64) -> (f64, u32) {
        let wanted = self.links.iter().take_while(|l| l.density > each).last().map_or(0, |l| l.pieces);
        let low = ((self.flat + wanted) / self.pack * self.pack).clamp(span.lo, span.hi);
        let high = (low + self.pack).clamp(span.lo, span.hi);
        let at = |q: u32| (each * f64::from(q) - self.value(q.saturating_sub(self.flat)), q);
        let (low, high) = (at(low), at(high));
        if high.0 < low.0 { high } else { low }
    }

    /// What `quantity` pieces cost at full price.
    pub(super) fn goods(&self, quantity: u32) -> f64 {
        let span = self.spans.iter().find(|g| (g.lo..=g.hi).contains(&quantity));
        span.map_or(0.0, |g| g.each * f64::from(quantity))
    }

    /// Takes a part of what `quantity` pieces serve off what is short.
    pub(super) fn give(&self, quantity: u32, part: f64, answer: &mut Answer) {
        if quantity == 0 || part <= 0.0 {
            return;
        }
        answer.bought.push(Bought { s: self.s, part, quantity });
        let mut left = quantity.saturating_sub(self.flat);
        for link in self.links.iter().take_while(|l| l.density > 0.0) {
            let n = left.min(link.most);
            answer.slope[link.row] -= part * f64::from(n) / link.weight;
            left -= n;
            if left == 0 {
                break;
            }
        }
    }
}
