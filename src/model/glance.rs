//! An offer at a glance, for passing most of a large catalog by.

use super::shop::{Article, Tier};

/// What can be seen of an offer before it is read in full.
#[derive(Debug, Clone, Copy)]
pub struct Glance<'r> {
    /// Supplier's number.
    pub number: &'r str,
    /// Supplier.
    pub supplier: &'r str,
    /// What it is, without a description.
    pub article: &'r Article,
    /// Price tiers, rising from the least quantity.
    pub tiers: &'r [Tier],
    /// Sold in multiples of this.
    pub pack: u32,
    /// Least quantity.
    pub minimum: u32,
    /// Pieces in stock; `None` when the catalog does not say (then not limited).
    pub stock: Option<u32>,
    /// Days until delivery by its own line.
    pub lead_days: Option<u32>,
}
