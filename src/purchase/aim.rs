//! What an integer programme is asked for, and why it may give no plan.

/// What is asked of the programme.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Aim {
    /// As many positions as possible.
    Meet,
    /// The least cost.
    Cost,
    /// The least cost, if it is at most this.
    Under(f64),
    /// The fewest suppliers, then numbers, at no more than this cost.
    Few(f64),
    /// The longest life at no more than this cost and these suppliers and numbers.
    Life(f64, f64),
    /// Any plan with that cost, those suppliers and numbers, and no shorter a life.
    Any(f64, f64, f64),
}

/// Why a programme gave no plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum NoPlan {
    /// There is none.
    Infeasible,
    /// The solver found none in time, or met with numerical trouble.
    Unknown,
}
