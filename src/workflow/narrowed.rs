//! Orders narrowed to the most promising sets of suppliers, each line at its cheapest offer there, or at the
//! one supplier whose free carriage may be worth it: quickly bought, and close to the least that the whole
//! order could cost.

use crate::money::Money;
use crate::purchase::{Arrangement, Demand, Problem, Source};

/// Up to so many suppliers every set of them is looked at.
const MOST_SUPPLIERS: usize = 6;
/// So many sets are bought from.
const BEST_SETS: usize = 2;

/// The problem narrowed to the few best sets of suppliers, the best first; none where there are too many
/// suppliers for every set. The position `open` keeps all that its suppliers offer.
pub(super) fn narrowed(problem: &Problem, open: usize) -> Vec<Problem> {
    let count = problem.suppliers.len();
    if MOST_SUPPLIERS < count {
        return Vec::new();
    }
    let allowed = |set: &u32| problem.rules.max_suppliers.is_none_or(|most| set.count_ones() <= most);
    let leanings = |set: u32| {
        let free = problem.suppliers.iter().enumerate().filter(|(_, terms)| terms.free_over.is_some());
        let leaning = free.map(|(v, _)| v).filter(move |v| set >> v & 1 == 1).map(move |v| Set { set, lean: Some(v) });
        std::iter::once(Set { set, lean: None }).chain(leaning).collect::<Vec<_>>()
    };
    let all = (0..1u32 << count).filter(allowed).flat_map(leanings);
    // A problem for every set at once would be many times the whole order.
    let cost = |set| within(problem, set, open).map(|(cost, _)| (cost, set));
    let mut sets: Vec<(Money, Set)> = all.filter_map(cost).collect();
    sets.sort_by_key(|(cost, _)| *cost);
    let best = sets.into_iter().take(BEST_SETS);
    best.filter_map(|(_, set)| within(problem, set, open)).map(|(_, narrowed)| narrowed).collect()
}

/// A set of suppliers, and the one of them that is asked first.
#[derive(Debug, Clone, Copy)]
struct Set {
    /// A bit for each supplier.
    set: u32,
    /// Every line that this supplier has comes from it.
    lean: Option<usize>,
}

impl Set {
    /// Whether a source is on the shelf or at a supplier of the set.
    fn holds(self, source: &Source) -> bool {
        source.supplier.is_none_or(|v| self.set >> v & 1 == 1)
    }

    /// The supplier asked first comes before the others, the shelf before all.
    fn turn(self, source: &Source) -> u8 {
        match source.supplier {
            None => 0,
            Some(v) if self.lean.is_none_or(|lean| lean == v) => 1,
            Some(_) => 2,
        }
    }
}

/// The problem within one set of suppliers with what it costs about; `None` where the set leaves a line open.
fn within(problem: &Problem, set: Set, open: usize) -> Option<(Money, Problem)> {
    let mut narrowed = problem.clone();
    let mut goods = vec![Money::ZERO; problem.suppliers.len()];
    let mut shelf = Money::ZERO;
    for (number, position) in narrowed.positions.iter_mut().enumerate().filter(|(_, p)| !p.arrangements.is_empty()) {
        let best = position.arrangements.iter().filter_map(|a| pinned(problem, set, a)).min_by_key(|p| p.cost)?;
        for (source, cost) in best.lines {
            let supplier = problem.sources.get(source).and_then(|s| s.supplier);
            match supplier.and_then(|v| goods.get_mut(v)) {
                Some(sum) => *sum += cost,
                None => shelf += cost,
            }
        }
        if number == open {
            keep_within(problem, set, &mut position.arrangements);
        } else {
            position.arrangements = vec![best.arrangement];
        }
    }
    // Where more can be bought to reach free carriage, that is the most that the goods and carriage come to;
    // a refused order is looked at last, for the shortfall has to be bought.
    let charged = |(terms, goods): (&crate::purchase::Supplier, &Money)| {
        if *goods == Money::ZERO {
            return Money::ZERO;
        }
        let carried = *goods + terms.carriage;
        let delivered = terms.free_over.map_or(carried, |over| carried.min(over.max(*goods)));
        let small = terms.minimum_order.is_some_and(|least| *goods < least);
        let fee = terms.small_order_fee.or(terms.minimum_order).unwrap_or_default();
        delivered + if small { fee } else { Money::ZERO }
    };
    let bills: Money = problem.suppliers.iter().zip(&goods).map(charged).sum();
    Some((shelf + bills, narrowed))
}

/// An arrangement with each demand at one supplier's source, and what the shelf has of it.
struct Pinned {
    cost: Money,
    arrangement: Arrangement,
    /// What each source's line costs.
    lines: Vec<(usize, Money)>,
}

/// The arrangement with each demand at its cheapest source in the set; `None` where a demand has none.
fn pinned(problem: &Problem, set: Set, arrangement: &Arrangement) -> Option<Pinned> {
    let mut arrangement = arrangement.clone();
    let mut lines = Vec::new();
    for demand in &mut arrangement.demands {
        let in_set = |s: &usize| problem.sources.get(*s).is_some_and(|source| set.holds(source));
        let on_shelf = |s: &usize| problem.sources.get(*s).is_some_and(|source| source.supplier.is_none());
        let priced = demand.any_of.iter().filter(|s| in_set(s)).filter_map(|s| {
            let source = problem.sources.get(*s)?;
            Some((set.turn(source), cost(source, demand)?, *s))
        });
        let (_, cost, source) = priced.clone().min()?;
        lines.push((source, cost));
        // What lies on the shelf may be wanted at several places, so that one of them has to buy after all.
        let bought = priced.filter(|(_, _, s)| !on_shelf(s)).min().map(|(_, _, s)| s);
        let shelf: Vec<usize> = demand.any_of.iter().copied().filter(on_shelf).collect();
        demand.any_of = shelf.into_iter().chain(bought).collect();
    }
    Some(Pinned { cost: lines.iter().map(|(_, cost)| *cost).sum(), arrangement, lines })
}

/// Leaves what the set offers.
fn keep_within(problem: &Problem, set: Set, arrangements: &mut Vec<Arrangement>) {
    for demand in arrangements.iter_mut().flat_map(|a| &mut a.demands) {
        demand.any_of.retain(|s| problem.sources.get(*s).is_some_and(|source| set.holds(source)));
    }
    arrangements.retain(|a| a.demands.iter().all(|d| !d.any_of.is_empty()));
}

/// What a demand costs from one source alone; `None` where it has not enough.
fn cost(source: &Source, demand: &Demand) -> Option<Money> {
    let pieces = demand.count.saturating_add(demand.select_extra).max(source.minimum).max(1);
    let quantity = pieces.checked_next_multiple_of(source.pack.max(1))?;
    let enough = source.stock.is_none_or(|stock| quantity <= stock);
    enough.then(|| source.tier(quantity).map(|t| t.each.times(quantity))).flatten()
}
