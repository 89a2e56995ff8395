//! Where the offers of a catalog go: to the search, or to the one for what would come too late.

use super::order;
use crate::model::shop::{Glance, Offer, Shop};
use crate::substitute::candidates::{Ask, Found, Search};

/// Takes offers, in any order; several readers may each fill one of their own.
#[derive(Debug)]
pub struct Intake<'a> {
    search: Search<'a>,
    /// What comes too late is looked at apart, to tell what waiting would bring.
    late: Search<'a>,
    shop: &'a Shop,
    within_days: Option<u32>,
}

impl<'a> Intake<'a> {
    /// An intake for these asks, with the shelf looked at.
    pub(super) fn new(asks: &'a [Ask<'a>], shop: &'a Shop, within_days: Option<u32>) -> Self {
        let mut search = Search::new(asks, shop);
        let late = search.fork();
        shop.shelf.iter().for_each(|item| search.shelf(item));
        Self { search, late, shop, within_days }
    }

    /// Whether the offer could come to anything, by a cheap look; one that is refused need not be
    /// read any further and changes nothing.
    pub fn wants(&mut self, glance: &Glance<'_>) -> bool {
        let days = (glance.supplier, glance.lead_days);
        if order::in_time(days, self.shop, self.within_days) {
            self.search.wants(glance)
        } else {
            self.late.wants(glance)
        }
    }

    /// Looks at an offer; it is not kept unless it serves.
    pub fn take(&mut self, offer: &Offer) {
        if order::in_time((&offer.supplier, offer.lead_days), self.shop, self.within_days) {
            self.search.offer(offer);
        } else {
            self.late.offer(offer);
        }
    }

    /// An empty intake for the same, for another reader.
    #[must_use]
    pub fn fork(&self) -> Self {
        Self { search: self.search.fork(), late: self.late.fork(), shop: self.shop, within_days: self.within_days }
    }

    /// Takes over what another reader's intake has found.
    pub fn join(&mut self, other: Self) {
        self.search.join(other.search);
        self.late.join(other.late);
    }

    /// What has been found, and what would come too late.
    pub(super) fn finish(self) -> (Found<'a>, Found<'a>) {
        (self.search.finish(), self.late.finish())
    }
}
