//! Published ways of reforming a stored electrolytic, and our own.

use super::Limit;
use crate::sources::SourceId;
use crate::units::{Ampere, Ohm, Second, Volt, Watt};

/// A series resistance that changes at a rated voltage; least and most of the range stated.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SeriesResistance {
    /// Up to and including `step`.
    pub low: (Ohm, Ohm),
    /// Above `step`.
    pub high: (Ohm, Ohm),
    /// Where the resistance changes.
    pub step: Volt,
}

/// One resistance up to a voltage, another above.
const fn stepped(low_ohm: f64, high_ohm: f64, step_v: f64) -> SeriesResistance {
    SeriesResistance {
        low: (Ohm::new(low_ohm), Ohm::new(low_ohm)),
        high: (Ohm::new(high_ohm), Ohm::new(high_ohm)),
        step: Volt::new(step_v),
    }
}

/// The same range at every voltage.
const fn always(least_ohm: f64, most_ohm: f64) -> SeriesResistance {
    let range = (Ohm::new(least_ohm), Ohm::new(most_ohm));
    SeriesResistance { low: range, high: range, step: Volt::ZERO }
}

/// Preconditioning: 100 Ω up to 100 V, 1 kΩ above; for recent parts.
pub const EIA815_SERIES: Limit<SeriesResistance> =
    Limit::new(stepped(100.0, 1000.0, 100.0), SourceId::Eia815, "recent parts; never unknown old ones");
/// Preconditioning: time at rated voltage.
pub const EIA815_HOLD: Limit<Second> = Limit::new(Second::new(3600.0), SourceId::Eia815, "recent parts, rated voltage");
/// Re-ageing: 10 kΩ up to 75 V, 100 kΩ above.
pub const CDE_SERIES: Limit<SeriesResistance> =
    Limit::new(stepped(10_000.0, 100_000.0, 75.0), SourceId::CdeReforming, "voltage raised slowly");
/// Re-ageing: most current for each part.
pub const CDE_CURRENT: Limit<Ampere> = Limit::new(Ampere::from_milli(1.0), SourceId::CdeReforming, "each part");
/// Re-ageing: least time at full voltage.
pub const CDE_HOLD: Limit<Second> = Limit::new(Second::new(4.0 * 3600.0), SourceId::CdeReforming, "at full voltage");
/// Stored parts: 1 kΩ.
pub const PANASONIC_SERIES: Limit<SeriesResistance> =
    Limit::new(always(1000.0, 1000.0), SourceId::PanasonicReforming, "recent parts; never unknown old ones");
/// Stored parts: time at rated voltage.
pub const PANASONIC_HOLD: Limit<Second> =
    Limit::new(Second::new(1800.0), SourceId::PanasonicReforming, "recent parts, rated voltage");
/// Surplus trade: 20 to 50 kΩ, 5 W.
pub const SURPLUS_SERIES: Limit<SeriesResistance> =
    Limit::new(always(20_000.0, 50_000.0), SourceId::SurplusReforming, "a 5 W resistor, rated voltage");
/// Surplus trade: time without regard to storage.
pub const SURPLUS_HOLD: Limit<Second> = Limit::new(Second::new(300.0), SourceId::SurplusReforming, "rated voltage");
/// Surplus trade: time added for each stored month.
pub const SURPLUS_HOLD_PER_MONTH: Limit<Second> =
    Limit::new(Second::new(60.0), SourceId::SurplusReforming, "for each month stored");
/// Largest share of the supply left across the resistor after an hour.
pub const DROP_PASS: Limit<f64> = Limit::new(
    0.10,
    SourceId::SurplusReforming,
    "share of the supply across the resistor after 1 h (a copy says 20 %)",
);
/// Amateur practice: 90 kΩ at a regulated 450 V.
pub const AMATEUR_SERIES: Limit<SeriesResistance> = Limit::new(
    always(90_000.0, 90_000.0),
    SourceId::AmateurReforming,
    "regulated 450 V, until the leakage limit is met",
);
/// Our way: 100 kΩ above 75 V, 10 kΩ up to 75 V.
pub const BENCH_SERIES: Limit<SeriesResistance> =
    Limit::new(stepped(10_000.0, 100_000.0, 75.0), SourceId::OurReforming, "old parts of unknown state");
/// Our way: rating of the series resistor.
pub const BENCH_RESISTOR: Limit<Watt> = Limit::new(Watt::new(5.0), SourceId::OurReforming, "series resistor");
/// Our way: the current must have fallen by then, else stop.
pub const BENCH_MUST_FALL_WITHIN: Limit<Second> =
    Limit::new(Second::new(3600.0), SourceId::OurReforming, "stop if the current has not fallen, or the can is warm");
