//! The one record that every document is a view of: judged, needed, fitted, bought.

mod story;
mod together;
mod waiting;

pub use story::{Story, StoryOffer, WishCost};
pub use together::{Alone, Together};
pub use waiting::{CanWait, UnderCeiling};

use jiff::civil::Date;

use super::diagnostic::Diagnostic;
use super::finding::{Caution, Hold, Judgement, NextReading};
use super::grid::GridShares;
use super::need::{Need, Point};
use super::shop::Article;
use super::supply::SupplyOutcome;
use super::words::words;
use crate::money::{Currency, Money};

/// One chassis, judged.
#[derive(Debug, Clone, PartialEq)]
pub struct Inspection {
    /// The folder's name.
    pub job: String,
    /// Name of the set.
    pub chassis: String,
    /// Year of the set.
    pub year: Option<i32>,
    /// Day of inspection.
    pub inspected: Option<Date>,
    /// One judgement for each part, in the order of the job's parts.
    pub judgements: Vec<Judgement>,
    /// Reasons to order nothing yet.
    pub holds: Vec<Hold>,
    /// What to measure next, in the order in which it is taken.
    pub measure_next: Vec<NextReading>,
    /// The supplies.
    pub supplies: Vec<SupplyOutcome>,
    /// What was assumed for the job as a whole.
    pub assumed: Vec<String>,
    /// Cautions that this job calls for.
    pub cautions: Vec<Caution>,
    /// What DC the shop lets pass on a grid behind a coupling capacitor.
    pub grid: GridShares,
}

words!(
    /// How the parts of one position are put together.
    ArrangementKind {
        /// One part.
        Single = "single",
        /// In series.
        Series = "series",
        /// In parallel.
        Parallel = "parallel",
        /// A can with sections.
        Can = "can",
    }
);

words!(
    /// How the sections of an old can are renewed.
    CanWay {
        /// One new can for all sections.
        NewCan = "new-can",
        /// Single parts under the chassis; the old can stays, disconnected.
        Beside = "beside",
        /// New parts inside the old can.
        Inside = "inside",
    }
);

/// Pieces from one source.
#[derive(Debug, Clone, PartialEq)]
pub struct Piece {
    /// Supplier's number, or the shelf's.
    pub number: String,
    /// Supplier; `None`: from the shelf.
    pub supplier: Option<String>,
    /// How many.
    pub count: u32,
    /// What it is.
    pub article: Article,
}

/// Pieces that an arrangement needs besides its main parts.
#[derive(Debug, Clone, PartialEq)]
pub struct Extra {
    /// The pieces.
    pub piece: Piece,
    /// What for.
    pub why: String,
}

/// An offer that will not do, with the points where it fails.
#[derive(Debug, Clone, PartialEq)]
pub struct Refused {
    /// Supplier's number, with the supplier where the number alone is not unique.
    pub number: String,
    /// What it is, for people.
    pub description: String,
    /// The points where it fails.
    pub fails: Vec<Point>,
}

/// What is fitted at one position.
#[derive(Debug, Clone, PartialEq)]
pub struct Fitting {
    /// References served (several for a can or a matched group).
    pub refs: Vec<String>,
    /// How the parts are put together.
    pub arrangement: ArrangementKind,
    /// The parts.
    pub parts: Vec<Piece>,
    /// What else it needs.
    pub extras: Vec<Extra>,
    /// Years that it should last at the hours of use given, capped; `None` where no life is known.
    pub years: Option<f64>,
    /// Fitting notes: polarity, place, what is unchecked.
    pub notes: Vec<String>,
    /// At most five offers that just miss.
    pub refused: Vec<Refused>,
    /// Cost of the pieces at the prices of the order, without carriage.
    pub cost: Money,
}

words!(
    /// Why more is bought than needed.
    SpareWhy {
        /// The shop's spares policy.
        Policy = "policy",
        /// To select a matched pair from.
        Select = "select",
        /// A price break or free carriage makes more cheaper.
        Break = "break",
        /// Sold in packs.
        Pack = "pack",
        /// Least quantity or least order.
        Minimum = "minimum",
    }
);

/// One line of the shopping list.
#[derive(Debug, Clone, PartialEq)]
pub struct BuyLine {
    /// Supplier.
    pub supplier: String,
    /// Supplier's number.
    pub number: String,
    /// What it is.
    pub article: Article,
    /// Pieces to order: needed and spare.
    pub quantity: u32,
    /// Pieces needed.
    pub needed: u32,
    /// Pieces beyond the need.
    pub spare: u32,
    /// Why there are spares: the reason for most of them, the first in the order of [`SpareWhy`] of equals.
    pub spare_why: Option<SpareWhy>,
    /// Price of one at this quantity, in the shop's currency.
    pub each: Money,
    /// Price of the line.
    pub line: Money,
    /// Quantity from which that price holds.
    pub tier_from: u32,
    /// Pieces in stock, where the catalog says.
    pub stock: Option<u32>,
    /// Days until delivery, where known.
    pub lead_days: Option<u32>,
    /// References that the pieces are for.
    pub refs: Vec<String>,
}

/// Pieces taken from the shelf.
#[derive(Debug, Clone, PartialEq)]
pub struct ShelfTake {
    /// The shelf's number.
    pub number: String,
    /// What it is.
    pub article: Article,
    /// Pieces.
    pub quantity: u32,
    /// What they are charged at.
    pub line: Money,
    /// References that they are for.
    pub refs: Vec<String>,
}

