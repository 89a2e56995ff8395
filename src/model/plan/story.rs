//! The story of one position: what was best, what just missed, what each wish costs.

use super::{Fitting, Refused};
use crate::model::shop::Article;
use crate::money::Money;

/// An offer that serves a position.
#[derive(Debug, Clone, PartialEq)]
pub struct StoryOffer {
    /// `SUPPLIER:NUMBER`.
    pub number: String,
    /// What it is.
    pub article: Article,
    /// Price of one in the shop's currency; `None` where it comes too late.
    pub each: Option<Money>,
    /// Whether the order holds it.
    pub in_order: bool,
    /// Points that call for care.
    pub cautions: Vec<String>,
}

/// What one change would do to the cost of the whole order, found by solving it again.
#[derive(Debug, Clone, PartialEq)]
pub struct WishCost {
    /// The change.
    pub what: String,
    /// More (or, negative, less) than the plan; `None`: not possible.
    pub difference: Option<Money>,
    /// Whether the plan and the changed order are both proven least, so that the difference is exact.
    pub proven: bool,
    /// What would be fitted here then, where it is not what the plan fits.
    pub instead: Option<Fitting>,
    /// References that would be met only then.
    pub meets: Vec<String>,
}

/// The story of one position beyond what the plan holds.
#[derive(Debug, Clone, PartialEq)]
pub struct Story {
    /// Reference as the plan writes it.
    pub reference: String,
    /// The best that serve alone, by the price of one.
    pub best: Vec<StoryOffer>,
    /// What just misses.
    pub missed: Vec<Refused>,
    /// What each change would cost.
    pub costs: Vec<WishCost>,
    /// What the new part must be for safety's sake, which is never weighed against money.
    pub firm: Vec<String>,
}
