//! The limits of the readings after the work, each with where it comes from.

/// Tolerance of node voltages and bias against what is expected at the mains as it is.
pub const VOLTAGE_PERCENT: f64 = 10.0;
/// Where that comes from.
pub const VOLTAGE_SOURCE: &str = "our own rule; service data are commonly 20 % (from memory)";
/// Ripple may be so many times the computed one, for capacitors reach from -20 to +20 % and loads differ.
pub const RIPPLE_TIMES: f64 = 1.5;
/// Where that comes from.
pub const RIPPLE_SOURCE: &str = "our own rule on the computed ripple";
/// Ripple below this is not asked for, and no limit is below ten times this: a bench meter shows no less, V.
pub const RIPPLE_LEAST_V: f64 = 0.001;
/// Where that comes from.
pub const GRID_SOURCE: &str =
    "our own rule, as for the coupling test; only what is above the voltage of rest is leakage";
/// Least insulation from the plug's pins to metal, cold, ohm.
pub const COLD_OHM: f64 = 1e6;
/// Where that comes from.
pub const COLD_SOURCE: &str = "makers' service notes as read in public copies";
/// Most touch current, A, and what it drops across 1.5 k beside 0.15 µF, V.
pub const TOUCH_A: f64 = 0.5e-3;
/// The same as a drop.
pub const TOUCH_V: f64 = 0.75;
/// The strictest of the makers, V.
pub const TOUCH_STRICT_V: f64 = 0.35;
/// The resistor of the touch test, ohm; at mains frequency the capacitor beside it hardly counts.
pub const TOUCH_OHM: f64 = 1500.0;
/// Where that comes from.
pub const TOUCH_SOURCE: &str = "two makers' service notes as read in public copies; a third allows 0.35 V";
/// Hum must be so many times below the output at clipping.
pub const HUM_TIMES: f64 = 1000.0;
/// Where that comes from.
pub const HUM_SOURCE: &str = "our own rule, 60 dB below the output at clipping";
/// A kept resistor may be so far from its marking, percent.
pub const KEPT_RESISTOR_PERCENT: f64 = 20.0;
/// A kept capacitor may be so far below and above its marking, percent.
pub const KEPT_CAPACITOR_PERCENT: (f64, f64) = (20.0, 50.0);
/// New parts whose catalog says no tolerance, percent: electrolytics and others.
pub const NEW_PERCENT: (f64, f64) = (20.0, 10.0);
/// Where that comes from.
pub const VALUE_SOURCE: &str = "the catalog's tolerance, else our own rule";
