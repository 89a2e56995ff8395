//! What is bought: the plan in the caller's own numbers, with its bill and its proof.

use crate::money::Money;

/// How long and how the search may go.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// Stop after this many seconds with the best plan and its bound; none: the search ends by
    /// counting its steps, and its result does not hang on the speed of the machine.
    pub seconds: Option<f64>,
    /// How the search goes about it.
    pub method: Method,
    /// Whether plans of the same cost are told apart in the stated order; a caller that wants the cost
    /// alone spares the search that.
    pub ties: bool,
}

impl Limits {
    /// For the cost of an order that nobody will place.
    pub fn cost_alone(seconds: Option<f64>) -> Self {
        Self { seconds, ties: false, ..Self::default() }
    }
}

impl Default for Limits {
    fn default() -> Self {
        Self { seconds: None, method: Method::BySize, ties: true }
    }
}

/// How the search goes about a problem. Each gives the same cost; the tests hold them against one another.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Method {
    /// One integer programme where the order is small, bounds and branches where it is not.
    BySize,
    /// One integer programme for the whole order.
    Whole,
    /// Every set of suppliers, and integer programmes for what shares sources; where that is too much,
    /// as [`Branch`](Self::Branch).
    Sets,
    /// Bounds, branches over the suppliers, and integer programmes for the rest.
    Branch,
}

/// A purchase plan that has stood [`verify`](super::verify()).
#[derive(Debug, Clone, PartialEq)]
pub struct Purchase {
    /// How each position that can be met is met, in the order of the problem.
    pub fits: Vec<Fit>,
    /// What is bought or taken from the shelf: by supplier's name (the shelf first) and number.
    pub buy: Vec<Line>,
    /// Suppliers ordered from, by name.
    pub suppliers: Vec<Bill>,
    /// Sums and proof.
    pub totals: Totals,
    /// Positions that are not met, in the order of the problem.
    pub unmet: Vec<Unmet>,
    /// What the search took.
    pub statistics: Statistics,
}

/// How a position is met.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fit {
    /// Index into [`Problem::positions`](super::Problem::positions).
    pub position: usize,
    /// Index into its arrangements.
    pub arrangement: usize,
    /// What comes from where, by demand.
    pub parts: Vec<Taken>,
}

/// Pieces of one source for one demand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Taken {
    /// Index into the arrangement's demands.
    pub demand: usize,
    /// Index into [`Problem::sources`](super::Problem::sources).
    pub source: usize,
    /// Pieces fitted.
    pub count: u32,
    /// Pieces to select from, beyond these.
    pub extra: u32,
}

/// One line of the order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    /// Index into [`Problem::sources`](super::Problem::sources).
    pub source: usize,
    /// Pieces fitted.
    pub needed: u32,
    /// Pieces beyond these, by reason; reasons without pieces are left out.
    pub spare: Vec<(SpareWhy, u32)>,
    /// Pieces bought: needed and spare.
    pub quantity: u32,
    /// Price of one.
    pub each: Money,
    /// Price of all.
    pub line: Money,
}

/// Why more is bought than is fitted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum SpareWhy {
    /// The shop's rule for spares.
    Policy,
    /// To select a matched set from.
    Select,
    /// To reach a lower price.
    Break,
    /// Sold in packs.
    Pack,
    /// The offer's least quantity, the supplier's minimum order, or its carriage-free sum.
    Minimum,
}

/// What one supplier charges.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bill {
    /// Index into [`Problem::suppliers`](super::Problem::suppliers).
    pub supplier: usize,
    /// Sum of the lines.
    pub goods: Money,
    /// Carriage.
    pub carriage: Money,
    /// Small-order fee.
    pub fee: Money,
    /// All three.
    pub total: Money,
}

/// The sums of the order and how good it is known to be.
#[derive(Debug, Clone, PartialEq)]
pub struct Totals {
    /// Goods of all suppliers and priced shelf lines.
    pub goods: Money,
    /// Carriage of all suppliers.
    pub carriage: Money,
    /// Fees of all suppliers.
    pub fees: Money,
    /// All three.
    pub landed: Money,
    /// No plan can cost less than this.
    pub bound: Money,
    /// (landed - bound) / landed, percent; 0 when proven.
    pub gap_percent: f64,
    /// Whether it is proven that nothing is cheaper.
    pub proven: bool,
    /// Whether the limit of seconds stopped the search.
    pub stopped: bool,
}

/// A position that is not met.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unmet {
    /// Index into [`Problem::positions`](super::Problem::positions).
    pub position: usize,
    /// Why, as far as can be told.
    pub why: UnmetWhy,
}

/// Why a position is not met.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum UnmetWhy {
    /// Nothing fits it, or what fits cannot be had in the number needed.
    NoArrangement,
    /// Stock does not go round.
    Stock,
    /// It could only come from a supplier whose minimum order cannot be reached.
    MinimumOrder,
    /// It would take more suppliers than are allowed.
    MaxSuppliers,
}

/// What the search took; for `-vv`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Statistics {
    /// Classes of like positions.
    pub classes: usize,
    /// Rows of like demands.
    pub rows: usize,
    /// Sources considered, and sources left after what cannot be in a better plan was dropped.
    pub sources: usize,
    /// Sources left after reduction.
    pub sources_kept: usize,
    /// Nodes of the search over suppliers.
    pub nodes: u64,
    /// Integer programmes solved.
    pub programmes: u64,
}
