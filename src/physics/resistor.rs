//! Resistors: drift, heat by temperature, and the voltage that a body can stand.

use super::interpolate::step_from;
use super::{Verdict, within};
use crate::limits::Limit;
use crate::limits::resistor::{
    DRIFT_LIFE_TEST, DRIFT_TOLERANCES, OVERLOAD_COMPOSITION, POWER_CARBON_FILM, POWER_COMPOSITION, POWER_METAL_FILM,
    POWER_WIREWOUND, PowerCurve, VOLTAGE_COEFFICIENT_LARGE_PER_V, VOLTAGE_COEFFICIENT_SMALL_PER_V, VOLTAGE_WORDING,
    VoltageByPower, WORKING_CARBON_FILM, WORKING_COMPOSITION, WORKING_METAL_FILM, WORKING_METAL_FILM_SMALL,
};
use crate::units::{Celsius, Ohm, Volt, Watt};

/// What a resistor is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Body {
    /// Carbon composition.
    Composition,
    /// Carbon film.
    CarbonFilm,
    /// Metal film in its normal body.
    MetalFilm,
    /// Metal film in a small body for its power.
    MetalFilmSmall,
    /// Power wirewound.
    Wirewound,
}

/// Change of resistance as a share of the marked value; above zero means gone high.
///
/// `None` when the marked value is not positive.
pub fn drift(marked: Ohm, reading: Ohm) -> Option<f64> {
    (marked > Ohm::ZERO).then(|| (reading - marked) / marked)
}

/// Where a drift stands against the tolerance and against the life test of composition parts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct DriftStanding {
    /// Within the marked tolerance, either way.
    pub in_tolerance: bool,
    /// Within 15 %, either way.
    pub in_life_test: bool,
}

/// Holds a drift against the marked tolerance and the life test.
pub fn drift_standing(drift: f64, tolerance: f64) -> DriftStanding {
    DriftStanding {
        in_tolerance: within(drift.abs(), tolerance),
        in_life_test: within(drift.abs(), DRIFT_LIFE_TEST.value),
    }
}

/// Drift above which a resistor is replaced: the larger of 15 % and twice its tolerance.
pub fn drift_limit(tolerance: f64) -> Limit<f64> {
    DRIFT_TOLERANCES.map(|times| DRIFT_LIFE_TEST.value.max(times * tolerance))
}

/// Judges a drift by our rule: in tolerance passes, up to the limit is flagged, above is
/// replaced, and any fall beyond the tolerance is replaced, since parts age upward.
pub fn judge_drift(drift: f64, tolerance: f64) -> Verdict {
    if !within(-drift, tolerance) {
        return Verdict::Replace;
    }
    Verdict::of_rising(drift, tolerance, drift_limit(tolerance).value)
}

/// Highest working voltage of a body of this rated power; an unlisted power takes the next lower
/// entry. `None` below the table and for wirewound parts, where power alone decides.
pub fn working_voltage_limit(body: Body, rated: Watt) -> Option<Limit<Volt>> {
    let table = match body {
        Body::Composition => WORKING_COMPOSITION,
        Body::CarbonFilm => WORKING_CARBON_FILM,
        Body::MetalFilm => WORKING_METAL_FILM,
        Body::MetalFilmSmall => WORKING_METAL_FILM_SMALL,
        Body::Wirewound => return None,
    };
    read_volts(table, rated)
}

/// Highest short overload voltage; published for carbon composition only.
pub fn overload_voltage_limit(body: Body, rated: Watt) -> Option<Limit<Volt>> {
    (body == Body::Composition).then(|| read_volts(OVERLOAD_COMPOSITION, rated)).flatten()
}

/// The entry for a power or the next lower one.
fn read_volts(table: Limit<VoltageByPower>, rated: Watt) -> Option<Limit<Volt>> {
    step_from(table.value, rated).map(|volts| table.map(|_| volts))
}

/// Voltage that may stand across a resistor: `√(P·R)`, never above the body's limit.
pub fn allowed_voltage(power: Watt, resistance: Ohm, body_limit: Volt) -> Limit<Volt> {
    VOLTAGE_WORDING.map(|_| Volt::new((power.get() * resistance.get()).sqrt()).min(body_limit))
}

/// Resistance from which the voltage limit, and no longer the power, decides: `U²/P`.
///
/// `None` when the power is not positive.
pub fn critical_resistance(body_limit: Volt, power: Watt) -> Option<Ohm> {
    (power > Watt::ZERO).then(|| Ohm::new(body_limit.get() * body_limit.get() / power.get()))
}

