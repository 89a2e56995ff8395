//! A position with everything that may be fitted there.

use crate::model::plan::{ArrangementKind, CanWay, Refused};
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
    /// Of a part known by its designation what it has to bear, in words.
    pub wanted: Vec<String>,
    /// The nearest offers that do not do, with the points where each fails.
    pub nearest: Vec<Refused>,
    /// What would have to give, where nothing does.
    pub would_help: Vec<String>,
    /// Need and nearest offers of each reference, where they are not the same for all: sections of a can.
    pub sections: Vec<SectionNeed>,
}

/// What one section of a can needs, and what just misses it.
#[derive(Debug, Clone, PartialEq)]
pub struct SectionNeed {
    /// Its reference.
    pub reference: String,
    /// What is needed, in words.
    pub need: String,
    /// The nearest offers that do not do.
    pub nearest: Vec<Refused>,
}

impl Position {
    /// What this reference needs, in words.
    pub fn need_at(&self, reference: &str) -> &str {
        self.section(reference).map_or(&self.need, |s| &s.need)
    }

    /// What just misses at this reference.
    pub fn nearest_at(&self, reference: &str) -> &[Refused] {
        self.section(reference).map_or(&self.nearest, |s| &s.nearest)
    }

    fn section(&self, reference: &str) -> Option<&SectionNeed> {
        self.sections.iter().find(|s| s.reference == reference)
    }
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
    /// How it renews a can; `None` for everything that is no can.
    pub way: Option<CanWay>,
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
    /// How these pieces stand together at their references.
    pub kind: ArrangementKind,
    /// Fitting notes that hold at these references alone.
    pub notes: Vec<String>,
}

impl Demand {
    /// Single pieces from wherever, with nothing else asked.
    pub(super) fn of(refs: Vec<String>, any_of: Vec<Choice>, count: u32) -> Self {
        Self {
            refs,
            any_of,
            count,
            same_source: false,
            select_extra: 0,
            extra_for: String::new(),
            kind: ArrangementKind::Single,
            notes: Vec::new(),
        }
    }
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
