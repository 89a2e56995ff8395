//! Leakage: what a new part, an old part and a paper part may pass, and what it does to a grid.

use super::interpolate::step_up_to;
use super::within;
use crate::limits::Limit;
use crate::limits::leakage::{
    COOL, CvRule, GENERIC, HOT, HOT_RATIO, LONG_LIFE, MODERN_CV_STEP_UF_V, MODERN_HIGH_LARGE, MODERN_HIGH_SMALL,
    MODERN_LOW, MODERN_LOW_FLOOR, MODERN_LOW_UP_TO, PAPER_RATIO, PART_VOLTAGE, PART_VOLTAGE_RATIO, VINTAGE_ADDED,
    VINTAGE_AFTER, VINTAGE_FROM, VINTAGE_K_MA_PER_UF, VINTAGE_MOST,
};
use crate::units::{Ampere, Celsius, Farad, Ohm, Second, Volt};

/// Largest leakage and the time at voltage before a reading counts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeakageLimit {
    /// The current at rated voltage and 20 °C.
    pub limit: Limit<Ampere>,
    /// Time at voltage before the reading.
    pub after: Second,
}

/// CV product in µF·V, the measure of the makers' rules.
fn cv_uf_v(nominal: Farad, rated: Volt) -> f64 {
    nominal.micro() * rated.get()
}

/// A linear rule at this part.
fn by_rule(rule: Limit<CvRule>, nominal: Farad, rated: Volt) -> LeakageLimit {
    let after = rule.value.after;
    let limit = rule.map(|r| Ampere::new((r.factor * cv_uf_v(nominal, rated) + r.added_ua) * 1e-6));
    LeakageLimit { limit, after }
}

/// Largest leakage of a new general-purpose part, by the maker's sheet.
pub fn modern_limit(nominal: Farad, rated: Volt) -> LeakageLimit {
    if rated <= MODERN_LOW_UP_TO.value {
        let mut low = by_rule(MODERN_LOW, nominal, rated);
        low.limit.value = low.limit.value.max(MODERN_LOW_FLOOR.value);
        return low;
    }
    let small = within(cv_uf_v(nominal, rated), MODERN_CV_STEP_UF_V.value);
    by_rule(if small { MODERN_HIGH_SMALL } else { MODERN_HIGH_LARGE }, nominal, rated)
}

/// Largest leakage of a new part by the generic rule, `0.01·CV + 3` µA.
pub fn generic_limit(nominal: Farad, rated: Volt) -> LeakageLimit {
    by_rule(GENERIC, nominal, rated)
}

/// Largest leakage of a new long-life part; the formula is from memory and says so.
pub fn long_life_limit(nominal: Farad, rated: Volt) -> LeakageLimit {
    let rule = LONG_LIFE.value;
    let current_ua = rule.factor * cv_uf_v(nominal, rated).powf(rule.power) + rule.added_ua;
    LeakageLimit { limit: LONG_LIFE.map(|_| Ampere::new(current_ua * 1e-6)), after: rule.after }
}

/// Largest leakage of an old part, for judging it; never for accepting a new one.
///
/// `I(mA) = K·C(µF) + 0.3`, at most 10 mA. `None` outside 3 to 500 V, where no rule is known.
pub fn vintage_limit(nominal: Farad, rated: Volt) -> Option<LeakageLimit> {
    if rated < VINTAGE_FROM.value {
        return None;
    }
    let k_ma_per_uf = step_up_to(VINTAGE_K_MA_PER_UF.value, rated)?;
    let current = Ampere::from_milli(k_ma_per_uf * nominal.micro()) + VINTAGE_ADDED.value;
    let limit = VINTAGE_K_MA_PER_UF.map(|_| current.min(VINTAGE_MOST.value));
    Some(LeakageLimit { limit, after: VINTAGE_AFTER.value })
}

/// Leakage to expect at `part` from the one at 20 °C: about four times at 85 °C, a power between.
///
/// The curve between the two published points is ours; good to a quarter at best.
pub fn at_temperature(at_20: Ampere, part: Celsius) -> Ampere {
    let share = (part - COOL.value) / (HOT.value - COOL.value);
    at_20 * HOT_RATIO.value.powf(share)
}

