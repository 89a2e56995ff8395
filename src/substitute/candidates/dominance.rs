//! Dropping offers that another offer of the same supplier beats in every respect.
//!
//! An offer is dropped only if another of the same supplier serves everything that it serves, as
//! well or better, costs no more at any quantity, and is no more bound by packs, stock or time.
//! Where the supplier has a free-carriage limit or a small-order fee, goods of a higher price can
//! make an order cheaper, though never by more than carriage and fee; there the other offer must be
//! cheaper by that much, or of the same single price. Where spares are asked from the eleventh piece of
//! a number on, two numbers can need fewer than one, so that an offer for more than ten pieces beats
//! none. Such pruning never costs anything.
//!
//! Of a crowd of offers for the same uses, those that another one beats but for that slack or those
//! spares are dropped as well, so that memory stays bounded; [`Found::thinned`](super::Found) says so,
//! and the purchase then bounds what they could save.

use std::collections::{BTreeMap, BTreeSet};

use super::ask::Ask;
use super::floor::Floor;
use super::source::{Source, SourceKey, Target, Use};
use super::standing::Standing;
use crate::model::shop::{Article, Glance, Shop};
use crate::money::Money;
use crate::substitute::arrange::can::{CanGroup, Way};
use crate::substitute::designation::hardware;
use crate::substitute::verdict::limiting_volts;
use crate::units::{Farad, Millimetre, Ohm, Volt, Watt};

