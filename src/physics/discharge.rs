//! Stored charge: how long a bleeder takes, what comes back, and when it can hurt.
//!
//! A computed time replaces no meter: measure, discharge through a resistor, wait for the
//! rebound, measure again.

use crate::limits::Limit;
use crate::limits::discharge::{HAZARD_DOE, HAZARD_NFPA, HazardStep, REBOUND_LEAST, REBOUND_MOST};
use crate::units::{Farad, Joule, Ohm, Second, Volt};

/// Time for a resistor to bring a capacitor from `start` down to `safe`: `R·C·ln(V0/Vs)`.
///
/// Zero when it is there already. `None` for a safe voltage that is not positive, since that is
/// never reached, and for values that are not numbers.
pub fn time_to(safe: Volt, start: Volt, capacitance: Farad, resistor: Ohm) -> Option<Second> {
    let ratio = start.abs() / safe;
    (safe > Volt::ZERO && ratio.is_finite()).then(|| resistor * capacitance * ratio.ln().max(0.0))
}

/// Largest resistor that brings a capacitor from `start` to `safe` within `time`.
///
/// `None` when any resistor will do (it is there already) or none can.
pub fn resistor_for(time: Second, safe: Volt, start: Volt, capacitance: Farad) -> Option<Ohm> {
    let time_at_one_ohm = time_to(safe, start, capacitance, Ohm::new(1.0))?;
    (time_at_one_ohm > Second::ZERO && time > Second::ZERO).then(|| Ohm::new(time / time_at_one_ohm))
}

/// A value with its plus tolerance (`0.05` for 5 %): the worst case for a discharge time.
pub fn at_most<Q: std::ops::Mul<f64, Output = Q>>(nominal: Q, plus_tolerance: f64) -> Q {
    nominal * (1.0 + plus_tolerance)
}

/// Voltage at which a capacitor holds this energy: `√(2·E/C)`. `None` when C is not positive.
pub fn volts_for_energy(energy: Joule, capacitance: Farad) -> Option<Volt> {
    (capacitance > Farad::ZERO).then(|| Volt::new((2.0 * energy.get() / capacitance.get()).sqrt()))
}

/// Voltage that absorption brings back to an open electrolytic at this share of the first one.
pub fn rebound_at(first: Volt, share: f64) -> Volt {
    first * share
}

/// Least and most voltage that may come back to a non-solid electrolytic left open.
pub fn rebound(first: Volt) -> Limit<(Volt, Volt)> {
    REBOUND_MOST.map(|most| (rebound_at(first, REBOUND_LEAST.value), rebound_at(first, most)))
}

/// Whose thresholds of stored energy.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HazardTable {
    /// NFPA 70E article 360: the set to use.
    Nfpa,
    /// DOE: older, called superseded; for comparison only.
    Doe,
}

impl HazardTable {
    /// The published steps.
    pub const fn steps(self) -> Limit<&'static [HazardStep]> {
        match self {
            Self::Nfpa => HAZARD_NFPA,
            Self::Doe => HAZARD_DOE,
        }
    }
}

/// Whether the charge on a capacitor is hazardous by its energy. What is not a number is.
///
/// Below the threshold it can still give a shock by its voltage.
pub fn is_hazardous(table: HazardTable, capacitance: Farad, volts: Volt) -> bool {
    let energy = capacitance.energy_at(volts);
    let steps = table.steps().value;
    let step = steps.iter().rev().find(|step| step.from <= volts.abs());
    step.is_none_or(|step| !(energy < step.energy || (energy <= step.energy && !step.at_it_too)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(got: f64, due: f64, relative: f64) -> bool {
        (got - due).abs() <= relative * due.abs()
    }

    // Worked figures: 220 k and 47 µF from 450 to 60 V take 20.8 s; 26.3 s with +5 % and +20 %.
    #[test]
    fn bleeder_times() {
        let (r, c) = (Ohm::new(220e3), Farad::from_micro(47.0));
        let nominal = time_to(Volt::new(60.0), Volt::new(450.0), c, r).expect("reached");
        assert!(near(nominal.get(), 20.83, 1e-3));
        let worst = time_to(Volt::new(60.0), Volt::new(450.0), at_most(c, 0.20), at_most(r, 0.05)).expect("reached");
        assert!(near(worst.get(), 26.25, 1e-3));
        let back = resistor_for(nominal, Volt::new(60.0), Volt::new(450.0), c).expect("a resistor");
        assert!(near(back.get(), 220e3, 1e-12));
        // A negative supply discharges like a positive one; a lower start needs no time.
        let negative = time_to(Volt::new(60.0), Volt::new(-450.0), c, r).expect("reached");
        assert!(near(negative.get(), nominal.get(), 1e-12));
        assert_eq!(time_to(Volt::new(60.0), Volt::new(50.0), c, r), Some(Second::ZERO));
        assert_eq!(time_to(Volt::ZERO, Volt::new(50.0), c, r), None);
    }

    // Marched in small steps instead of by the logarithm.
    #[test]
    fn discharge_time_by_marching() {
        let (r, c, dt) = (100e3, 100e-6, 1e-4);
        let (mut volts, mut seconds) = (450.0_f64, 0.0);
        while volts > 50.0 {
            let half = volts - volts / (r * c) * dt / 2.0;
            volts -= half / (r * c) * dt;
            seconds += dt;
        }
        let got = time_to(Volt::new(50.0), Volt::new(450.0), Farad::new(c), Ohm::new(r)).expect("reached");
        assert!(near(got.get(), seconds, 1e-4));
    }

    // 450 V can come back to 45 to 67.5 V, above the 60 V limit.
    #[test]
    fn rebound_passes_the_safe_limit() {
        let (least, most) = rebound(Volt::new(450.0)).value;
        assert!(near(least.get(), 45.0, 1e-12) && near(most.get(), 67.5, 1e-12));
        assert!(crate::limits::discharge::SAFE_DC.value < most);
    }

    #[test]
    fn hazard_by_energy() {
        let can = Farad::from_micro(47.0);
        assert!(is_hazardous(HazardTable::Nfpa, can, Volt::new(450.0)));
        assert!(is_hazardous(HazardTable::Nfpa, can, Volt::new(-450.0)));
        assert!(!is_hazardous(HazardTable::Doe, can, Volt::new(450.0)));
        // Exactly 10 J at 200 V: 500 µF.
        assert!(is_hazardous(HazardTable::Doe, Farad::from_micro(500.0001), Volt::new(200.0)));
        assert!(is_hazardous(HazardTable::Nfpa, can, Volt::new(f64::NAN)));
    }
}
