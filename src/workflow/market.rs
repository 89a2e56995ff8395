//! One pass over the catalog for every search that a plan asks for: what is in time, what comes too
//! late, and what would serve if a wish were given up.

use super::Choices;
use super::order;
use super::wish::Wish;
use crate::model::shop::{Offer, Shop};
use crate::substitute::arrange::MissedCans;
use crate::substitute::candidates::{Ask, Found, Search};

/// The searches under way.
pub(super) struct Market<'a> {
    shop: &'a Shop,
    within: Option<u32>,
    in_time: Search<'a>,
    /// The nearest of the cans in time that do not do.
    missed: MissedCans<'a>,
    /// What comes too late is looked at apart, to tell what waiting would bring.
    late: Search<'a>,
    /// Early and late together; only where the story of a place is told.
    whenever: Option<Search<'a>>,
    /// In time, one for each wish given up.
    given_up: Vec<Search<'a>>,
    /// In time, all that serves the place whose story is told, what another offer beats included.
    place: Search<'a>,
}

/// What is looked for.
#[derive(Clone, Copy)]
pub(super) struct Sought<'a> {
    /// The need of every place.
    pub(super) asks: &'a [Ask<'a>],
    /// Those of the place whose story is told.
    pub(super) place: &'a [Ask<'a>],
    /// All of them as each wish given up would have them.
    pub(super) without: &'a [Vec<Ask<'a>>],
}

/// What they found.
pub(super) struct Finds<'a> {
    pub(super) in_time: Found<'a>,
    pub(super) missed: MissedCans<'a>,
    pub(super) late: Found<'a>,
    pub(super) whenever: Option<Found<'a>>,
    pub(super) given_up: Vec<Found<'a>>,
    pub(super) place: Found<'a>,
}

impl<'a> Market<'a> {
    /// The searches for all that is sought.
    pub(super) fn new(sought: Sought<'a>, shop: &'a Shop, choices: &Choices) -> Self {
        let Sought { asks, place, without } = sought;
        let told = choices.why.is_some() && choices.within_days.is_some();
        let mut market = Self {
            shop,
            within: choices.within_days,
            in_time: Search::new(asks, shop),
            missed: MissedCans::new(asks),
            late: Search::new(asks, shop),
            whenever: told.then(|| Search::new(asks, shop)),
            given_up: without.iter().map(|asks| Search::new(asks, shop)).collect(),
            place: Search::new(place, shop).without_pruning(),
        };
        for item in &shop.shelf {
            market.in_time.shelf(item);
            market.place.shelf(item);
            market.whenever.iter_mut().chain(&mut market.given_up).for_each(|search| search.shelf(item));
        }
        market
    }

    /// Looks at one offer.
    pub(super) fn offer(&mut self, offer: &Offer) {
        self.whenever.iter_mut().for_each(|search| search.offer(offer));
        if order::in_time(offer, self.shop, self.within) {
            self.missed.offer(offer);
            self.in_time.offer(offer);
            self.place.offer(offer);
            self.given_up.iter_mut().for_each(|search| search.offer(offer));
        } else {
            self.late.offer(offer);
        }
    }

    /// What was found.
    pub(super) fn finish(self) -> Finds<'a> {
        Finds {
            in_time: self.in_time.finish(),
            missed: self.missed,
            late: self.late.finish(),
            whenever: self.whenever.map(Search::finish),
            given_up: self.given_up.into_iter().map(Search::finish).collect(),
            place: self.place.finish(),
        }
    }
}

/// The asks as each wish given up would have them.
pub(super) fn asks_without<'a>(wishes: &'a [Wish], asks: &[Ask<'a>]) -> Vec<Vec<Ask<'a>>> {
    wishes.iter().map(|wish| wish.asks(asks)).collect()
}
