//! What the technician owns across jobs: settings, suppliers, offers, shelf, tables.

use std::collections::BTreeMap;

pub use super::glance::{Glance, Outline};
use super::kind::{MainsClass, PartKind, Style};
use super::part::Value;
use super::words::words;
use crate::money::{Currency, Money, Percent, Rate};
use crate::units::{Ampere, Celsius, Farad, Hertz, Hour, Millimetre, Ohm, Tolerance, Volt, Watt};

/// Price of one piece from a quantity on, for all pieces.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Tier {
    /// From this quantity on.
    pub from: u32,
    /// Price of each, in the supplier's currency.
    pub each: Money,
}

/// A section of a can.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Section {
    /// Capacitance.
    pub farad: Farad,
    /// DC rating.
    pub volts: Volt,
}

/// Ripple rating with the frequency that it holds at.
#[derive(Debug, Clone, PartialEq)]
pub struct RippleRating {
    /// Rated current, rms.
    pub current: Ampere,
    /// Frequency of the rating; `None` when the catalog does not say (then 100 Hz is assumed and printed).
    pub at: Option<Hertz>,
    /// Multipliers by frequency, rising; empty when the catalog has none.
    pub factors: Vec<(Hertz, f64)>,
}

/// What a part for sale (or on the shelf) is, apart from who sells it.
#[derive(Debug, Clone, PartialEq)]
pub struct Article {
    /// Kind.
    pub kind: PartKind,
    /// Value or designation; `None` for a can with sections.
    pub value: Option<Value>,
    /// Tolerance.
    pub tolerance: Option<Tolerance>,
    /// DC rating; on a resistor its limiting voltage.
    pub volts: Option<Volt>,
    /// AC rating.
    pub vac: Option<Volt>,
    /// Safety class.
    pub class: Option<MainsClass>,
    /// Power.
    pub watts: Option<Watt>,
    /// Upper category temperature.
    pub temp: Option<Celsius>,
    /// Endurance at that temperature.
    pub life: Option<Hour>,
    /// Ripple rating.
    pub ripple: Option<RippleRating>,
    /// Loss factor limit.
    pub loss_factor: Option<f64>,
    /// Leakage limit.
    pub leakage: Option<Ampere>,
    /// Series resistance.
    pub esr: Option<Ohm>,
    /// Mounting.
    pub style: Option<Style>,
    /// Body diameter.
    pub diameter: Option<Millimetre>,
    /// Body length.
    pub length: Option<Millimetre>,
    /// Lead length.
    pub lead: Option<Millimetre>,
    /// Whether it is polarised; `None` where the catalog does not say (an electrolytic then is).
    pub polarised: Option<bool>,
    /// Whether it is flameproof; `None` where the catalog does not say (then not).
    pub flameproof: Option<bool>,
    /// Sections of a can; empty for single parts.
    pub sections: Vec<Section>,
    /// Whether the sections of a can share their negative.
    pub common_negative: bool,
    /// Year of make.
    pub made: Option<i32>,
    /// The supplier's description.
    pub description: Option<String>,
}

impl Article {
    /// An article of which nothing but the kind is known.
    pub const fn of_kind(kind: PartKind) -> Self {
        Self {
            kind,
            value: None,
            tolerance: None,
            volts: None,
            vac: None,
            class: None,
            watts: None,
            temp: None,
            life: None,
            ripple: None,
            loss_factor: None,
            leakage: None,
            esr: None,
            style: None,
            diameter: None,
            length: None,
            lead: None,
            polarised: None,
            flameproof: None,
            sections: Vec::new(),
            common_negative: false,
            made: None,
            description: None,
        }
    }

    /// Capacitance of a single capacitor.
    pub fn farad(&self) -> Option<Farad> {
        match self.value {
            Some(Value::Farad(farad)) => Some(farad),
            _ => None,
        }
    }

