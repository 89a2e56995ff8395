//! Ripple current multipliers by frequency and by temperature.

use super::Limit;
use crate::sources::SourceId;
use crate::units::{Celsius, Hertz, Volt};

/// Multiplier of the 100 Hz rating by frequency.
pub type FrequencyTable = &'static [(Hertz, f64)];
/// Multiplier of the rating by ambient temperature.
pub type TemperatureTable = &'static [(Celsius, f64)];

/// Rated voltage up to which [`BY_FREQUENCY_LOW`] is stated.
pub const LOW_UP_TO: Limit<Volt> = Limit::new(Volt::new(25.0), SourceId::Vishay28340, "ripple by frequency");
/// Rated voltage from which [`BY_FREQUENCY_MIDDLE`] is stated.
pub const MIDDLE_FROM: Limit<Volt> = Limit::new(Volt::new(40.0), SourceId::Vishay28340, "ripple by frequency");
/// Rated voltage up to which [`BY_FREQUENCY_MIDDLE`] is stated.
pub const MIDDLE_UP_TO: Limit<Volt> = Limit::new(Volt::new(100.0), SourceId::Vishay28340, "ripple by frequency");

/// A table at the eight frequencies of the sheet; the last figure holds above too.
macro_rules! by_frequency {
    ($($factor:literal),+; $scope:literal) => {
        Limit::new(
            by_frequency!(@rows [50.0, 100.0, 200.0, 400.0, 1000.0, 2000.0, 4000.0, 10_000.0] [$($factor),+]),
            SourceId::Vishay28340,
            $scope,
        )
    };
    (@rows [$f0:literal, $f1:literal, $f2:literal, $f3:literal, $f4:literal, $f5:literal, $f6:literal, $f7:literal]
     [$k0:literal, $k1:literal, $k2:literal, $k3:literal, $k4:literal, $k5:literal, $k6:literal, $k7:literal]) => {
        &[
            (Hertz::new($f0), $k0),
            (Hertz::new($f1), $k1),
            (Hertz::new($f2), $k2),
            (Hertz::new($f3), $k3),
            (Hertz::new($f4), $k4),
            (Hertz::new($f5), $k5),
            (Hertz::new($f6), $k6),
            (Hertz::new($f7), $k7),
        ]
    };
}

/// Rated 10 to 25 V.
pub const BY_FREQUENCY_LOW: Limit<FrequencyTable> =
    by_frequency!(0.93, 1.00, 1.04, 1.07, 1.11, 1.13, 1.15, 1.18; "ripple of parts rated 10 to 25 V, against 100 Hz");
/// Rated 40 to 100 V.
pub const BY_FREQUENCY_MIDDLE: Limit<FrequencyTable> =
    by_frequency!(0.91, 1.00, 1.05, 1.09, 1.13, 1.15, 1.18, 1.22; "ripple of parts rated 40 to 100 V, against 100 Hz");
/// Rated above 100 V.
pub const BY_FREQUENCY_HIGH: Limit<FrequencyTable> =
    by_frequency!(0.86, 1.00, 1.13, 1.21, 1.29, 1.32, 1.35, 1.40; "ripple of parts rated above 100 V, against 100 Hz");

/// 85 °C series 23A, 23B and 23D.
pub const BY_TEMPERATURE_GE: Limit<TemperatureTable> = Limit::new(
    &[
        (Celsius::new(35.0), 2.5),
        (Celsius::new(45.0), 2.3),
        (Celsius::new(55.0), 2.0),
        (Celsius::new(65.0), 1.7),
        (Celsius::new(75.0), 1.4),
        (Celsius::new(85.0), 1.0),
    ],
    SourceId::GeRippleTemperature,
    "85 °C computer-grade cans",
);
/// 85 °C snap-ins USR, USC and USG.
pub const BY_TEMPERATURE_85_SNAP_IN: Limit<TemperatureTable> = Limit::new(
    &[(Celsius::new(65.0), 1.3), (Celsius::new(85.0), 1.0)],
    SourceId::RubyconLife,
    "85 °C series USR, USC, USG",
);
/// Other 85 °C parts.
pub const BY_TEMPERATURE_85: Limit<TemperatureTable> = Limit::new(
    &[(Celsius::new(50.0), 2.0), (Celsius::new(70.0), 1.6), (Celsius::new(85.0), 1.0)],
    SourceId::RubyconLife,
    "85 °C parts of other series",
);
/// 105 °C parts.
pub const BY_TEMPERATURE_105: Limit<TemperatureTable> = Limit::new(
    &[(Celsius::new(65.0), 2.1), (Celsius::new(85.0), 1.7), (Celsius::new(105.0), 1.0)],
    SourceId::RubyconLife,
    "105 °C parts",
);
