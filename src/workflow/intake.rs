//! Where the offers of a catalog go: one pass for every search that a plan asks for, that is what is in
//! time, what comes too late, and what would serve if a wish were given up.

use super::Choices;
use super::order;
use super::wish::Wish;
use crate::model::shop::{Glance, Offer, Outline, Shop};
use crate::substitute::arrange::MissedCans;
use crate::substitute::candidates::{Ask, Found, Search};

/// Takes offers, in any order; several readers may each fill one of their own.
#[derive(Debug)]
pub struct Intake<'a> {
    shop: &'a Shop,
    within_days: Option<u32>,
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
    place: Option<Search<'a>>,
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

/// What was found.
pub(super) struct Finds<'a> {
    pub(super) in_time: Found<'a>,
    pub(super) missed: MissedCans<'a>,
    pub(super) late: Found<'a>,
    pub(super) whenever: Option<Found<'a>>,
    pub(super) given_up: Vec<Found<'a>>,
    pub(super) place: Found<'a>,
}

impl<'a> Intake<'a> {
    /// An intake for all that is sought, with the shelf looked at.
    pub(super) fn new(sought: Sought<'a>, shop: &'a Shop, choices: &Choices) -> Self {
        let Sought { asks, place, without } = sought;
        let told = choices.why.is_some() && choices.within_days.is_some();
        let in_time = Search::new(asks, shop);
        let mut intake = Self {
            shop,
            within_days: choices.within_days,
            missed: MissedCans::new(asks),
            late: in_time.fork(),
            whenever: told.then(|| in_time.fork()),
            given_up: without.iter().map(|asks| Search::new(asks, shop)).collect(),
            place: (!place.is_empty()).then(|| Search::new(place, shop).without_pruning()),
            in_time,
        };
        for item in &shop.shelf {
            intake.in_time.shelf(item);
            let more = intake.whenever.iter_mut().chain(&mut intake.given_up).chain(&mut intake.place);
            more.for_each(|search| search.shelf(item));
        }
        intake
    }

    /// Whether an offer of which so little is known could come to anything; one that is refused need not be
    /// read any further and changes nothing.
    pub fn heeds(&mut self, outline: &Outline<'_>) -> bool {
        if self.whenever.iter_mut().any(|search| search.heeds(outline)) {
            return true;
        }
        if order::in_time((outline.supplier, outline.lead_days), self.shop, self.within_days) {
            self.in_time.heeds(outline)
                || self.place.iter_mut().chain(&mut self.given_up).any(|search| search.heeds(outline))
        } else {
            self.late.heeds(outline)
        }
    }

    /// Whether the offer could come to anything, by a cheap look; one that is refused need not be
    /// read any further and changes nothing.
    pub fn wants(&mut self, glance: &Glance<'_>) -> bool {
        if self.whenever.iter_mut().any(|search| search.wants(glance)) {
            return true;
        }
        // A can is wanted by every search, so that those that just miss are seen too.
        if order::in_time((glance.supplier, glance.lead_days), self.shop, self.within_days) {
            self.in_time.wants(glance)
                || self.place.iter_mut().chain(&mut self.given_up).any(|search| search.wants(glance))
        } else {
            self.late.wants(glance)
        }
    }

    /// Looks at an offer; it is not kept unless it serves.
    pub fn take(&mut self, offer: &Offer) {
        self.whenever.iter_mut().for_each(|search| search.offer(offer));
        if order::in_time((&offer.supplier, offer.lead_days), self.shop, self.within_days) {
            self.missed.offer(offer);
            self.in_time.offer(offer);
            self.place.iter_mut().chain(&mut self.given_up).for_each(|search| search.offer(offer));
        } else {
            self.late.offer(offer);
        }
    }

    /// An empty intake for the same, for another reader.
    #[must_use]
    pub fn fork(&self) -> Self {
        Self {
            shop: self.shop,
            within_days: self.within_days,
            in_time: self.in_time.fork(),
            missed: self.missed.fork(),
            late: self.late.fork(),
            whenever: self.whenever.as_ref().map(Search::fork),
            given_up: self.given_up.iter().map(Search::fork).collect(),
            place: self.place.as_ref().map(Search::fork),
        }
    }

    /// Takes over what another reader's intake has found.
    pub fn join(&mut self, other: Self) {
        self.in_time.join(other.in_time);
        self.missed.join(other.missed);
        self.late.join(other.late);
        let mine = self.whenever.iter_mut().chain(&mut self.given_up).chain(&mut self.place);
        let theirs = other.whenever.into_iter().chain(other.given_up).chain(other.place);
        mine.zip(theirs).for_each(|(mine, theirs)| mine.join(theirs));
    }

    /// What was found.
    pub(super) fn finish(self) -> Finds<'a> {
        let shop = self.shop;
        Finds {
            in_time: self.in_time.finish(),
            missed: self.missed,
            late: self.late.finish(),
            whenever: self.whenever.map(Search::finish),
            given_up: self.given_up.into_iter().map(Search::finish).collect(),
            place: self.place.unwrap_or_else(|| Search::new(&[], shop)).finish(),
        }
    }
}

/// The asks as each wish given up would have them.
pub(super) fn asks_without<'a>(wishes: &'a [Wish], asks: &[Ask<'a>]) -> Vec<Vec<Ask<'a>>> {
    wishes.iter().map(|wish| wish.asks(asks)).collect()
}
