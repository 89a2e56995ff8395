//! Limits of resistors: working and overload voltage, heat, drift.

use super::Limit;
use crate::sources::SourceId;
use crate::units::{Celsius, Volt, Watt};

/// Highest voltage by rated power; an unlisted power takes the next lower entry.
pub type VoltageByPower = &'static [(Watt, Volt)];

/// Working voltage of carbon composition.
pub const WORKING_COMPOSITION: Limit<VoltageByPower> = Limit::new(
    &[(Watt::new(0.25), Volt::new(250.0)), (Watt::new(0.5), Volt::new(350.0)), (Watt::new(1.0), Volt::new(500.0))],
    SourceId::CompositionSheet,
    "carbon composition, working voltage",
);
/// Short overload voltage of carbon composition.
pub const OVERLOAD_COMPOSITION: Limit<VoltageByPower> = Limit::new(
    &[(Watt::new(0.25), Volt::new(400.0)), (Watt::new(0.5), Volt::new(700.0)), (Watt::new(1.0), Volt::new(1000.0))],
    SourceId::CompositionSheet,
    "carbon composition, short overload",
);
/// Working voltage of carbon film.
pub const WORKING_CARBON_FILM: Limit<VoltageByPower> = Limit::new(
    &[
        (Watt::new(0.125), Volt::new(150.0)),
        (Watt::new(0.25), Volt::new(250.0)),
        (Watt::new(0.5), Volt::new(300.0)),
        (Watt::new(1.0), Volt::new(400.0)),
        (Watt::new(2.0), Volt::new(500.0)),
    ],
    SourceId::CarbonFilmSheet,
    "carbon film, working voltage",
);
/// Working voltage of metal film, normal body.
pub const WORKING_METAL_FILM: Limit<VoltageByPower> = Limit::new(
    &[
        (Watt::new(0.25), Volt::new(250.0)),
        (Watt::new(0.5), Volt::new(300.0)),
        (Watt::new(1.0), Volt::new(350.0)),
        (Watt::new(2.0), Volt::new(500.0)),
    ],
    SourceId::MetalFilmSheet,
    "metal film, normal body, working voltage",
);
/// Working voltage of metal film, small body.
pub const WORKING_METAL_FILM_SMALL: Limit<VoltageByPower> = Limit::new(
    &[
        (Watt::new(0.25), Volt::new(150.0)),
        (Watt::new(0.5), Volt::new(250.0)),
        (Watt::new(1.0), Volt::new(300.0)),
        (Watt::new(2.0), Volt::new(350.0)),
    ],
    SourceId::MetalFilmSheet,
    "metal film, small body, working voltage",
);

/// Full power up to the first temperature, none at the second, linear between.
pub type PowerCurve = (Celsius, Celsius);

/// Heat of carbon composition.
pub const POWER_COMPOSITION: Limit<PowerCurve> =
    Limit::new((Celsius::new(70.0), Celsius::new(130.0)), SourceId::CompositionSheet, "carbon composition");
/// Heat of carbon film.
pub const POWER_CARBON_FILM: Limit<PowerCurve> =
    Limit::new((Celsius::new(70.0), Celsius::new(155.0)), SourceId::CarbonFilmSheet, "carbon film");
/// Heat of metal film.
pub const POWER_METAL_FILM: Limit<PowerCurve> =
    Limit::new((Celsius::new(70.0), Celsius::new(155.0)), SourceId::MetalFilmSheet, "metal film");
/// Heat of power wirewound.
pub const POWER_WIREWOUND: Limit<PowerCurve> =
    Limit::new((Celsius::new(25.0), Celsius::new(275.0)), SourceId::MilR39007, "power wirewound");

/// That the voltage follows from power and resistance but never passes the limit.
pub const VOLTAGE_WORDING: Limit<&str> =
    Limit::new("the lesser of √(P·R) and the limit", SourceId::MilPrf39005, "working voltage of a resistor");

/// Change of composition resistance for each volt, up to 1/2 W.
pub const VOLTAGE_COEFFICIENT_SMALL_PER_V: Limit<f64> =
    Limit::new(-0.000_35, SourceId::CompositionSheet, "carbon composition up to 1/2 W, share for each volt");
/// Change of composition resistance for each volt, from 1 W.
pub const VOLTAGE_COEFFICIENT_LARGE_PER_V: Limit<f64> =
    Limit::new(-0.000_20, SourceId::CompositionSheet, "carbon composition from 1 W, share for each volt");

/// Drift at which a composition life test counts as failed.
pub const DRIFT_LIFE_TEST: Limit<f64> =
    Limit::new(0.15, SourceId::MilR39008, "carbon composition, life test at half load and 70 °C");
/// Drift up to this multiple of the tolerance may stay, if that is more than [`DRIFT_LIFE_TEST`].
pub const DRIFT_TOLERANCES: Limit<f64> =
    Limit::new(2.0, SourceId::OurDriftRule, "drift limit: the larger of 15 % and twice the tolerance");