    /// Resistance of a resistor.
    pub fn ohm(&self) -> Option<Ohm> {
        match self.value {
            Some(Value::Ohm(ohm)) => Some(ohm),
            _ => None,
        }
    }

    /// Designation of valves, lamps, fuses, hardware.
    pub fn designation(&self) -> Option<&str> {
        match &self.value {
            Some(Value::Designation(text)) => Some(text),
            _ => None,
        }
    }
}

/// One supplier's offer.
#[derive(Debug, Clone, PartialEq)]
pub struct Offer {
    /// Supplier's number.
    pub number: String,
    /// Supplier.
    pub supplier: String,
    /// What it is.
    pub article: Article,
    /// Price tiers, rising from the least quantity.
    pub tiers: Vec<Tier>,
    /// Sold in multiples of this.
    pub pack: u32,
    /// Least quantity.
    pub minimum: u32,
    /// Pieces in stock; `None` when the catalog does not say (then not limited).
    pub stock: Option<u32>,
    /// Days until delivery; wins over the supplier's.
    pub lead_days: Option<u32>,
}

impl Offer {
    /// `SUPPLIER:NUMBER`, by which an offer is known.
    pub fn name(&self) -> String {
        format!("{}:{}", self.supplier, self.number)
    }
}

/// A line of the shelf.
#[derive(Debug, Clone, PartialEq)]
pub struct ShelfItem {
    /// The technician's own number.
    pub number: String,
    /// What it is.
    pub article: Article,
    /// Pieces on the shelf.
    pub quantity: u32,
    /// What one is charged at, in the shop's currency; nothing when not given.
    pub price: Money,
}

/// Terms of a supplier, in its own currency.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Supplier {
    /// Name.
    pub name: String,
    /// Currency of its prices.
    pub currency: Currency,
    /// Carriage of one order.
    pub carriage: Money,
    /// Goods from which carriage is free.
    pub free_over: Option<Money>,
    /// Goods below which the order is small.
    pub minimum_order: Option<Money>,
    /// Fee on a small order; `None` with a minimum: such an order is not possible.
    pub small_order_fee: Option<Money>,
    /// Days until delivery.
    pub lead_days: Option<u32>,
}

/// Another designation that does for one, with the user's note.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Equivalent {
    /// The designation wanted.
    pub designation: String,
    /// What may stand in for it.
    pub equivalent: String,
    /// The user's remark.
    pub note: Option<String>,
}

/// Limits of a rectifier type, from the user's table.
#[derive(Debug, Clone, PartialEq)]
pub struct RectifierData {
    /// Type.
    pub designation: String,
    /// `valve-indirect` and so on, as in the chassis sheet.
    pub kind: Option<super::chassis::RectifierKind>,
    /// `i = perveance · v^1.5`, A and V, per anode.
    pub perveance: Option<f64>,
    /// Largest first capacitor.
    pub max_first: Option<Farad>,
    /// Largest repetitive peak per anode.
    pub max_peak: Option<Ampere>,
    /// Largest surge per anode.
    pub max_surge: Option<Ampere>,
    /// Largest direct current.
    pub max_average: Option<Ampere>,
    /// Least source resistance by winding voltage, rising.
    pub min_source: Vec<(Volt, Ohm)>,
    /// Heater voltage.
    pub heater: Option<Volt>,
    /// Heater current.
    pub heater_current: Option<Ampere>,
    /// Where the figures come from.
    pub source: Option<String>,
}

/// Labour for one kind of work.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LabourRate {
    /// Minutes at the hourly rate.
    Minutes(f64),
    /// A flat sum.
    Flat(Money),
}

