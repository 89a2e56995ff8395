//! The values that are worth a look for a need at all, so that most of a catalog is passed over by
//! a few comparisons.

use super::nearest::Nearest;
use super::probe::{MISSING, Probe};
use crate::model::kind::PartKind;
use crate::model::shop::Outline;

/// The ratings that anything must have to serve, alone or two together; below all where none is needed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Least {
    /// DC rating, V.
    pub(super) volts: f64,
    /// Whether one that states no DC rating may have enough all the same.
    pub(super) volts_may_miss: bool,
    /// Power, W.
    pub(super) watts: f64,
    /// Upper category temperature, °C.
    pub(super) temp: f64,
}

impl Least {
    const NONE: Self =
        Self { volts: f64::NEG_INFINITY, volts_may_miss: true, watts: f64::NEG_INFINITY, temp: f64::NEG_INFINITY };

    fn is_met(&self, outline: &Outline<'_>) -> bool {
        let volts = outline.volts.map_or(self.volts_may_miss || self.volts <= 0.0, |has| self.volts <= has);
        let has = |has: Option<f64>, least: f64| least <= has.unwrap_or(0.0);
        volts && has(outline.watts, self.watts) && has(outline.temp, self.temp)
    }
}

/// Least and most value worth a look.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Reach {
    /// Of the kinds that may serve.
    low: f64,
    high: f64,
    /// Of other kinds, which can only be among the nearest.
    near_low: f64,
    near_high: f64,
    /// How far off the last of the nearest is.
    distance: f64,
    /// A bit for each kind that may serve, by its place in the list of kinds.
    kinds: u32,
    least: Least,
}

impl Reach {
    /// Every value.
    pub(super) const ALL: Self = Self {
        low: f64::NEG_INFINITY,
        high: f64::INFINITY,
        near_low: f64::NEG_INFINITY,
        near_high: f64::INFINITY,
        distance: f64::INFINITY,
        kinds: u32::MAX,
        least: Least::NONE,
    };

    /// What may serve by its value, and what may be nearer than the last of the nearest.
    pub(super) fn of(probe: &Probe, nearest: &Nearest, (pairs, second_choices): (bool, bool)) -> Self {
        let Some(distance) = nearest.most_distance() else { return Self::ALL };
        let (low, high) = probe.serving(pairs, second_choices);
        let (near_low, near_high) = probe.within(distance);
        Self {
            low: low.min(near_low),
            high: high.max(near_high),
            near_low,
            near_high,
            distance,
            kinds: probe.kinds(),
            least: probe.least(pairs),
        }
    }

    /// Whether an offer of this value is worth a look by what is known of it.
    pub(super) fn may_hold(&self, outline: &Outline<'_>, value: f64) -> bool {
        self.contains(outline.kind, Some(value))
            && ((self.near_low <= value && value <= self.near_high) || self.least.is_met(outline))
    }

    /// Whether a value of this kind is worth a look; one that is not known serves nothing, and can only be near.
    pub(super) fn contains(self, kind: PartKind, value: Option<f64>) -> bool {
        let Some(value) = value else { return MISSING <= self.distance };
        (self.near_low <= value && value <= self.near_high)
            || (self.kinds >> (kind as u32) & 1 == 1 && self.low <= value && value <= self.high)
    }
}
