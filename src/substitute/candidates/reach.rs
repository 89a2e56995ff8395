//! The values that are worth a look for a need at all, so that most of a catalog is passed over by
//! two comparisons.

use super::nearest::Nearest;
use super::probe::Probe;

/// Least and most value worth a look.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Reach {
    low: f64,
    high: f64,
}

impl Reach {
    /// Every value.
    pub(super) const ALL: Self = Self { low: f64::NEG_INFINITY, high: f64::INFINITY };

    /// What may serve by its value, and what may be nearer than the last of the nearest.
    pub(super) fn of(probe: &Probe, nearest: &Nearest, (pairs, second_choices): (bool, bool)) -> Self {
        let Some(distance) = nearest.most_distance() else { return Self::ALL };
        let (low, high) = probe.serving(pairs, second_choices);
        let (near_low, near_high) = probe.within(distance);
        Self { low: low.min(near_low), high: high.max(near_high) }
    }

    /// Whether a value is worth a look; one that is not known always is.
    pub(super) fn contains(self, value: Option<f64>) -> bool {
        value.is_none_or(|value| self.low <= value && value <= self.high)
    }
}
