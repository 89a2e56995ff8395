//! An offer at a glance, for passing most of a large catalog by.

use super::kind::PartKind;
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

/// The least that tells whether an offer could be of use: what most of a large catalog is passed by with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outline<'r> {
    /// Supplier.
    pub supplier: &'r str,
    /// Days until delivery by its own line.
    pub lead_days: Option<u32>,
    /// Kind.
    pub kind: PartKind,
    /// Capacitance in farads or resistance in ohms; `None` for a can with sections and for what has a name.
    pub figure: Option<f64>,
    /// Designation of valves, lamps, fuses, hardware.
    pub name: Option<&'r str>,
    /// DC rating, V.
    pub volts: Option<f64>,
    /// Power, W.
    pub watts: Option<f64>,
    /// Upper category temperature, °C.
    pub temp: Option<f64>,
}
