//! The five offers that miss a need by the least.

use std::cmp::Ordering;

use super::source::SourceKey;
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
    /// Whether one that is far outside in value could still be kept.
    pub(super) fn takes_far_values(&self) -> bool {
        self.missed.len() < KEPT || self.missed.iter().any(|m| m.far_value)
    }

    /// Offers one; kept if it is among the nearest.
    pub(super) fn take(&mut self, key: impl Fn() -> SourceKey, article: &Article, far_value: bool, far: Far) {
        let last = self.missed.last().filter(|_| KEPT <= self.missed.len());
        if last.is_some_and(|last| order((last.far_value, last.far), (far_value, far)) == Ordering::Less) {
            return;
        }
        let new = Missed { key: key(), article: article.clone(), far_value, far };
        let place = self.missed.partition_point(|m| {
            order((m.far_value, m.far), (far_value, far)).then_with(|| m.key.cmp(&new.key)) == Ordering::Less
        });
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
