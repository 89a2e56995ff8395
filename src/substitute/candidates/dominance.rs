//! Dropping offers that another offer of the same supplier beats in every respect.
//!
//! An offer is dropped only if another of the same supplier serves everything that it serves, as
//! well or better, costs no more at any quantity, and is no more bound by packs, stock or time.
//! Where the supplier has a free-carriage limit or a small-order fee, goods of a higher price can
//! make an order cheaper, though never by more than carriage and fee; there the other offer must be
//! cheaper by that much, or of the same price. Such pruning never costs anything.
//!
//! Past some thousands of kept offers, those that a dozen others of their supplier beat but for
//! that slack are dropped as well, so that memory stays bounded; [`Found::thinned`](super::Found)
//! says so.

use std::collections::{BTreeMap, BTreeSet};

use super::ask::Ask;
use super::source::{Source, Target, Use};
use crate::model::shop::Shop;
use crate::money::Money;
use crate::substitute::arrange::can::{CanGroup, Way};
use crate::substitute::verdict::limiting_volts;
use crate::units::{Millimetre, Volt, Watt};

/// How many offers that beat another must stand beside it before thinning drops it.
const LEFT: usize = 12;

/// What pruning needs to know of the shop and of the asks.
#[derive(Debug)]
pub(super) struct Pruning<'a> {
    shop: &'a Shop,
    /// Places where a string may stand.
    strings: u32,
    /// Asks that are filled with matched parts.
    matched: BTreeSet<usize>,
    /// Asks whose parts go into an old can together.
    inside: BTreeSet<usize>,
    on: bool,
}

