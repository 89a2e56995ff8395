//! A threshold as it is in force: the shop's own figure first, and where it is from.

use super::{Subject, Threshold};
use crate::model::shop::Margins;
use crate::sources::SourceId;

/// A threshold in force.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Held {
    /// The figure, in the threshold's unit.
    pub value: f64,
    /// Unit.
    pub unit: &'static str,
    /// Where the default comes from; kept when the shop changes the figure.
    pub source: SourceId,
    /// Whether the shop has set it.
    pub from_shop: bool,
}

impl Threshold {
    /// The shop's figure where it has set a usable one (finite, not negative), else the default.
    pub fn held(&self, margins: &Margins) -> Held {
        let set = margins.get(self.key).filter(|figure| figure.is_finite() && *figure >= 0.0);
        Held { value: set.unwrap_or(self.default), unit: self.unit, source: self.source, from_shop: set.is_some() }
    }
}

impl Subject<'_> {
    /// A threshold of safety: the shop may set it lower than the default, never higher.
    pub fn held_safe(&self, threshold: &Threshold) -> Held {
        let held = threshold.held(self.margins);
        if held.value <= threshold.default { held } else { threshold.held(&Margins::default()) }
    }

    /// The threshold as it is in force here.
    pub fn held(&self, threshold: &Threshold) -> Held {
        threshold.held(self.margins)
    }
}

/// What the last bits of a figure may be off, as a share of its limit.
const HAIR: f64 = 1e-9;

/// Whether a figure is above its limit; a hair is allowed, so that exactly the limit passes whatever the last bit says.
pub(crate) fn is_over(figure: f64, limit: f64) -> bool {
    limit + limit.abs() * HAIR < figure
}

/// Whether a figure is below its limit, the same hair allowed.
pub(crate) fn is_under(figure: f64, limit: f64) -> bool {
    figure < limit - limit.abs() * HAIR
}

#[cfg(test)]
mod tests {
    use super::*;

    const DRIFT: Threshold =
        Threshold { key: "resistor-drift", default: 20.0, unit: "%", what: "drift", source: SourceId::DriftByPlace };

    #[test]
    fn the_shop_wins_and_is_named() {
        let mut margins = Margins::default();
        assert!(!DRIFT.held(&margins).from_shop);
        margins.0.insert("resistor-drift".to_owned(), 15.0);
        let held = DRIFT.held(&margins);
        assert!(held.from_shop && (held.value - 15.0).abs() < 1e-12);
        margins.0.insert("resistor-drift".to_owned(), f64::NAN);
        assert!(!DRIFT.held(&margins).from_shop);
    }
}
