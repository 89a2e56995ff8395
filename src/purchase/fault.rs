//! What can go wrong in this room, with the data that a message or a bug report needs.

/// Why no purchase came back.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PurchaseError {
    /// The problem itself makes no sense; the caller built it wrongly.
    #[error("the purchase problem makes no sense: {0}")]
    Invalid(Fault),
    /// A plan did not stand the exact check. It is a bug of this program.
    #[error("the plan did not stand the check: {what}")]
    Disagreement {
        /// What the check found.
        what: String,
        /// The problem and the plan as text, for a bug report.
        instance: String,
    },
}

/// What makes no sense in a problem.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum Fault {
    /// A supplier has a negative amount.
    #[error("a supplier's terms hold a negative amount")]
    Terms,
    /// This source has no rising tiers, a pack of nothing, or points outside the tables.
    #[error("source {0} has no rising price tiers, a pack of nothing, or points outside the tables")]
    Source(usize),
    /// This position points outside the table of sources or asks too much.
    #[error("position {0} points outside the sources, asks too much, or selects from mixed sources")]
    Position(usize),
    /// Two positions have the same key.
    #[error("two positions have the same key")]
    PositionKeys,
    /// Two suppliers have the same name.
    #[error("two suppliers have the same name")]
    SupplierNames,
    /// More than a million pieces in all, or spares beyond ten times the need.
    #[error("more than a million pieces, or spares beyond ten times the need")]
    Size,
}