/// Power that a body of this rating may turn to heat in air of this temperature.
pub fn power_at(body: Body, rated: Watt, air: Celsius) -> Limit<Watt> {
    let curve = match body {
        Body::Composition => POWER_COMPOSITION,
        Body::CarbonFilm => POWER_CARBON_FILM,
        Body::MetalFilm | Body::MetalFilmSmall => POWER_METAL_FILM,
        Body::Wirewound => POWER_WIREWOUND,
    };
    curve.map(|c| rated * share_at(c, air))
}

/// Share of the rating left at a temperature: all, then straight down to nothing.
pub(crate) fn share_at((full_to, zero_at): PowerCurve, air: Celsius) -> f64 {
    ((zero_at - air) / (zero_at - full_to)).clamp(0.0, 1.0)
}

/// What a composition resistor measures in circuit, with volts across it, from a reading at low
/// volts: it falls by 0.035 % for each volt up to 1/2 W, by 0.02 % above.
pub fn composition_at_volts(at_low_volts: Ohm, rated: Watt, across: Volt) -> Ohm {
    let per_volt =
        if rated <= Watt::new(0.5) { VOLTAGE_COEFFICIENT_SMALL_PER_V } else { VOLTAGE_COEFFICIENT_LARGE_PER_V };
    at_low_volts * (1.0 + per_volt.value * across.abs().get())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(got: f64, due: f64, relative: f64) -> bool {
        (got - due).abs() <= relative * due.abs()
    }

    // The sheets' tables, typed from them.
    #[test]
    fn working_volts_as_printed() {
        for (body, watts, due) in [
            (Body::Composition, 0.25, 250.0),
            (Body::Composition, 0.5, 350.0),
            (Body::Composition, 1.0, 500.0),
            (Body::CarbonFilm, 0.125, 150.0),
            (Body::CarbonFilm, 2.0, 500.0),
            (Body::MetalFilm, 1.0, 350.0),
            (Body::MetalFilmSmall, 0.5, 250.0),
            (Body::MetalFilmSmall, 2.0, 350.0),
        ] {
            let got = working_voltage_limit(body, Watt::new(watts)).expect("listed").value.get();
            assert!(near(got, due, 1e-12), "{body:?} {watts} W: {got}");
        }
        // 0.6 W is not listed: 0.5 W holds.
        let between = working_voltage_limit(Body::MetalFilm, Watt::new(0.6)).expect("above 1/4 W").value;
        assert!(near(between.get(), 300.0, 1e-12));
        assert_eq!(working_voltage_limit(Body::Composition, Watt::new(0.125)), None);
        assert_eq!(working_voltage_limit(Body::Wirewound, Watt::new(5.0)), None);
        assert_eq!(overload_voltage_limit(Body::MetalFilm, Watt::new(0.5)), None);
    }

    // The axis of the composition sheet runs from 70 to 130 °C: half is left at 100 °C.
    #[test]
    fn heat_left_by_temperature() {
        for (body, air_c, due) in [
            (Body::Composition, 100.0, 0.25),
            (Body::Composition, 20.0, 0.5),
            (Body::Composition, 140.0, 0.0),
            (Body::Wirewound, 150.0, 0.25),
        ] {
            let got = power_at(body, Watt::new(0.5), Celsius::new(air_c)).value.get();
            assert!((got - due).abs() < 1e-12, "{body:?} {air_c} °C: {got}");
        }
    }

    #[test]
    fn a_fall_is_worse_than_a_rise() {
        assert_eq!(judge_drift(0.12, 0.10), Verdict::Flag);
        assert_eq!(judge_drift(-0.12, 0.10), Verdict::Replace);
        assert_eq!(judge_drift(-0.10, 0.10), Verdict::Pass);
        let on_the_limit = drift(Ohm::new(470e3), Ohm::new(517e3)).expect("a marked value");
        assert_eq!(judge_drift(on_the_limit, 0.10), Verdict::Pass);
        assert_eq!(judge_drift(0.15, 0.05), Verdict::Flag);
        assert_eq!(judge_drift(f64::NAN, 0.10), Verdict::Replace);
        assert_eq!(drift(Ohm::ZERO, Ohm::new(1.0)), None);
    }

    // 470 k of 1/2 W with 200 V across reads 7 % less than at low volts.
    #[test]
    fn composition_falls_with_volts() {
        let got = composition_at_volts(Ohm::new(470e3), Watt::new(0.5), Volt::new(200.0));
        assert!(near(got.get(), 437_100.0, 1e-9));
    }
}
