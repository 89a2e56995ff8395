//! The best offers so far of each supplier, against which later ones are held before they are read
//! in full: where a crowd serves, what one of these beats need not be looked at any further.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::source::{Source, Target, least_cost};
use crate::model::need::Answer;
use crate::model::shop::Glance;
use crate::money::Money;

/// Offers that have stood the last pruning, by supplier and by what they serve, the cheapest first.
#[derive(Debug, Clone, Default)]
pub(super) struct Floor(BTreeMap<String, BTreeMap<Target, Vec<Arc<Rival>>>>);

/// An offer to be had in all the quantity that its uses can take, with prices that fall.
#[derive(Debug)]
pub(super) struct Rival {
    /// Its place among those kept.
    pub(super) place: usize,
    number: String,
    /// Asks that it serves alone, in order, without any caution.
    asks: Vec<usize>,
    pub(super) days: u32,
    /// The least cost of one piece, of two, and so on.
    pub(super) costs: Vec<Option<Money>>,
}

impl Floor {
    /// Adds an offer that stands at this place among those kept; a line of the shelf is no rival.
    pub(super) fn add(&mut self, (place, source): (usize, &Source), days: u32, costs: Vec<Option<Money>>) {
        let Some(supplier) = source.key.supplier() else { return };
        let best = source.uses.iter().filter(|u| u.answer == Answer::Fit && !u.second_choice);
        let asks = best.filter_map(|u| if let Target::Single(ask) = u.target { Some(ask) } else { None }).collect();
        let rival = Arc::new(Rival { place, number: source.key.number().to_owned(), asks, days, costs });
        let of_supplier = self.0.entry(supplier.to_owned()).or_default();
        for one in &source.uses {
            of_supplier.entry(one.target).or_default().push(Arc::clone(&rival));
        }
    }

    /// Puts the cheapest first.
    pub(super) fn sort(&mut self) {
        let all = self.0.values_mut().flat_map(BTreeMap::values_mut);
        all.for_each(|rivals| rivals.sort_by(|a, b| a.order().cmp(&b.order())));
    }

    /// The offers of a supplier that serve this and stand before an offer of this price of one and this name.
    pub(super) fn before<'f>(
        &'f self,
        (supplier, target): (&str, Target),
        one: (Option<Money>, &'f str),
    ) -> impl Iterator<Item = &'f Rival> {
        let rivals = self.0.get(supplier).and_then(|serves| serves.get(&target)).map(Vec::as_slice).unwrap_or_default();
        rivals.iter().map(Arc::as_ref).take_while(move |rival| rival.order() < one)
    }

    /// Whether an offer that serves nothing but these asks, alone, is beaten at every quantity up to
    /// so many pieces; `days` are those until its delivery.
    pub(super) fn beats(&self, glance: &Glance<'_>, asks: &[usize], (pieces, days): (u32, u32)) -> bool {
        let Some(first) = asks.first() else { return false };
        let cost = |n| least_cost((glance.tiers, glance.pack.max(1), glance.minimum, glance.stock), n);
        self.before((glance.supplier, Target::Single(*first)), (cost(1), glance.number)).any(|rival| {
            rival.days <= days
                && asks.iter().all(|ask| rival.asks.binary_search(ask).is_ok())
                && (1..=pieces).zip(&rival.costs).filter(|(n, own)| no_dearer(**own, cost(*n))).count()
                    == pieces as usize
        })
    }
}

impl Rival {
    /// Price of one, then name.
    fn order(&self) -> (Option<Money>, &str) {
        (self.costs.first().copied().flatten(), self.number.as_str())
    }
}

/// Whether the first is to be had wherever the second is, and costs no more.
fn no_dearer(rival: Option<Money>, one: Option<Money>) -> bool {
    match (rival, one) {
        (Some(rival), Some(one)) => rival <= one,
        (_, None) => true,
        (None, Some(_)) => false,
    }
}