impl<'a> Pruning<'a> {
    /// Pruning for these asks.
    pub(super) fn new(asks: &[Ask<'_>], cans: &[CanGroup], shop: &'a Shop) -> Self {
        let strings = asks.iter().filter(|a| a.may_be_string()).count();
        let strings = u32::try_from(strings).unwrap_or(u32::MAX);
        // Above a hundred percent of spares nothing is dropped.
        let on = shop.spares.over_ten.get() <= 100.0;
        let inside = cans.iter().filter(|g| g.way == Way::Inside).flat_map(|g| g.asks.iter().copied()).collect();
        let matched = asks.iter().enumerate().filter(|(_, a)| 1 < a.need.matched).map(|(i, _)| i).collect();
        Self { shop, strings, matched, inside, on }
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
        let groups = Groups::of(kept);
        let mut beaten = BTreeSet::new();
        for (uses, members) in groups.by_uses() {
            let rivals: Vec<&[usize]> = groups.at_least(uses).collect();
            for index in members {
                let is_beaten = rivals.iter().any(|rivals| self.beaters(kept, rivals, *index, true).next().is_some());
                if is_beaten {
                    beaten.insert(*index);
                }
            }
        }
        drop_all(kept, &beaten);
    }

    /// Drops what a dozen others with the same uses beat but for carriage and fees. What is left is
    /// the same in whatever order the offers came, since beating passes on from offer to offer.
    pub(super) fn thin(&self, kept: &mut Vec<Source>) {
        if !self.on {
            return;
        }
        let groups = Groups::of(kept);
        let mut beaten = BTreeSet::new();
        for (_, members) in groups.by_uses() {
            for index in members {
                if self.beaters(kept, members, *index, false).take(LEFT).count() == LEFT {
                    beaten.insert(*index);
                }
            }
        }
        drop_all(kept, &beaten);
    }

    /// The rivals that beat a source, cheapest first; with or without what its supplier's terms could lose.
    fn beaters<'k>(
        &'k self,
        kept: &'k [Source],
        rivals: &'k [usize],
        index: usize,
        with_slack: bool,
    ) -> impl Iterator<Item = &'k Source> {
        let source = kept.get(index);
        let price = source.and_then(|s| s.least_cost(1));
        let slack = source.and_then(|s| if with_slack { self.slack(s) } else { Some(Money::ZERO) });
        // Rivals stand in the order of their prices, so those behind the source never beat it.
        let before = move |rival: &&Source| match (rival.least_cost(1), price) {
            (Some(rival), Some(price)) => rival <= price,
            _ => true,
        };
        let earlier = move |rival: &&Source| {
            source.is_some_and(|s| rival.key != s.key && (rival.least_cost(1), &rival.key) < (price, &s.key))
        };
        let rivals = rivals.iter().filter_map(|i| kept.get(*i));
        let beats = move |rival: &&Source| source.is_some_and(|s| self.beats(rival, s, slack));
        rivals.take_while(before).filter(earlier).filter(beats)
    }

    /// What a cheaper offer could lose of this supplier's carriage or fees; `None` where a small
    /// order is refused, so that no difference is enough.
    fn slack(&self, source: &Source) -> Option<Money> {
        let terms = self.shop.supplier(source.key.supplier()?)?;
        let carriage = if terms.free_over.is_some() { terms.carriage } else { Money::ZERO };
        let fee = if terms.minimum_order.is_some() { terms.small_order_fee? } else { Money::ZERO };
        Some(carriage + fee)
    }

    /// Whether `rival` serves at least as well as `source` in every use and is cheaper by the slack.
    fn beats(&self, rival: &Source, source: &Source, slack: Option<Money>) -> bool {
        // The shelf is taken before anything is bought, so its lines are never dropped.
        let bought = source.key.supplier().is_some();
        bought
            && self.serves_all(rival, source)
            && self.no_harder_to_get(rival, source)
            && self.no_dearer(rival, source, slack)
    }

    /// The most pieces that all its uses together can take of a source, spares and selection included.
    fn most_pieces(&self, source: &Source) -> u32 {
        let each = |u: &Use| match u.target {
            Target::Single(_) | Target::Can(_) => 1,
            Target::Series(_) | Target::Parallel(_) => 2,
            Target::Balancing => self.strings.saturating_mul(2),
            Target::TagStrip | Target::Sleeving => self.strings.max(1),
        };
        let used = source.uses.iter().map(each).fold(0u32, u32::saturating_add);
        let spares = &self.shop.spares;
        let matched = source
            .uses
            .iter()
            .filter(|u| matches!(u.target, Target::Single(i) | Target::Series(i) if self.matched.contains(&i)));
        let selected = spares.to_select.saturating_mul(u32::try_from(matched.count()).unwrap_or(u32::MAX));
        let spare = spares.film.max(spares.resistor).max(spares.electrolytic);
        // A percentage of spares, where there is one, at most doubles what is used.
        let share = if spares.over_ten.get() > 0.0 && 10 < used { used } else { 0 };
        used.saturating_add(selected).saturating_add(spare.max(share))
    }

    /// Stock and time.
    fn no_harder_to_get(&self, rival: &Source, source: &Source) -> bool {
        let enough = self.most_pieces(rival).max(rival.minimum).checked_next_multiple_of(rival.pack);
        let stock = rival.stock.is_none_or(|stock| enough.is_some_and(|e| e <= stock));
        let supplier_days = self.shop.supplier(source.key.supplier().unwrap_or_default()).and_then(|s| s.lead_days);
        // Days that are not known count as in time, so they are beaten by none that are known.
        let days = |s: &Source| s.lead_days.or(supplier_days).unwrap_or(0);
        stock && days(rival) <= days(source)
    }

    /// Price at every useful quantity, with prices that fall with the quantity.
    fn no_dearer(&self, rival: &Source, source: &Source, slack: Option<Money>) -> bool {
        let falling = rival.tiers.windows(2).all(|w| matches!(w, [a, b] if b.each <= a.each));
        let alike = rival.tiers == source.tiers && rival.pack == source.pack && rival.minimum == source.minimum;
        let Some(slack) = slack.filter(|_| !alike) else {
            return alike && falling;
        };
        let cheaper = |n: u32| match (rival.least_cost(n), source.least_cost(n)) {
            (Some(rival), Some(source)) => rival + slack <= source,
            (_, None) => true,
            (None, Some(_)) => false,
        };
        let most = self.most_pieces(rival);
        falling && cheaper(1) && cheaper(most) && (2..most).all(cheaper)
    }

    /// Whether the rival serves every use of the source, as well or better.
    fn serves_all(&self, rival: &Source, source: &Source) -> bool {
        source.uses.iter().all(|wanted| {
            let same = rival.uses.iter().find(|u| u.target == wanted.target);
            let as_well = |u: &Use| u.answer <= wanted.answer && u.second_choice <= wanted.second_choice;
            same.is_some_and(as_well) && self.alike(rival, source, wanted.target)
        })
    }

    /// Whether what the arrangement computes from the article comes out as well with the rival.
    fn alike(&self, rival: &Source, source: &Source, target: Target) -> bool {
        let (a, b) = (&rival.article, &source.article);
        match target {
            // A body that is no larger goes into an old can wherever the other went.
            Target::Single(ask) if self.inside.contains(&ask) => {
                no_larger(a.diameter, b.diameter) && no_larger(a.length, b.length)
            }
            // Balancing follows from capacitance, rating, tolerance and leakage.
            Target::Series(_) => {
                a.value == b.value && a.volts == b.volts && a.tolerance == b.tolerance && a.leakage == b.leakage
            }
            Target::Balancing => a.ohm().is_some() && a.ohm() == b.ohm() && as_strong(rival, source),
            Target::Single(_) | Target::Parallel(_) | Target::Can(_) | Target::TagStrip | Target::Sleeving => true,
        }
    }
}

