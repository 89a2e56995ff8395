//! What several jobs would cost alone, beside their common order.

use crate::money::Money;

/// What one job costs when it is ordered for itself.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Alone {
    /// Cost of the order.
    pub landed: Money,
    /// No order for this job alone can cost less than this.
    pub bound: Money,
    /// References that the common order meets and this one cannot.
    pub lacks: Vec<String>,
    /// References that this order meets and the common one cannot.
    pub gains: Vec<String>,
}

/// Ordering together held against ordering each job for itself, one after another in the order of the
/// names, under the same terms: what the shelf and the stock gave to one is gone for the next, what one
/// bought beyond its needs and spares is there for it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Together {
    /// Each job for itself, in the order of [`Plan::inspections`](super::Plan::inspections).
    pub jobs: Vec<Alone>,
    /// What those orders cost in all.
    pub alone: Money,
    /// What they cost in all is at least this.
    pub bound: Money,
    /// What the common order costs less than them; negative where it costs more.
    pub saves: Money,
    /// It saves at least this.
    pub saves_least: Money,
}

impl Together {
    /// Whether every order is for the same parts as the common one, each is proven least, and the
    /// saving is therefore exact.
    pub fn proven(&self) -> bool {
        self.comparable() && self.alone == self.bound && self.lacks().next().is_none()
    }

    /// Whether the common order meets all that the jobs' own orders meet; else nothing can be said.
    pub fn comparable(&self) -> bool {
        self.jobs.iter().all(|j| j.gains.is_empty())
    }

    /// References that only the common order meets.
    pub fn lacks(&self) -> impl Iterator<Item = &str> {
        self.jobs.iter().flat_map(|j| &j.lacks).map(String::as_str)
    }
}