/// What pruning needs to know of the shop and of the asks.
#[derive(Debug, Clone)]
pub(super) struct Pruning<'a> {
    shop: &'a Shop,
    /// Places where a string may stand.
    strings: u32,
    /// Cans, each of which may take a tag strip and sleeving.
    cans: u32,
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
        let count = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
        let (strings, of_cans) = (count(strings), count(cans.len()));
        // Above a hundred percent of spares nothing is dropped.
        let on = shop.spares.over_ten.get() <= 100.0;
        let inside = cans.iter().filter(|g| g.way == Way::Inside).flat_map(|g| g.asks.iter().copied()).collect();
        let matched = asks.iter().enumerate().filter(|(_, a)| 1 < a.need.matched).map(|(i, _)| i).collect();
        Self { shop, strings, cans: of_cans, matched, inside, on }
    }

    /// Drops nothing from now on.
    pub(super) fn off(&mut self) {
        self.on = false;
    }

    /// Drops what another kept offer beats. What is left is the same in whatever order the offers came,
    /// and however often this was done on the way, since beating passes on from offer to offer.
    pub(super) fn prune(&self, kept: &mut Vec<Source>, standing: &Standing) {
        if self.on {
            let beaten = self.beaten(kept, standing);
            drop_all(kept, &beaten);
        }
    }

    /// What later offers are held against.
    pub(super) fn floor(&self, kept: &[Source]) -> Floor {
        let mut floor = Floor::default();
        let weighed = kept.iter().map(|s| self.weigh(s)).enumerate();
        for (place, one) in weighed.filter(|(_, one)| one.ample && one.falling) {
            floor.add((place, one.source), one.days, one.costs);
        }
        floor.sort();
        floor
    }

    /// Whether one of those kept that the floor was made of beats a source, so that pruning would drop it.
    pub(super) fn is_beaten(&self, source: &Source, (floor, kept): (&Floor, &[Source]), standing: &Standing) -> bool {
        let (Some(supplier), Some(first)) = (source.key.supplier().filter(|_| self.on), source.uses.first()) else {
            return false;
        };
        let one = self.weigh(source);
        let (slack, crowded) = self.slack_beside(source, standing);
        let price = one.costs.first().copied().flatten();
        floor.before((supplier, first.target), (price, source.key.number())).any(|rival| {
            kept.get(rival.place).is_some_and(|by| {
                rival.days <= one.days
                    && (crowded || !self.splits(self.uses(by)))
                    && no_dearer((by, &rival.costs), &one, slack)
                    && self.serves_all(by, source)
            })
        })
    }

    /// Whether the floor beats an offer that serves nothing but these asks, alone.
    pub(super) fn is_below(&self, floor: &Floor, glance: &Glance<'_>, asks: &[usize]) -> bool {
        if !self.on || asks.iter().any(|ask| self.inside.contains(ask)) {
            return false;
        }
        let count = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
        let matched = asks.iter().filter(|ask| self.matched.contains(ask)).count();
        let days = glance.lead_days.or_else(|| self.shop.supplier(glance.supplier)?.lead_days).unwrap_or(0);
        floor.beats(glance, asks, (self.pieces(count(asks.len()), count(matched)).max(1), days))
    }

    /// The indices of the sources that another beats.
    fn beaten(&self, kept: &[Source], standing: &Standing) -> BTreeSet<usize> {
        let weighed: Vec<Weighed<'_>> = kept.iter().map(|s| self.weigh(s)).collect();
        let groups = Groups::of(&weighed);
        let mut beaten = BTreeSet::new();
        for (uses, members) in &groups.0 {
            // The shelf is taken before anything is bought, so its lines are never dropped.
            if uses.0.is_none() {
                continue;
            }
            let stronger: Vec<&[usize]> = groups.at_least(uses).collect();
            let is_beaten = |one: &Weighed<'_>| {
                let beside = self.slack_beside(one.source, standing);
                let mut rivals = stronger.iter().flat_map(|group| cheaper(&weighed, group, one));
                rivals.any(|rival| self.beats(rival, one, beside))
            };
            beaten.extend(members.iter().filter(|index| weighed.get(**index).is_some_and(is_beaten)));
        }
        beaten
    }

    /// A source with what is compared again and again.
    fn weigh<'k>(&self, source: &'k Source) -> Weighed<'k> {
        let most = self.most_pieces(source).max(1);
        let enough = most.max(source.minimum).checked_next_multiple_of(source.pack);
        let supplier_days = source.key.supplier().and_then(|s| self.shop.supplier(s)).and_then(|s| s.lead_days);
        Weighed {
            source,
            costs: (1..=most).map(|n| source.least_cost(n)).collect(),
            falling: source.tiers.windows(2).all(|w| matches!(w, [a, b] if b.each <= a.each)),
            ample: source.stock.is_none_or(|stock| enough.is_some_and(|e| e <= stock)),
            // Days that are not known count as in time, so they are beaten by none that are known.
            days: source.lead_days.or(supplier_days).unwrap_or(0),
            splits: self.splits(self.uses(source)),
        }
    }

    /// Whether so many pieces of one number can ask for spares that the same pieces of two numbers do not.
    fn splits(&self, used: u32) -> bool {
        10 < used && self.shop.spares.over_ten.get() > 0.0
    }

    /// Whether a crowd can have been thinned of offers that would save spares beside one of those that are kept.
    pub(super) fn thins_splits(&self, kept: &[Source], standing: &Standing) -> bool {
        kept.iter().any(|s| self.splits(self.uses(s)) && s.uses.iter().any(|u| standing.crowded(&[*u])))
    }

    /// The slack that a rival must be cheaper by than an offer, none in a crowd; and whether that is one.
    fn slack_beside(&self, source: &Source, standing: &Standing) -> (Option<Money>, bool) {
        let crowded = standing.crowded(&source.uses);
        (if crowded { Some(Money::ZERO) } else { self.slack(source) }, crowded)
    }

    /// What a cheaper offer could lose of this supplier's carriage or fees; `None` where a small
    /// order is refused, so that no difference is enough.
    fn slack(&self, source: &Source) -> Option<Money> {
        let terms = self.shop.supplier(source.key.supplier()?)?;
        let carriage = if terms.free_over.is_some() { terms.carriage } else { Money::ZERO };
        let fee = if terms.minimum_order.is_some() { terms.small_order_fee? } else { Money::ZERO };
        Some(carriage + fee)
    }

    /// Whether `rival` serves at least as well as `one` in every use and is cheaper by the slack.
    fn beats(&self, rival: &Weighed<'_>, one: &Weighed<'_>, (slack, crowded): (Option<Money>, bool)) -> bool {
        rival.ample
            && rival.falling
            && rival.days <= one.days
            && (!rival.splits || crowded)
            && no_dearer((rival.source, &rival.costs), one, slack)
            && self.serves_all(rival.source, one.source)
    }

    /// The most pieces that all its uses together can take of a source.
    fn uses(&self, source: &Source) -> u32 {
        let each = |u: &Use| match u.target {
            Target::Single(_) | Target::Part(_) | Target::Can(_) => 1,
            Target::Series(_) | Target::Parallel(_) => 2,
            Target::Balancing => self.strings.saturating_mul(2),
            Target::TagStrip | Target::Sleeving => self.cans.max(1),
        };
        source.uses.iter().map(each).fold(0u32, u32::saturating_add)
    }

    /// The same, spares and selection included.
    fn most_pieces(&self, source: &Source) -> u32 {
        let matched = source
            .uses
            .iter()
            .filter(|u| matches!(u.target, Target::Single(i) | Target::Series(i) if self.matched.contains(&i)));
        self.pieces(self.uses(source), u32::try_from(matched.count()).unwrap_or(u32::MAX))
    }

    /// Pieces with spares, and with those to select from for so many matched places.
    fn pieces(&self, used: u32, matched: u32) -> u32 {
        let spares = &self.shop.spares;
        let selected = spares.to_select.saturating_mul(matched);
        let spare = spares.film.max(spares.resistor).max(spares.electrolytic);
        // A percentage of spares, where there is one, at most doubles what is used.
        let percentage = if spares.over_ten.get() > 0.0 && 10 < used { used } else { 0 };
        used.saturating_add(selected).saturating_add(spare.max(percentage))
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
            // What stands beside it follows from its value.
            Target::Part(_) => a.value == b.value,
            // Which can a strip serves follows from its tags.
            Target::TagStrip => as_many_tags(a, b),
            Target::Single(_) | Target::Parallel(_) | Target::Can(_) | Target::Sleeving => true,
        }
    }
}

