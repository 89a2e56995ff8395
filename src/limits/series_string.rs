//! Figures for capacitors in series.

use super::Limit;
use crate::sources::SourceId;
use crate::units::Ohm;

/// Factor of the two-part form `R(MΩ) = (2·Vm - Vb) / (factor·C(µF)·Vb)`.
pub const CDE_TWO_PARTS: Limit<f64> = Limit::new(0.0015, SourceId::CdeBalancing, "two equal parts in series");
/// Largest resistor across each part when one has no leakage and the others the whole spread.
pub const WORST_CASE: Limit<&str> =
    Limit::new("(N·Vm - Vb) / ((N-1)·dI)", SourceId::OurBalancing, "resistor across each part of a string, at most");
/// What builders fit across each can without computing.
pub const USUAL_RESISTOR: Limit<Ohm> =
    Limit::new(Ohm::new(220_000.0), SourceId::BalancingPractice, "resistor across each can of a string");