/// One supplier's bill.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SupplierBill {
    /// Supplier.
    pub supplier: String,
    /// Goods.
    pub goods: Money,
    /// Carriage.
    pub carriage: Money,
    /// Small-order fee.
    pub fee: Money,
    /// All of it.
    pub total: Money,
    /// What is missing to free carriage; `None` where carriage is free already or never is.
    pub to_free_carriage: Option<Money>,
}

/// The order's totals.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Totals {
    /// Goods, shelf charges included.
    pub goods: Money,
    /// Carriage.
    pub carriage: Money,
    /// Fees.
    pub fees: Money,
    /// All of it.
    pub landed: Money,
    /// No order that meets the needs can cost less than this.
    pub bound: Money,
    /// The distance between both, percent of `landed`.
    pub gap_percent: f64,
    /// Whether nothing cheaper exists.
    pub proven: bool,
}

/// A need that nothing in the catalog meets.
#[derive(Debug, Clone, PartialEq)]
pub struct Unmet {
    /// Reference.
    pub reference: String,
    /// What is needed, in words.
    pub need: String,
    /// Of a part known by its designation what it has to bear and how that is known, for looking elsewhere.
    pub wanted: Vec<String>,
    /// The nearest offers with the points where each fails.
    pub nearest: Vec<Refused>,
    /// What would have to give, in words.
    pub would_help: Vec<String>,
}

/// One way of renewing the sections of a can, with what it costs or why it cannot be done.
#[derive(Debug, Clone, PartialEq)]
pub struct CanOption {
    /// The way.
    pub way: CanWay,
    /// The parts.
    pub parts: Vec<Piece>,
    /// What else it needs: tag strip, sleeving, balancing resistors.
    pub extras: Vec<Extra>,
    /// Goods for it at the prices of the order; `None` where it cannot be had.
    pub goods: Option<Money>,
    /// The most that the order would cost more (less: negative) with this way; `None` where it cannot be
    /// had, where the plan has nothing to compare with, and in orders of many cans.
    pub difference: Option<Money>,
    /// Whether the plan does it so.
    pub taken: bool,
    /// Why it cannot be done, in a few words.
    pub why_not: Option<String>,
}

/// The ways of renewing one can, side by side.
#[derive(Debug, Clone, PartialEq)]
pub struct CanWays {
    /// The can's group letter.
    pub can: String,
    /// Its sections that are renewed.
    pub refs: Vec<String>,
    /// Every way, in the order of [`CanWay`].
    pub options: Vec<CanOption>,
}

/// What ordering without the optimum would cost; the reason where it is not possible.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ByHand {
    /// The cheapest fitting part line by line, bought so.
    pub landed: Result<Money, String>,
    /// Everything possible from the one best supplier, the rest line by line.
    pub one_supplier: Result<Money, String>,
}

/// What the search for the cheapest order took.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Effort {
    /// Classes of like positions.
    pub classes: usize,
    /// Offers and shelf lines that serve.
    pub sources: usize,
    /// Those left after what cannot be in a better order was dropped.
    pub sources_kept: usize,
    /// Nodes of the search.
    pub nodes: u64,
    /// Integer programmes solved.
    pub programmes: u64,
}

/// Judged, needed, fitted, bought: everything that the documents show.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// The jobs, in order of their names.
    pub inspections: Vec<Inspection>,
    /// The shop's currency.
    pub currency: Currency,
    /// What each new part must be.
    pub needs: Vec<Need>,
    /// What is fitted where.
    pub fits: Vec<Fitting>,
    /// What is bought.
    pub buy: Vec<BuyLine>,
    /// What is taken from the shelf.
    pub shelf: Vec<ShelfTake>,
    /// Cans with the ways of renewing them.
    pub cans: Vec<CanWays>,
    /// Bills.
    pub bills: Vec<SupplierBill>,
    /// Totals.
    pub totals: Totals,
    /// Needs that nothing meets.
    pub unmet: Vec<Unmet>,
    /// Ordering by hand, for comparison.
    pub by_hand: ByHand,
    /// Catalog lines set aside.
    pub set_aside: usize,
    /// What is wrong with those lines, the first two thousand of them.
    pub diagnostics: Vec<Diagnostic>,
    /// What was assumed in choosing.
    pub assumed: Vec<String>,
    /// Whether the search was stopped by its time limit.
    pub stopped: bool,
    /// What each job costs of the common order, in the order of `inspections`.
    pub job_shares: Vec<Money>,
    /// What ordering together saves; `None` with one job.
    pub together: Option<Together>,
    /// The story of one position, where it was asked for.
    pub story: Option<Story>,
    /// What the search took; for people who ask, in no document.
    pub effort: Effort,
    /// What can wait: under a ceiling what was left out for it, else all that is only advised.
    pub can_wait: Vec<CanWait>,
    /// How a ceiling of the caller's was kept, where one left something out.
    pub under_ceiling: Option<UnderCeiling>,
}

impl Plan {
    /// Whether references are written `JOB/REF`.
    pub fn several_jobs(&self) -> bool {
        self.inspections.len() > 1
    }

    /// Whether anything holds the order.
    pub fn on_hold(&self) -> bool {
        self.inspections.iter().any(|i| !i.holds.is_empty())
    }
}