/// A source with what is compared again and again.
struct Weighed<'k> {
    source: &'k Source,
    /// The least cost of one piece, of two, and so on to the most that its uses can take.
    costs: Vec<Option<Money>>,
    /// Whether its prices fall with the quantity.
    falling: bool,
    /// Whether it is to be had in all the quantity that its uses can take.
    ample: bool,
    /// Days until delivery.
    days: u32,
    /// Whether a second number beside it could save spares.
    splits: bool,
}

impl Weighed<'_> {
    /// Price of one, then name: of two equal offers the one of the earlier name stays.
    fn order(&self) -> (Option<Money>, &SourceKey) {
        (self.costs.first().copied().flatten(), &self.source.key)
    }
}

/// The members of a group that stand before one in price and name.
fn cheaper<'w, 'k>(
    weighed: &'w [Weighed<'k>],
    group: &'w [usize],
    one: &'w Weighed<'k>,
) -> impl Iterator<Item = &'w Weighed<'k>> {
    group.iter().filter_map(|i| weighed.get(*i)).take_while(|rival| rival.order() < one.order())
}

/// Whether the rival costs less by the slack at every useful quantity, or exactly the same.
fn no_dearer((a, costs): (&Source, &[Option<Money>]), one: &Weighed<'_>, slack: Option<Money>) -> bool {
    let b = one.source;
    // With price breaks the goods of two together can cost less than apart, and so miss a threshold.
    if a.tiers.len() == 1 && a.tiers == b.tiers && a.pack == b.pack && a.minimum == b.minimum {
        return true;
    }
    let Some(slack) = slack else {
        return false;
    };
    one.costs.iter().enumerate().all(|(n, cost)| match (costs.get(n).copied().flatten(), cost) {
        (Some(rival), Some(cost)) => rival + slack <= *cost,
        (_, None) => true,
        (None, Some(_)) => false,
    })
}

/// A supplier (or the shelf), the uses of an article, and the figures in which rivals must be the same.
type Uses<'k> = (Option<&'k str>, Vec<Target>, Vec<u64>);

/// Sources of one supplier with the same uses, cheapest first, by their place among those kept.
struct Groups<'k>(BTreeMap<Uses<'k>, Vec<usize>>);

impl<'k> Groups<'k> {
    /// The groups of what is kept.
    fn of(weighed: &[Weighed<'k>]) -> Self {
        let mut groups: BTreeMap<Uses<'k>, Vec<usize>> = BTreeMap::new();
        for (index, one) in weighed.iter().enumerate() {
            let uses: Vec<Target> = one.source.uses.iter().map(|u| u.target).collect();
            let same = same_figures(&one.source.article, &uses);
            groups.entry((one.source.key.supplier(), uses, same)).or_default().push(index);
        }
        for group in groups.values_mut() {
            group.sort_by(|a, b| weighed.get(*a).map(Weighed::order).cmp(&weighed.get(*b).map(Weighed::order)));
        }
        Self(groups)
    }

    /// The groups of the same supplier that serve at least these uses.
    fn at_least<'g>(&'g self, (supplier, uses, _): &'g Uses<'k>) -> impl Iterator<Item = &'g [usize]> {
        let serves = move |((other, more, _), _): &(&Uses<'k>, &Vec<usize>)| {
            other == supplier && uses.iter().all(|u| more.binary_search(u).is_ok())
        };
        self.0.iter().filter(serves).map(|(_, members)| members.as_slice())
    }
}

/// The figures in which a rival must be the same for strings and their balancing, so that only
/// such offers stand in one group.
fn same_figures(article: &Article, uses: &[Target]) -> Vec<u64> {
    let mut same = Vec::new();
    if uses.iter().any(|u| matches!(u, Target::Series(_) | Target::Part(_) | Target::Balancing)) {
        let value = article.farad().map(Farad::get).or(article.ohm().map(Ohm::get));
        same.extend(value.map(f64::to_bits));
    }
    if uses.iter().any(|u| matches!(u, Target::Series(_))) {
        same.extend(article.volts.map(|v| v.get().to_bits()));
    }
    same
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

/// Whether the first strip serves every can that the second does. One that does not say how many tags it
/// has serves any, with the remark to count them.
fn as_many_tags(a: &Article, b: &Article) -> bool {
    let ways = |article: &Article| article.designation().and_then(hardware::ways);
    match (ways(a), ways(b)) {
        (Some(a), Some(b)) => b <= a,
        (Some(_), None) => false,
        (None, _) => true,
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
