//! Defaults for judging old parts where restorers differ; each may be set otherwise by the shop.

use super::Limit;
use crate::sources::SourceId;
use crate::units::{Ampere, Ohm, Volt};

/// Drift of a resistor that sets nothing critical.
pub const DRIFT_GENERAL: Limit<f64> = Limit::new(0.20, SourceId::DriftByPlace, "resistors in general");
/// Drift of a resistor that sets bias, screen or HT, or is above [`DRIFT_CRITICAL_ABOVE`].
pub const DRIFT_CRITICAL: Limit<f64> =
    Limit::new(0.10, SourceId::DriftByPlace, "resistors that set bias, screen or HT, or are above 470 k");
/// Resistance above which [`DRIFT_CRITICAL`] holds wherever the resistor is.
pub const DRIFT_CRITICAL_ABOVE: Limit<Ohm> = Limit::new(Ohm::new(470_000.0), SourceId::DriftByPlace, "resistors");
/// Drift of pairs and of equalisation.
pub const DRIFT_PAIR: Limit<f64> = Limit::new(0.05, SourceId::DriftByPlace, "pairs and equalisation");

/// Shift of the next grid, share of the bias, from which a coupling capacitor is replaced at once.
pub const COUPLING_CONDEMNS: Limit<f64> =
    Limit::new(0.10, SourceId::CouplingShift, "dc on the next grid, share of the bias");
/// Shift of the next grid, share of the bias, up to which a coupling capacitor may stay.
pub const COUPLING_KEEPS: Limit<f64> =
    Limit::new(0.01, SourceId::CouplingShift, "dc on the next grid, share of the bias");
/// Shift of the next grid up to which a coupling capacitor may stay in a small-signal stage.
pub const COUPLING_KEEPS_SMALL_SIGNAL: Limit<Volt> =
    Limit::new(Volt::new(0.020), SourceId::CouplingShift, "dc on the next grid, small-signal stage");
/// Leakage at working voltage up to which paper may stay for looks.
pub const PAPER_KEPT: Limit<Ampere> =
    Limit::new(Ampere::new(3e-6), SourceId::PaperKept, "paper kept for looks, at working voltage");

/// Age in years above which an electrolytic is suspect without a reading.
pub const SUSPECT_AGE_YEARS: Limit<u16> = Limit::new(30, SourceId::AgePolicy, "electrolytics, years");
/// Years on the shelf after which a new electrolytic is checked or reformed before use.
pub const SHELF_YEARS: Limit<u16> = Limit::new(2, SourceId::ShelfLife, "electrolytics from stock, years");
