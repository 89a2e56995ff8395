//! Constants of the life models of electrolytics.

use super::Limit;
use crate::sources::SourceId;
use crate::units::{Celsius, Hour, Millimetre};

/// Cooler by this much doubles the life.
pub const DOUBLING: Limit<Celsius> = Limit::new(Celsius::new(10.0), SourceId::TenKelvinRule, "best about 70 to 90 °C");
/// The most hours that any model may claim: 15 years.
pub const CEILING: Limit<Hour> = Limit::new(Hour::new(131_400.0), SourceId::LifeCeiling, "every life model");

/// Life factor at no voltage in the voltage and core model.
pub const CDE_AT_ZERO: Limit<f64> = Limit::new(4.3, SourceId::CdeLife, "factor 4.3 - 3.3·Va/Vr");
/// Slope of the voltage factor in the voltage and core model.
pub const CDE_SLOPE: Limit<f64> = Limit::new(3.3, SourceId::CdeLife, "factor 4.3 - 3.3·Va/Vr");

/// Power of the voltage ratio in the first maker's model.
pub const JIANGHAI_VOLTAGE_POWER: Limit<f64> = Limit::new(-2.5, SourceId::JianghaiLife, "0.6 to 1 of the rating");
/// Below this share of the rating the voltage factor grows no more.
pub const JIANGHAI_VOLTAGE_FROM: Limit<f64> = Limit::new(0.6, SourceId::JianghaiLife, "share of the rated voltage");
/// Voltage factor below [`JIANGHAI_VOLTAGE_FROM`].
pub const JIANGHAI_VOLTAGE_BELOW: Limit<f64> = Limit::new(3.59, SourceId::JianghaiLife, "below 0.6 of the rating");
/// Base of the ripple factor up to the rated current.
pub const JIANGHAI_BASE: Limit<f64> = Limit::new(2.0, SourceId::JianghaiLife, "up to the rated ripple current");
/// Base of the ripple factor above the rated current, 105 °C parts.
pub const JIANGHAI_BASE_OVER: Limit<f64> =
    Limit::new(4.0, SourceId::JianghaiLife, "above the rated ripple current, 105 °C parts");

/// Share of the ripple heating in the step of temperature of the second maker's model.
pub const RUBYCON_STEP_SLOPE: Limit<f64> = Limit::new(0.25, SourceId::RubyconLife, "step 10 - 0.25·dTj, K");
/// Core rise at rated ripple, series USR, USC, USG.
pub const RUBYCON_RISE_SNAP_IN: Limit<Celsius> =
    Limit::new(Celsius::new(10.0), SourceId::RubyconLife, "series USR, USC, USG");
/// Core rise at rated ripple, series VXP.
pub const RUBYCON_RISE_VXP: Limit<Celsius> = Limit::new(Celsius::new(3.5), SourceId::RubyconLife, "series VXP");
/// Core rise at rated ripple, all other series.
pub const RUBYCON_RISE_OTHER: Limit<Celsius> = Limit::new(Celsius::new(5.0), SourceId::RubyconLife, "other series");
/// Core rise over case rise by diameter; each step holds up to and including its diameter.
pub const CORE_OVER_CASE: Limit<&[(Millimetre, f64)]> = Limit::new(
    &[
        (Millimetre::new(8.0), 1.0),
        (Millimetre::new(12.5), 1.1),
        (Millimetre::new(18.0), 1.2),
        (Millimetre::new(22.0), 1.3),
        (Millimetre::new(25.0), 1.4),
        (Millimetre::new(30.0), 1.5),
        (Millimetre::new(35.0), 1.6),
    ],
    SourceId::RubyconLife,
    "case diameter up to 35 mm; an unlisted one takes the next larger",
);

/// Core rise at rated ripple by the series' top temperature.
pub const RATED_RISE: Limit<&[(Celsius, Celsius)]> = Limit::new(
    &[
        (Celsius::new(85.0), Celsius::new(10.0)),
        (Celsius::new(105.0), Celsius::new(5.0)),
        (Celsius::new(125.0), Celsius::new(3.0)),
    ],
    SourceId::ElectrolyticArticle,
    "usual core rise at the rated ripple current",
);