/// Leakage to expect at a share of the rated voltage from the one at the rating: about half at 0.7.
///
/// The power law between the two published points is ours; good to a quarter at best, and of no
/// use far below 0.7. A reading taken at a few volts says nothing.
pub fn at_voltage(at_rated: Ampere, share_of_rated: f64) -> Ampere {
    let power = PART_VOLTAGE_RATIO.value.ln() / PART_VOLTAGE.value.ln();
    at_rated * share_of_rated.powf(power)
}

/// Least leakage resistance of a paper screen or AGC bypass behind this resistance.
pub fn paper_least_resistance(circuit: Ohm) -> Limit<Ohm> {
    PAPER_RATIO.map(|ratio| circuit * ratio)
}

/// How far a leaky coupling capacitor lifts the next grid: `V·Rg / (Rg + Rleak)`.
pub fn grid_shift(across: Volt, grid_leak: Ohm, leakage: Ohm) -> Volt {
    across * (grid_leak / (grid_leak + leakage))
}

/// Least leakage resistance of a coupling capacitor for a shift of at most `allowed`.
///
/// `None` when the allowed shift is not above zero. Zero when any leak would do.
pub fn coupling_least_resistance(across: Volt, grid_leak: Ohm, allowed: Volt) -> Option<Ohm> {
    (allowed > Volt::ZERO).then(|| (grid_leak * (across / allowed - 1.0)).max(Ohm::ZERO))
}

/// Leakage resistance seen from a shift of the grid that was measured.
///
/// `None` when the shift is not above zero (no leakage was seen) or not below the voltage across.
pub fn leakage_from_shift(across: Volt, grid_leak: Ohm, shift: Volt) -> Option<Ohm> {
    (shift > Volt::ZERO && shift < across).then(|| grid_leak * (across / shift - 1.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sources::Status;

    fn near(got: f64, due: f64, relative: f64) -> bool {
        (got - due).abs() <= relative * due.abs()
    }

    // Printed figures of the JAN-C-62 rule as quoted: 20 µF 450 V 1.1 mA, 20 µF 250 V 0.7 mA,
    // 40 µF 350 V 1.30 mA.
    #[test]
    fn vintage_rule_as_printed() {
        for (uf, v, due_ma) in [(20.0, 450.0, 1.1), (20.0, 250.0, 0.7), (40.0, 350.0, 1.30)] {
            let got = vintage_limit(Farad::from_micro(uf), Volt::new(v)).expect("in range").limit;
            assert!(near(got.value.milli(), due_ma, 1e-9));
        }
        let large = vintage_limit(Farad::from_micro(1500.0), Volt::new(50.0)).expect("in range").limit;
        assert!(near(large.value.milli(), 10.0, 1e-12));
        assert_eq!(vintage_limit(Farad::from_micro(8.0), Volt::new(525.0)), None);
        assert_eq!(vintage_limit(Farad::from_micro(8.0), Volt::new(2.0)), None);
    }

    // The gap that must not be bridged: 2.18 mA against 0.448 mA for 47 µF 450 V.
    #[test]
    fn old_and_new_differ() {
        let (c, v) = (Farad::from_micro(47.0), Volt::new(450.0));
        assert!(near(vintage_limit(c, v).expect("in range").limit.value.milli(), 2.18, 1e-9));
        assert!(near(modern_limit(c, v).limit.value.milli(), 0.448, 1e-9));
    }

    #[test]
    fn a_remembered_formula_says_so() {
        let limit = long_life_limit(Farad::from_micro(47.0), Volt::new(450.0)).limit;
        assert_eq!(limit.source.status(), Status::Memory);
    }

    // 250 V, 470 k, 0.5 V allowed needs 234.5 MΩ; both directions agree.
    #[test]
    fn coupling_both_ways() {
        let (v, rg) = (Volt::new(250.0), Ohm::new(470e3));
        let least = coupling_least_resistance(v, rg, Volt::new(0.5)).expect("a shift");
        assert!(near(least.get(), 234.53e6, 1e-4));
        assert!(near(grid_shift(v, rg, least).get(), 0.5, 1e-9));
        let seen = leakage_from_shift(v, rg, Volt::new(0.5)).expect("a shift");
        assert!(near(seen.get(), least.get(), 1e-12));
        assert_eq!(coupling_least_resistance(v, rg, Volt::ZERO), None);
        assert_eq!(leakage_from_shift(v, rg, Volt::ZERO), None);
    }
}
