//! The one entry of the library: job and shop to judgement and plan. No I/O.
//!
//! The order of the rooms is the order of the calls here: [`crate::stress`] works out what
//! every part sees, [`crate::rules`] judge it, `substitute` states needs and finds candidates,
//! `purchase` buys.

mod again;
mod alone;
mod around;
mod bias;
mod cans;
mod ceiling;
mod check;
mod complete;
mod inspect;
mod intake;
mod narrowed;
mod order;
mod plan;
mod record;
mod shares;
mod why;
mod wish;

use crate::model::plan::{Inspection, Plan};
use crate::money::Money;
use crate::{rules, substitute};

pub use crate::purchase::PurchaseError;
pub use ceiling::can_wait;
pub use check::{CheckError, Checked, check};
pub use complete::complete;
pub use inspect::inspect;
pub use intake::Intake;
pub use plan::{plan, plan_from};

/// Why there is no plan.
#[derive(Debug, thiserror::Error)]
pub enum PlanError {
    /// A supplier's prices cannot be turned into the shop's currency.
    #[error("no exchange rate for {currency}, the currency of {supplier}; give it under [exchange] in shop.toml")]
    NoRate {
        /// Supplier.
        supplier: String,
        /// Its currency.
        currency: String,
    },
    /// An offer names a supplier that the shop has no terms of.
    #[error("no terms for supplier {0}; give them in suppliers.csv")]
    NoSupplier(String),
    /// No job has this reference.
    #[error("{0} is in no parts list")]
    NoReference(String),
    /// Several jobs have this reference.
    #[error("{0} is in several parts lists: {1}; write JOB/REF")]
    SeveralReferences(String, String),
    /// The purchase could not be worked out.
    #[error("the purchase could not be worked out: {0}")]
    Purchase(PurchaseError),
}

/// Whether a demand or wish of the technician's would have lowered safety and was not followed.
pub fn safety_refused(plan: &Plan) -> bool {
    plan.needs.iter().flat_map(|n| &n.why).any(|w| w.rule == "accept-refused")
        || plan.inspections.iter().any(wish_refused)
}

/// Whether a wish would have lowered safety and was not followed.
pub fn wish_refused(inspection: &Inspection) -> bool {
    inspection.judgements.iter().flat_map(|j| &j.findings).any(|f| f.rule == "wish" && f.safety)
}

/// What the command line (or any other caller) says about choosing.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Choices {
    /// At most so many suppliers.
    pub max_suppliers: Option<u32>,
    /// Only offers delivered within so many days.
    pub within_days: Option<u32>,
    /// What may be spent.
    pub ceiling: Option<Money>,
    /// Stop the search after so many seconds.
    pub seconds: Option<f64>,
    /// Tell the story of this reference.
    pub why: Option<String>,
}

/// Every key that a shop may set under `[margins]`.
pub fn margin_keys() -> Vec<&'static str> {
    rules::thresholds().map(|t| t.key).chain(substitute::MARGINS.iter().map(|m| m.key)).collect()
}
