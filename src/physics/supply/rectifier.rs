//! The laws of rectifiers: exponential for silicon, three-halves power for valves.

use super::SupplyError;
use super::circuit::{not_negative, positive};
use crate::units::{Ampere, Ohm, Volt};

/// Boltzmann constant over elementary charge, V/K (exact: SI Brochure, 9th edition, section 2.2).
const BOLTZMANN_V_PER_K: f64 = 1.380_649e-23 / 1.602_176_634e-19;

/// The junction temperature that the diode's constants hold for, K.
const JUNCTION_K: f64 = 300.15;

/// How many Newton steps a law is given; both laws need fewer than ten from the start used here.
const MOST_STEPS: usize = 60;

/// The law of one rectifier (one anode of a valve, one diode).
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Rectifier {
    /// Silicon: `v = n·Vt·ln(1 + i/is) + ohm·i` with `Vt` at 300.15 K.
    Diode {
        /// Saturation current, above zero.
        saturation: Ampere,
        /// Emission coefficient, above zero (1 to 2 in practice).
        emission: f64,
        /// Series resistance, zero or more.
        ohm: Ohm,
    },
    /// Valve: `i = perveance·v^1.5`, nothing in reverse.
    Valve {
        /// Perveance per anode, A/V^1.5, above zero.
        perveance_a_per_v15: f64,
    },
}

impl Rectifier {
    pub(super) fn check(&self) -> Result<(), SupplyError> {
        match *self {
            Self::Diode { saturation, emission, ohm } => {
                positive("saturation current", None, saturation.get())?;
                positive("emission coefficient", None, emission)?;
                not_negative("resistance of a diode", None, ohm.get())
            }
            Self::Valve { perveance_a_per_v15 } => positive("perveance", None, perveance_a_per_v15),
        }
    }

    /// The ohmic part, Ω.
    pub(super) fn series_ohm(&self) -> f64 {
        match self {
            Self::Diode { ohm, .. } => ohm.get(),
            Self::Valve { .. } => 0.0,
        }
    }

    pub(super) fn law(&self) -> Law {
        match *self {
            Self::Diode { saturation, emission, .. } => {
                Law::Exponential { saturation_a: saturation.get(), slope_v: emission * BOLTZMANN_V_PER_K * JUNCTION_K }
            }
            Self::Valve { perveance_a_per_v15 } => Law::ThreeHalves { perveance: perveance_a_per_v15 },
        }
    }
}

/// The perveance of one anode, A/V^1.5, from a drop that a data sheet gives at a current through that anode:
/// `i / v^1.5`. `None` unless both are finite and above zero.
pub fn perveance_from_drop(drop: Volt, current: Ampere) -> Option<f64> {
    let perveance = current.get() / drop.get().powf(1.5);
    (0.0 < drop.get() && 0.0 < current.get() && perveance.is_finite() && 0.0 < perveance).then_some(perveance)
}

/// The nonlinear part of a rectifier: current from the voltage across it, both zero or more.
#[derive(Debug, Clone, Copy)]
pub(super) enum Law {
    Exponential { saturation_a: f64, slope_v: f64 },
    ThreeHalves { perveance: f64 },
}

impl Law {
    /// Current at a forward voltage, A, and its slope, S.
    pub(super) fn current(self, volt: f64) -> (f64, f64) {
        if volt <= 0.0 {
            return (0.0, 0.0);
        }
        match self {
            Self::Exponential { saturation_a, slope_v } => {
                let current = saturation_a * (volt / slope_v).exp_m1();
                (current, (current + saturation_a) / slope_v)
            }
            Self::ThreeHalves { perveance } => {
                let root = perveance * volt.sqrt();
                (root * volt, 1.5 * root)
            }
        }
    }

    /// The voltage `s` across each of `count` equal laws in series with `ohm` under the drive `drive_v`:
    /// `count·s + ohm·i(s) = drive_v`. The left side rises and curves upwards, and the start lies above the
    /// root, so that Newton's steps fall on it from one side.
    pub(super) fn voltage(self, count: f64, ohm: f64, drive_v: f64) -> f64 {
        if drive_v <= 0.0 {
            return 0.0;
        }
        let mut volt = (drive_v / count).min(self.inverse(drive_v / ohm));
        for _ in 0..MOST_STEPS {
            let (current, slope) = self.current(volt);
            let step = (count * volt + ohm * current - drive_v) / (count + ohm * slope);
            let next = volt - step;
            // Rounding alone can carry the last steps past the root, even below zero.
            if next <= 0.0 {
                return volt.max(0.0) * 0.5;
            }
            volt = next;
            if step.abs() <= 1e-14 * volt + 1e-300 {
                break;
            }
        }
        volt
    }

    /// The voltage at a current, V.
    pub(super) fn inverse(self, current: f64) -> f64 {
        match self {
            Self::Exponential { saturation_a, slope_v } => slope_v * (current / saturation_a).ln_1p(),
            Self::ThreeHalves { perveance } => (current / perveance).cbrt().powi(2),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn laws() -> [Law; 3] {
        [
            Law::Exponential { saturation_a: 7e-9, slope_v: 0.046_77 },
            Law::Exponential { saturation_a: 1e-12, slope_v: 0.026 },
            Law::ThreeHalves { perveance: 2e-3 },
        ]
    }

    #[test]
    fn perveance_by_hand() {
        // 17 V at 250 mA: 0.25 / 70.0928 = 3.56670e-3, as the reference supplies have it.
        let found = perveance_from_drop(Volt::new(17.0), Ampere::from_milli(250.0)).unwrap();
        assert!((found - 3.566_70e-3).abs() < 1e-8);
        assert_eq!(perveance_from_drop(Volt::ZERO, Ampere::from_milli(250.0)), None);
        assert_eq!(perveance_from_drop(Volt::new(17.0), Ampere::ZERO), None);
    }

    #[test]
    fn diode_by_hand() {
        // 1 A through the first: 0.04677·ln(1 + 1/7e-9) = 0.04677·18.77737 = 0.878217 V.
        let [law, ..] = laws();
        assert!((law.inverse(1.0) - 0.878_217).abs() < 2e-6);
        assert!((law.current(0.878_217).0 - 1.0).abs() < 1e-4);
    }

    #[test]
    fn drive_is_shared_out_over_all_decades() {
        for law in laws() {
            for count in [1.0, 2.0] {
                for ohm in [1e-6, 1e-2, 1.0, 1e3, 1e6, 1e9] {
                    for drive_v in [1e-9, 1e-3, 0.3, 1.0, 30.0, 1e3, 1e6] {
                        let volt = law.voltage(count, ohm, drive_v);
                        let back = count * volt + ohm * law.current(volt).0;
                        assert!((back - drive_v).abs() <= 1e-9 * drive_v, "{law:?} {count} {ohm} {drive_v}: {back}");
                    }
                }
            }
        }
    }
}
