//! The best offers so far of each supplier, against which later ones are held before they are read
//! in full: where a crowd serves, what one of these beats need not be looked at any further.

use std::collections::BTreeMap;

use super::source::{Source, Target, least_cost};
use crate::model::need::Answer;
use crate::model::shop::Glance;
use crate::money::Money;

/// Offers that have stood the last pruning, by supplier.
#[derive(Debug, Clone, Default)]
pub(super) struct Floor(BTreeMap<String, Vec<Rival>>);

/// An offer to be had in all the quantity that its uses can take, with prices that fall.
#[derive(Debug, Clone)]
struct Rival {
    number: String,
    /// Asks that it serves alone, in order, without any caution.
    asks: Vec<usize>,
    days: u32,
    /// The least cost of one piece, of two, and so on.
    costs: Vec<Option<Money>>,
}

impl Floor {
    /// Adds an offer that serves an ask alone.
    pub(super) fn add(&mut self, source: &Source, days: u32, costs: Vec<Option<Money>>) {
        let Some(supplier) = source.key.supplier() else { return };
        let best = source.uses.iter().filter(|u| u.answer == Answer::Fit && !u.second_choice);
        let asks: Vec<usize> =
            best.filter_map(|u| if let Target::Single(ask) = u.target { Some(ask) } else { None }).collect();
        if !asks.is_empty() {
            let rival = Rival { number: source.key.number().to_owned(), asks, days, costs };
            self.0.entry(supplier.to_owned()).or_default().push(rival);
        }
    }

    /// Whether an offer that serves nothing but these asks, alone, is beaten at every quantity up to
    /// so many pieces; `days` are those until its delivery.
    pub(super) fn beats(&self, glance: &Glance<'_>, asks: &[usize], (pieces, days): (u32, u32)) -> bool {
        let Some(rivals) = self.0.get(glance.supplier) else { return false };
        let cost = |n| least_cost((glance.tiers, glance.pack.max(1), glance.minimum, glance.stock), n);
        let first = cost(1);
        rivals.iter().any(|rival| {
            rival.days <= days
                && asks.iter().all(|ask| rival.asks.binary_search(ask).is_ok())
                && rival.before(first, glance.number)
                && (1..=pieces).zip(&rival.costs).filter(|(n, own)| no_dearer(**own, cost(*n))).count()
                    == pieces as usize
        })
    }
}

impl Rival {
    /// Whether it stands before an offer of this price of one and this name.
    fn before(&self, first: Option<Money>, number: &str) -> bool {
        let own = self.costs.first().copied().flatten();
        (own, self.number.as_str()) < (first, number)
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
