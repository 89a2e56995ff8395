//! Stored charge: when it is dangerous, how it comes back, where discharging may stop.

use super::Limit;
use crate::sources::SourceId;
use crate::units::{Coulomb, Joule, Ohm, Second, Volt};

/// From a voltage on, the stored energy that is hazardous.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HazardStep {
    /// Holds from this voltage on, up to the next step.
    pub from: Volt,
    /// The energy.
    pub energy: Joule,
    /// Whether exactly this energy counts as hazardous already.
    pub at_it_too: bool,
}

/// One step of a hazard table.
const fn step(from_v: f64, energy_j: f64, at_it_too: bool) -> HazardStep {
    HazardStep { from: Volt::new(from_v), energy: Joule::new(energy_j), at_it_too }
}

/// The thresholds to use.
pub const HAZARD_NFPA: Limit<&[HazardStep]> = Limit::new(
    &[step(0.0, 100.0, false), step(100.0, 1.0, false), step(400.0, 0.25, false)],
    SourceId::Nfpa70e,
    "stored energy; below 100 V for burns, from 400 V for startle",
);
/// Older thresholds, called superseded by those above; kept for comparison only.
pub const HAZARD_DOE: Limit<&[HazardStep]> = Limit::new(
    &[step(0.0, 100.0, false), step(100.0, 10.0, true)],
    SourceId::DoeHazard,
    "stored energy; superseded by the NFPA figures",
);
/// DC voltage that counts as discharged.
pub const SAFE_DC: Limit<Volt> = Limit::new(Volt::new(60.0), SourceId::Iec62368, "charge left after discharging");
/// AC voltage from which shock is to be expected.
pub const SHOCK_AC: Limit<Volt> = Limit::new(Volt::new(50.0), SourceId::ShockThreshold, "ac rms");

/// Least share of the voltage that absorption gives back in a non-solid electrolytic.
pub const REBOUND_LEAST: Limit<f64> =
    Limit::new(0.10, SourceId::ElectrolyticArticle, "non-solid electrolytics, share of the first voltage");
/// Largest share of the voltage that absorption gives back in a non-solid electrolytic.
pub const REBOUND_MOST: Limit<f64> =
    Limit::new(0.15, SourceId::ElectrolyticArticle, "non-solid electrolytics, share of the first voltage");

/// Machinery: time to reach 60 V.
pub const MACHINERY_TIME: Limit<Second> = Limit::new(Second::new(5.0), SourceId::Iec60204, "to 60 V, fixed connection");
/// Machinery: time to reach 60 V at plug pins.
pub const MACHINERY_PLUG_TIME: Limit<Second> = Limit::new(Second::new(1.0), SourceId::Iec60204, "to 60 V, plug pins");
/// Measuring gear: time to reach 60 V or [`INSTRUMENT_CHARGE`].
pub const INSTRUMENT_TIME: Limit<Second> = Limit::new(Second::new(5.0), SourceId::Iec61010, "to 60 V or 45 µC");
/// Measuring gear: charge that may stay.
pub const INSTRUMENT_CHARGE: Limit<Coulomb> = Limit::new(Coulomb::new(45e-6), SourceId::Iec61010, "charge after 5 s");
/// Audio gear of the older standard: time until the plug is measured.
pub const AUDIO_PLUG_TIME: Limit<Second> = Limit::new(Second::new(2.0), SourceId::Iec60065, "mains plug pins");
/// Audio gear: time until the plug is measured.
pub const PLUG_TIME: Limit<Second> = Limit::new(Second::new(2.0), SourceId::Iec62368, "mains plug pins");

/// Resistor to discharge through on the bench.
pub const BENCH_RESISTOR: Limit<Ohm> =
    Limit::new(Ohm::new(100_000.0), SourceId::BeforeTouching, "about; insulated, clipped to chassis");
/// Measured voltage below which a discharged part may be touched; the jumper stays on.
pub const BEFORE_TOUCHING: Limit<Volt> =
    Limit::new(Volt::new(10.0), SourceId::BeforeTouching, "measured after discharging, jumper left on");
