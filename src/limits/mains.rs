//! The mains side: impulse tests, touch limits, discharge of mains capacitors.

use super::Limit;
use crate::sources::SourceId;
use crate::units::{Ampere, Farad, Ohm, Second, Volt};

/// Impulse test of class X1.
pub const IMPULSE_X1: Limit<Volt> = Limit::new(Volt::new(4000.0), SourceId::Iec60384Part14, "class X1 up to 1 µF");
/// Impulse test of class X2.
pub const IMPULSE_X2: Limit<Volt> = Limit::new(Volt::new(2500.0), SourceId::Iec60384Part14, "class X2 up to 1 µF");
/// Impulse test of class Y1.
pub const IMPULSE_Y1: Limit<Volt> =
    Limit::new(Volt::new(8000.0), SourceId::Iec60384Part14, "class Y1, any capacitance");
/// Impulse test of class Y2.
pub const IMPULSE_Y2: Limit<Volt> = Limit::new(Volt::new(5000.0), SourceId::Iec60384Part14, "class Y2 up to 1 µF");
/// Impulse test of class Y4.
pub const IMPULSE_Y4: Limit<Volt> =
    Limit::new(Volt::new(2500.0), SourceId::Iec60384Part14, "class Y4, any capacitance");
/// Capacitance above which the test voltage of X1, X2 and Y2 falls with the root of C in µF.
pub const IMPULSE_FALLS_FROM: Limit<Farad> =
    Limit::new(Farad::from_micro(1.0), SourceId::Iec60384Part14, "classes X1, X2 and Y2");

/// Highest working voltage of class Y1.
pub const WORKING_Y1: Limit<Volt> = Limit::new(Volt::new(500.0), SourceId::MainsClassRanges, "class Y1, at most");
/// Highest working voltage of class Y2.
pub const WORKING_Y2: Limit<Volt> = Limit::new(Volt::new(300.0), SourceId::MainsClassRanges, "class Y2, 150 to 300 V");
/// Working voltage that class Y4 stays below.
pub const WORKING_Y4: Limit<Volt> = Limit::new(Volt::new(150.0), SourceId::MainsClassRanges, "class Y4, below");

/// What class may stand from line to chassis.
pub const CLASS_TO_CHASSIS: Limit<&str> =
    Limit::new("Y", SourceId::MainsClasses, "line to chassis or earth: a failure could give a shock");
/// What class may stand from line to line.
pub const CLASS_ACROSS_LINE: Limit<&str> =
    Limit::new("X", SourceId::MainsClasses, "across the line: a failure would not give a shock; Y is allowed too");

/// Most capacitance in all from the mains to a chassis without an earth.
pub const CHASSIS_CAPACITANCE: Limit<Farad> =
    Limit::new(Farad::new(4.7e-9), SourceId::OurChassisCapacitance, "all parts from the mains to an unearthed chassis");

/// Mains taken where a sheet gives none: the highest of the usual supplies.
pub const ASSUMED_MAINS: Volt = Volt::new(250.0);

/// ES1, dc.
pub const ES1_DC: Limit<Volt> = Limit::new(Volt::new(60.0), SourceId::Iec62368, "ES1, dc");
/// ES2, dc.
pub const ES2_DC: Limit<Volt> = Limit::new(Volt::new(120.0), SourceId::Iec62368, "ES2, dc");
/// ES1, ac rms up to 1 kHz.
pub const ES1_AC: Limit<Volt> = Limit::new(Volt::new(30.0), SourceId::Iec62368, "ES1, ac rms up to 1 kHz");
/// ES2, ac rms up to 1 kHz.
pub const ES2_AC: Limit<Volt> = Limit::new(Volt::new(50.0), SourceId::Iec62368, "ES2, ac rms up to 1 kHz");
/// ES1 current, dc.
pub const ES1_CURRENT_DC: Limit<Ampere> = Limit::new(Ampere::from_milli(2.0), SourceId::Iec62368, "ES1, dc");
/// ES2 current, dc.
pub const ES2_CURRENT_DC: Limit<Ampere> = Limit::new(Ampere::from_milli(25.0), SourceId::Iec62368, "ES2, dc");
/// ES1 current, ac rms up to 1 kHz: the touch current limit.
pub const ES1_CURRENT_AC: Limit<Ampere> =
    Limit::new(Ampere::from_milli(0.5), SourceId::Iec62368, "ES1, touch current, ac rms up to 1 kHz");
/// ES2 current, ac rms up to 1 kHz.
pub const ES2_CURRENT_AC: Limit<Ampere> =
    Limit::new(Ampere::from_milli(5.0), SourceId::Iec62368, "ES2, ac rms up to 1 kHz");
/// ES1 voltage of a charged capacitor by capacitance with its tolerance; linear between.
pub const ES1_CHARGED: Limit<&[(Farad, Volt)]> = Limit::new(
    &[
        (Farad::new(4e-9), Volt::new(1000.0)),
        (Farad::new(8e-9), Volt::new(500.0)),
        (Farad::new(12e-9), Volt::new(350.0)),
        (Farad::new(18e-9), Volt::new(250.0)),
        (Farad::new(28e-9), Volt::new(200.0)),
        (Farad::new(41e-9), Volt::new(150.0)),
        (Farad::new(61e-9), Volt::new(125.0)),
        (Farad::new(91e-9), Volt::new(100.0)),
        (Farad::new(170e-9), Volt::new(75.0)),
        (Farad::new(300e-9), Volt::new(60.0)),
    ],
    SourceId::Iec62368,
    "ES1, charged capacitor, capacitance with its tolerance",
);
/// ES2 voltage of a charged capacitor over that of ES1.
pub const ES2_CHARGED_RATIO: Limit<f64> = Limit::new(2.0, SourceId::Iec62368, "ES2, charged capacitor");

/// Capacitance up to which mains capacitors need no discharge path.
pub const DISCHARGE_EXEMPT: Limit<Farad> =
    Limit::new(Farad::from_micro(0.1), SourceId::Iec60950, "capacitance across the mains");
/// Longest time constant behind an ordinary plug.
pub const DISCHARGE_PLUG_A: Limit<Second> = Limit::new(Second::new(1.0), SourceId::Iec60950, "pluggable type A");
/// Longest time constant behind an industrial plug.
pub const DISCHARGE_PLUG_B: Limit<Second> = Limit::new(Second::new(10.0), SourceId::Iec60950, "pluggable type B");

/// Resistor of the touch check, from exposed metal to earth.
pub const TOUCH_CHECK_RESISTOR: Limit<Ohm> =
    Limit::new(Ohm::new(1500.0), SourceId::TouchCheck, "touch check, exposed metal to earth");
/// Capacitor across the resistor of the touch check.
pub const TOUCH_CHECK_CAPACITOR: Limit<Farad> =
    Limit::new(Farad::from_micro(0.15), SourceId::TouchCheck, "touch check, across the resistor");
/// Most voltage in the touch check, both plug ways.
pub const TOUCH_CHECK: Limit<Volt> =
    Limit::new(Volt::new(0.75), SourceId::TouchCheck, "touch check, ac rms, both plug ways");
/// Most voltage in the touch check by one maker.
pub const TOUCH_CHECK_STRICT: Limit<Volt> =
    Limit::new(Volt::new(0.35), SourceId::TouchCheckStrict, "touch check, ac rms, one maker");