/// Sources of one supplier with the same uses, cheapest first, by their place among those kept.
struct Groups {
    groups: BTreeMap<(Option<String>, Vec<Target>), Vec<usize>>,
}

impl Groups {
    /// The groups of what is kept.
    fn of(kept: &[Source]) -> Self {
        let mut groups: BTreeMap<(Option<String>, Vec<Target>), Vec<usize>> = BTreeMap::new();
        for (index, source) in kept.iter().enumerate() {
            let uses = source.uses.iter().map(|u| u.target).collect();
            groups.entry((source.key.supplier().map(str::to_owned), uses)).or_default().push(index);
        }
        let order = |i: &usize| kept.get(*i).map(|s| (s.least_cost(1), &s.key));
        for group in groups.values_mut() {
            group.sort_by(|a, b| order(a).cmp(&order(b)));
        }
        Self { groups }
    }

    /// Each group with its supplier and uses.
    fn by_uses(&self) -> impl Iterator<Item = (&(Option<String>, Vec<Target>), &[usize])> {
        self.groups.iter().map(|(uses, members)| (uses, members.as_slice()))
    }

    /// The groups of the same supplier that serve at least these uses.
    fn at_least<'g>(
        &'g self,
        (supplier, uses): &'g (Option<String>, Vec<Target>),
    ) -> impl Iterator<Item = &'g [usize]> {
        let serves = move |((other, more), _): &(&(Option<String>, Vec<Target>), &Vec<usize>)| {
            other == supplier && uses.iter().all(|u| more.binary_search(u).is_ok())
        };
        self.groups.iter().filter(serves).map(|(_, members)| members.as_slice())
    }
}

/// Drops the sources of these indices.
fn drop_all(kept: &mut Vec<Source>, beaten: &BTreeSet<usize>) {
    let mut index = 0;
    kept.retain(|_| {
        let keep = !beaten.contains(&index);
        index += 1;
        keep
    });
}

/// Whether the first is known to be no larger than the second.
fn no_larger(a: Option<Millimetre>, b: Option<Millimetre>) -> bool {
    match (a, b) {
        (Some(a), Some(b)) => a <= b,
        (None, Some(_)) => false,
        (_, None) => true,
    }
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
