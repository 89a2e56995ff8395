//! The five offers that miss a need by the least.

use std::cmp::Ordering;

use super::source::{SourceKey, by_article};
use crate::model::shop::Article;
use crate::substitute::verdict::Far;

/// How many are kept for a need.
const KEPT: usize = 5;

/// One offer that does not do.
#[derive(Debug, Clone)]
pub struct Missed {
    /// Its name.
    pub key: SourceKey,
    /// What it is.
    pub article: Article,
    /// Whether its value is far outside what is needed.
    far_value: bool,
    /// How far it is off.
    far: Far,
}

/// The nearest offers, in order; the same whatever the order in which they came.
#[derive(Debug, Clone, Default)]
pub struct Nearest {
    missed: Vec<Missed>,
}

impl Nearest {
    /// Offers one; kept if it is among the nearest.
    pub(super) fn take(&mut self, key: impl Fn() -> SourceKey, article: &Article, far_value: bool, far: Far) {
        if self.takes((far_value, far), |last| last.key.cmp(&key())) {
            self.put(Missed { key: key(), article: article.clone(), far_value, far });
        }
    }

    /// How far off a value may be for its offer to be among the nearest; `None`: any value may.
    pub(super) fn most_distance(&self) -> Option<f64> {
        let last = self.missed.last().filter(|_| KEPT <= self.missed.len());
        // Of two that fail one point the nearer counts; fewer failing points would count before that.
        last.filter(|last| !last.far_value && last.far.fails <= 1).map(|last| last.far.distance)
    }

    /// Whether one that is so far off, or farther, could be among the nearest. `by_name` says how
    /// the last of them stands to it by name.
    pub(super) fn takes(&self, off: (bool, Far), by_name: impl Fn(&Missed) -> Ordering) -> bool {
        let last = self.missed.last().filter(|_| KEPT <= self.missed.len());
        last.is_none_or(|last| order((last.far_value, last.far), off).then_with(|| by_name(last)) != Ordering::Less)
    }

    /// Adds those of another search.
    pub(super) fn join(&mut self, other: Self) {
        other.missed.into_iter().for_each(|missed| self.put(missed));
    }

    /// Puts one in its place, and drops the last where there are too many.
    fn put(&mut self, new: Missed) {
        let before = |m: &Missed| {
            let off = order((m.far_value, m.far), (new.far_value, new.far));
            off.then_with(|| m.key.cmp(&new.key)).then_with(|| by_article(&m.article, &new.article)) == Ordering::Less
        };
        let place = self.missed.partition_point(before);
        self.missed.insert(place, new);
        self.missed.truncate(KEPT);
    }

    /// The nearest first.
    pub fn iter(&self) -> impl Iterator<Item = &Missed> {
        self.missed.iter()
    }
}

/// Values in reach first, then fewer failing points, then nearer.
fn order(a: (bool, Far), b: (bool, Far)) -> Ordering {
    a.0.cmp(&b.0).then(a.1.fails.cmp(&b.1.fails)).then(a.1.distance.total_cmp(&b.1.distance))
}
