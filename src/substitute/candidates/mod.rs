//! One pass over everything that is for sale or on the shelf, for many needs at once.
//!
//! What serves a need, alone or in a pair or can, is kept; of the rest only the five nearest for
//! each need. Memory grows with what is kept, not with what goes by.

mod ask;
mod dominance;
mod ears;
mod floor;
mod nearest;
mod probe;
mod reach;
mod roles;
mod search;
mod source;
mod standing;

pub use ask::Ask;
pub use nearest::{Missed, Nearest};
pub use search::Search;
pub use source::{Source, SourceKey, Target, Use};

use std::collections::{BTreeMap, BTreeSet};

use crate::substitute::arrange::can::CanGroup;

/// What has been found for a list of asks.
#[derive(Debug)]
pub struct Found<'a> {
    /// The asks.
    pub asks: &'a [Ask<'a>],
    /// The cans among them.
    pub cans: Vec<CanGroup>,
    /// Everything that serves, in the order of its names.
    pub sources: Vec<Source>,
    /// For each ask the offers that just miss it.
    pub nearest: Vec<Nearest>,
    /// What would serve if the shop allowed pairs, by the first source that would.
    pub if_allowed: BTreeMap<Target, SourceKey>,
    /// What would serve if there were more of it, by the first source that would, with the pieces that there are.
    pub short: BTreeMap<Target, (SourceKey, u32)>,
    /// Whether so many offers serve a need that of them all were dropped that a cheaper one of their
    /// supplier beats, whatever the supplier's terms.
    pub thinned: Option<Thinned>,
}

/// What has been dropped of a crowd.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Thinned {
    /// Offers that one of the same supplier beats at every quantity: they could only lift an order over one of
    /// the supplier's thresholds.
    Beaten,
    /// Among them offers that could save spares by standing beside the other one.
    ToSplit,
}

impl Found<'_> {
    /// The sources that serve a target, in the order of their names.
    pub fn serving(&self, target: Target) -> impl Iterator<Item = (&Source, Use)> {
        self.sources.iter().filter_map(move |s| s.uses.iter().find(|u| u.target == target).map(|u| (s, *u)))
    }

    /// The names of everything kept.
    pub fn keys(&self) -> BTreeSet<&SourceKey> {
        self.sources.iter().map(|s| &s.key).collect()
    }
}
