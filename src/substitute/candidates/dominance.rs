//! Dropping offers that another offer of the same supplier beats in every respect.
//!
//! An offer is dropped only if another of the same supplier serves everything that it serves, as
//! well or better, costs no more at any quantity, and is no more bound by packs, stock or time.
//! Where the supplier has a free-carriage limit or a least order, goods of a higher price can make
//! an order cheaper; there an offer is dropped only against one of the same price at every quantity.

use std::collections::BTreeSet;

use super::ask::Ask;
use super::source::{Source, Target};
use crate::model::part::Value;
use crate::model::shop::Shop;
use crate::substitute::verdict::limiting_volts;
use crate::units::{Millimetre, Ohm, Volt, Watt};

/// Pieces that one need can take of one article: two of a pair, and as many resistors.
const PIECES_PER_NEED: u32 = 4;
/// Up to this many pieces prices are compared one by one.
const MOST_COMPARED: u32 = 4_000;

/// What pruning needs to know of the shop and of the asks.
#[derive(Debug)]
pub(super) struct Pruning<'a> {
    shop: &'a Shop,
    /// Pieces that all needs together can take of one article.
    pieces: u32,
    on: bool,
}

impl<'a> Pruning<'a> {
    /// Pruning for these asks.
    pub(super) fn new(asks: &[Ask<'_>], shop: &'a Shop) -> Self {
        let needs = u32::try_from(asks.len()).unwrap_or(u32::MAX);
        let selected = shop.spares.to_select.saturating_mul(needs);
        let spare = shop.spares.film.max(shop.spares.resistor).max(shop.spares.electrolytic);
        // A percentage of spares is bounded by doubling; beyond that nothing is dropped.
        let doubled = needs.saturating_mul(PIECES_PER_NEED).saturating_mul(2);
        let pieces = doubled.saturating_add(selected).saturating_add(spare);
        let on = shop.spares.over_ten.get() <= 100.0 && pieces <= MOST_COMPARED;
        Self { shop, pieces, on }
    }

    /// Drops nothing from now on.
    pub(super) fn off(&mut self) {
        self.on = false;
    }

    /// Drops what another kept offer beats.
    pub(super) fn prune(&self, kept: &mut Vec<Source>) {
        if !self.on {
            return;
        }
        // Cheaper first, then by name: of two equal offers the one of the earlier name stays.
        kept.sort_by(|a, b| {
            let price = |s: &Source| s.least_cost(1);
            a.key.supplier().cmp(&b.key.supplier()).then(price(a).cmp(&price(b))).then(a.key.cmp(&b.key))
        });
        let mut beaten = BTreeSet::new();
        let mut from = 0;
        for (index, source) in kept.iter().enumerate() {
            if kept.get(from).is_some_and(|first| first.key.supplier() != source.key.supplier()) {
                from = index;
            }
            let rivals = kept.iter().enumerate().take(index).skip(from).filter(|(i, _)| !beaten.contains(i));
            if rivals.into_iter().any(|(_, rival)| self.beats(rival, source)) {
                beaten.insert(index);
            }
        }
        let mut index = 0;
        kept.retain(|_| {
            let keep = !beaten.contains(&index);
            index += 1;
            keep
        });
    }

    /// Whether `rival` serves at least as well as `source` in every use and is no dearer.
    fn beats(&self, rival: &Source, source: &Source) -> bool {
        // The shelf is taken before anything is bought, so its lines are never dropped.
        let Some(supplier) = source.key.supplier() else {
            return false;
        };
        serves_all(rival, source) && self.no_harder_to_get(rival, source) && self.no_dearer(rival, source, supplier)
    }

    /// Stock and time.
    fn no_harder_to_get(&self, rival: &Source, source: &Source) -> bool {
        let last_step = rival.tiers.last().map_or(1, |t| t.from).max(rival.minimum).max(self.pieces);
        let enough = last_step.checked_next_multiple_of(rival.pack);
        let stock = rival.stock.is_none_or(|stock| enough.is_some_and(|e| e <= stock));
        let supplier_days = self.shop.supplier(source.key.supplier().unwrap_or_default()).and_then(|s| s.lead_days);
        // Days that are not known count as in time, so they are beaten by none that are known.
        let days = |s: &Source| s.lead_days.or(supplier_days).unwrap_or(0);
        stock && days(rival) <= days(source)
    }

    /// Price at every useful quantity, with prices that fall with the quantity.
    fn no_dearer(&self, rival: &Source, source: &Source, supplier: &str) -> bool {
        let falling = rival.tiers.windows(2).all(|w| matches!(w, [a, b] if b.each <= a.each));
        let terms = self.shop.supplier(supplier);
        let bound = terms.is_none_or(|t| t.free_over.is_some() || t.minimum_order.is_some());
        let alike = rival.tiers == source.tiers && rival.pack == source.pack && rival.minimum == source.minimum;
        if bound || alike {
            return alike && falling;
        }
        let cheaper = |n: u32| match (rival.least_cost(n), source.least_cost(n)) {
            (Some(rival), Some(source)) => rival <= source,
            (_, None) => true,
            (None, Some(_)) => false,
        };
        falling && cheaper(1) && cheaper(self.pieces) && (2..self.pieces).all(cheaper)
    }
}

/// Whether the rival serves every use of the source, as well or better.
fn serves_all(rival: &Source, source: &Source) -> bool {
    source.uses.iter().all(|wanted| {
        let same = rival.uses.iter().find(|u| u.target == wanted.target);
        same.is_some_and(|u| u.answer <= wanted.answer && u.second_choice <= wanted.second_choice)
            && alike(rival, source, wanted.target)
    })
}

/// Whether what the arrangement computes from the article comes out as well with the rival.
fn alike(rival: &Source, source: &Source, target: Target) -> bool {
    let (a, b) = (&rival.article, &source.article);
    match target {
        // A body that is no larger goes wherever the other went, such as into an old can.
        Target::Single(_) => {
            let smaller = |a: Option<Millimetre>, b: Option<Millimetre>| match (a, b) {
                (Some(a), Some(b)) => a <= b,
                (None, Some(_)) => false,
                (_, None) => true,
            };
            a.style == b.style && smaller(a.diameter, b.diameter) && smaller(a.length, b.length)
        }
        // Balancing follows from capacitance, rating, tolerance and leakage.
        Target::Series(_) => {
            a.value == b.value && a.volts == b.volts && a.tolerance == b.tolerance && a.leakage == b.leakage
        }
        Target::Balancing => same_ohm(a.ohm(), b.ohm()) && as_strong(rival, source),
        Target::Parallel(_) | Target::Can(_) => true,
        Target::TagStrip | Target::Sleeving => matches!((&a.value, &b.value), (Some(Value::Designation(_)), Some(_))),
    }
}

/// Equal resistance.
fn same_ohm(a: Option<Ohm>, b: Option<Ohm>) -> bool {
    a.is_some() && a == b
}

/// At least the watts, the limiting voltage and the precision.
fn as_strong(rival: &Source, source: &Source) -> bool {
    let (a, b) = (&rival.article, &source.article);
    let watts = a.watts.unwrap_or(Watt::ZERO) >= b.watts.unwrap_or(Watt::ZERO);
    let volts = |s: &Source| limiting_volts(&s.article).map_or(Volt::ZERO, |(v, _)| v);
    let stated = |s: &Source| limiting_volts(&s.article).is_some_and(|(_, stated)| stated);
    let width = |s: &Source| s.article.tolerance.map_or(f64::INFINITY, |t| t.minus_percent.max(t.plus_percent));
    watts
        && volts(rival) >= volts(source)
        && stated(rival) >= stated(source)
        && width(rival) <= width(source)
        && a.kind == b.kind
}
