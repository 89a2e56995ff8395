//! The one entry of the library: job and shop to judgement and plan. No I/O.
//!
//! The order of the rooms is the order of the calls here: [`stress`](crate::stress) works out what
//! every part sees, [`rules`](crate::rules) judge it, `substitute` states needs and finds candidates,
//! `purchase` buys.

mod inspect;

use crate::money::Money;
use crate::rules;

pub use inspect::inspect;

/// What the command line (or any other caller) says about choosing.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Choices {
    /// At most so many suppliers.
    pub max_suppliers: Option<u32>,
    /// Only offers delivered within so many days.
    pub within_days: Option<u32>,
    /// What may be spent.
    pub ceiling: Option<Money>,
    /// Stop the search after so many seconds.
    pub seconds: Option<f64>,
}

/// Every key that a shop may set under `[margins]`.
pub fn margin_keys() -> Vec<&'static str> {
    rules::thresholds().map(|t| t.key).collect()
}
