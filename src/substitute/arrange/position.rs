//! A position with everything that may be fitted there.

use crate::model::plan::{ArrangementKind, Refused};
use crate::substitute::candidates::SourceKey;
use crate::units::Hour;

/// One place, matched group or can, of which exactly one alternative is fitted.
#[derive(Debug, Clone, PartialEq)]
pub struct Position {
    /// References served, as they are printed.
    pub refs: Vec<String>,
    /// What may be fitted; empty: nothing in the catalog does.
    pub alternatives: Vec<Alternative>,
    /// What is needed, in words.
    pub need: String,
    /// The nearest offers that do not do, with the points where each fails.
    pub nearest: Vec<Refused>,
    /// What would have to give, where nothing does.
    pub would_help: Vec<String>,
}

/// One way of filling a position: all of its demands together.
#[derive(Debug, Clone, PartialEq)]
pub struct Alternative {
    /// How the parts are put together.
    pub kind: ArrangementKind,
    /// Everything that it needs.
    pub demands: Vec<Demand>,
    /// Fitting notes that hold for all of it.
    pub notes: Vec<String>,
}

/// A number of pieces out of any of a list of sources.
#[derive(Debug, Clone, PartialEq)]
pub struct Demand {
    /// The references that these pieces serve.
    pub refs: Vec<String>,
    /// What will do; never empty.
    pub any_of: Vec<Choice>,
    /// Pieces fitted.
    pub count: u32,
    /// Whether all pieces come from one source.
    pub same_source: bool,
    /// Pieces to buy beyond these, to select a match from.
    pub select_extra: u32,
    /// Empty for the parts themselves; for what they need besides, what it is for.
    pub extra_for: String,
}

/// One source with what it means to choose it.
#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    /// The source.
    pub source: SourceKey,
    /// Hours to be expected in this place and arrangement; `None` where not known.
    pub hours: Option<Hour>,
    /// What to be careful about, and how it is fitted.
    pub notes: Vec<String>,
}