/// What the quote needs beyond the parts; `None` where the shop has not said.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct QuoteSettings {
    /// Hourly rate.
    pub rate_per_hour: Option<Money>,
    /// By kind of work: `electrolytic film can restuff resistor lead valve test other`.
    pub labour: BTreeMap<String, LabourRate>,
    /// Mark-up on parts.
    pub markup: Option<Percent>,
    /// Tax.
    pub tax: Option<Percent>,
    /// Bench fee, tax included.
    pub bench_fee: Option<Money>,
    /// Whether the bench fee is taken off when the work goes ahead.
    pub bench_fee_credited: bool,
    /// Allowance for faults not yet seen.
    pub allowance: Option<Percent>,
    /// Deposit.
    pub deposit: Option<Percent>,
    /// Days that the quote holds.
    pub valid_days: Option<u32>,
    /// Days of warranty on the work.
    pub warranty_days: Option<u32>,
}

/// Extra pieces to buy; all zero unless the shop says otherwise.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct SparePolicy {
    /// For each film, mica, ceramic, paper or suppressor number bought.
    pub film: u32,
    /// For each resistor number bought.
    pub resistor: u32,
    /// For each electrolytic number bought.
    pub electrolytic: u32,
    /// Above ten pieces of a number: this percentage instead.
    pub over_ten: Percent,
    /// Extra for each matched pair, to select from.
    pub to_select: u32,
}

/// Limits on how to choose.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Choose {
    /// At most so many suppliers.
    pub max_suppliers: Option<u32>,
    /// At most so many parts for one place.
    pub max_parts_per_place: Option<u32>,
    /// Two equal capacitors in series allowed.
    pub series_pairs: bool,
    /// Two capacitors in parallel allowed.
    pub parallel_pairs: bool,
    /// Snap-in parts allowed everywhere.
    pub snap_in: bool,
}

impl Default for Choose {
    fn default() -> Self {
        Self {
            max_suppliers: None,
            max_parts_per_place: None,
            series_pairs: true,
            parallel_pairs: true,
            snap_in: false,
        }
    }
}

words!(
    /// Which side's words the labels use.
    WordSet {
        /// Valve, HT, anode, earth.
        Uk = "uk",
        /// Tube, B+, plate, ground.
        Us = "us",
    }
);

/// Thresholds that the shop has set, by rule id and threshold name (`rule` or `rule.name`).
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Margins(pub BTreeMap<String, f64>);

impl Margins {
    /// The shop's figure for a threshold, if it has set one.
    pub fn get(&self, key: &str) -> Option<f64> {
        self.0.get(key).copied()
    }
}

/// The shop, but for its catalog, which is read as a stream.
#[derive(Debug, Clone, PartialEq)]
pub struct Shop {
    /// The shop's own currency.
    pub currency: Currency,
    /// One foreign unit in the shop's currency.
    pub exchange: BTreeMap<Currency, Rate>,
    /// Quote settings.
    pub quote: QuoteSettings,
    /// Thresholds.
    pub margins: Margins,
    /// Spares.
    pub spares: SparePolicy,
    /// Limits on choosing.
    pub choose: Choose,
    /// UK or US words.
    pub words: WordSet,
    /// Suppliers by name.
    pub suppliers: Vec<Supplier>,
    /// The shelf.
    pub shelf: Vec<ShelfItem>,
    /// The user's equivalents.
    pub equivalents: Vec<Equivalent>,
    /// Rectifier limits.
    pub rectifiers: Vec<RectifierData>,
}

impl Shop {
    /// The supplier of this name.
    pub fn supplier(&self, name: &str) -> Option<&Supplier> {
        self.suppliers.iter().find(|s| s.name == name)
    }

    /// The rectifier data of this designation (case-blind).
    pub fn rectifier(&self, designation: &str) -> Option<&RectifierData> {
        self.rectifiers.iter().find(|r| r.designation.eq_ignore_ascii_case(designation.trim()))
    }

    /// The rate that turns this currency into the shop's own; `None` when the shop gives none.
    pub fn rate(&self, currency: &Currency) -> Option<Rate> {
        if *currency == self.currency { Some(Rate::ONE) } else { self.exchange.get(currency).copied() }
    }
}
