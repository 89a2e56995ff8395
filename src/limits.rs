//! The handbook's limits: the figure, where it is from and what it holds for.
//!
//! The formulas that use them are in the physics room. Where a rule's threshold repeats one of them in the unit of
//! the shop's settings, a test beside the rules holds both together; figures of choosing that are our own stand in
//! `substitute::margins`.

use crate::sources::SourceId;

pub mod derating;
pub mod discharge;
pub mod electrolytic;
pub mod failure_rate;
pub mod formulas;
pub mod fuse;
pub mod judging;
pub mod leakage;
pub mod life;
pub mod mains;
pub mod reform;
pub mod resistor;
pub mod ripple;
pub mod series_string;

/// A figure that decisions rest on, with its source.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limit<Q> {
    /// The figure; a quantity, a pure ratio or a table.
    pub value: Q,
    /// Where it is from.
    pub source: SourceId,
    /// What it holds for, in words that can be printed.
    pub applies_to: &'static str,
}

impl<Q> Limit<Q> {
    /// A limit from its three parts.
    pub const fn new(value: Q, source: SourceId, applies_to: &'static str) -> Self {
        Self { value, source, applies_to }
    }

    /// The limit that follows from this one by `change`, with the same source and scope.
    pub fn map<R>(self, change: impl FnOnce(Q) -> R) -> Limit<R> {
        Limit { value: change(self.value), source: self.source, applies_to: self.applies_to }
    }
}
