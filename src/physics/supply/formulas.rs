//! Exact limits and formulas of rectifier circuits, for checks and for warnings.

use std::f64::consts::{FRAC_2_PI, FRAC_PI_2, PI};

use crate::units::{Henry, Hertz, Ohm, Volt};

/// The least inductance with which the current of a full-wave choke-input supply never stops: `R/(6·pi·f)`.
///
/// `load` is all that the choke feeds at direct current, its own resistance included. Follows from setting the crest of the
/// current at twice the mains frequency, `(4·V/3·pi)/(4·pi·f·L)`, equal to the mean, `(2·V/pi)/R`.
pub fn critical_inductance(load: Ohm, mains: Hertz) -> Henry {
    Henry::new(load.get() / (6.0 * PI * mains.get()))
}

/// Mean output of a full-wave choke-input supply above the critical inductance, before any drop: `2·V/pi`.
pub fn choke_input_mean(crest: Volt) -> Volt {
    crest * FRAC_2_PI
}

/// Ripple (rms) over the mean of a full-wave choke-input filter: `(√2/3)·Xc/Xl`, both at twice the mains frequency.
/// The mean of a rectified sine is `2·V/pi` and its part at twice the frequency `4·V/(3·pi)` crest.
pub fn choke_input_ripple_factor(capacitive: Ohm, inductive: Ohm) -> f64 {
    std::f64::consts::SQRT_2 / 3.0 * (capacitive / inductive)
}

/// Half waves that a capacitor-input rectifier uses in each mains period.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Wave {
    /// One.
    Half,
    /// Two.
    Full,
}

/// Mean output, in crests, of a capacitor-input supply with an endless capacitor and an ideal rectifier behind `source`:
/// `cos t` where `source/load = (2/pi)·(tan t - t)` (half wave: `1/pi`), `t` half the angle of conduction.
///
/// `None` where a resistance is not finite, negative, or the load is zero.
pub fn endless_capacitor_output(source: Ohm, load: Ohm, wave: Wave) -> Option<f64> {
    let ratio = source / load;
    if !ratio.is_finite() || ratio < 0.0 || load.get() <= 0.0 {
        return None;
    }
    let pulses = match wave {
        Wave::Half => 1.0,
        Wave::Full => 2.0,
    };
    // The left side grows without bound towards a right angle, so that halving always finds the angle.
    let (mut low, mut high) = (0.0, FRAC_PI_2);
    for _ in 0..200 {
        let angle = f64::midpoint(low, high);
        if pulses / PI * (angle.tan() - angle) < ratio {
            low = angle;
        } else {
            high = angle;
        }
    }
    Some(f64::midpoint(low, high).cos())
}

#[cfg(test)]
mod tests {
    use std::f64::consts::FRAC_1_SQRT_2;

    use super::*;

    #[test]
    fn critical_inductance_by_hand() {
        // 4000 Ω at 50 Hz: 4000 / 942.478 = 4.24413 H.
        let found = critical_inductance(Ohm::new(4000.0), Hertz::new(50.0)).get();
        assert!((found - 4.244_13).abs() < 1e-5);
    }

    #[test]
    fn choke_input_by_hand() {
        // 2·500/pi = 318.310 V.
        assert!((choke_input_mean(Volt::new(500.0)).get() - 318.310).abs() < 1e-3);
        // 0.471 of the ratio of the reactances, as the trade writes it.
        assert!((choke_input_ripple_factor(Ohm::new(1.0), Ohm::new(10.0)) - 0.047_1).abs() < 1e-4);
    }

    #[test]
    fn endless_capacitor_by_hand() {
        // t = 45°: tan t - t = 1 - pi/4 = 0.2146018; times 2/pi = 0.1366198; cos t = 1/√2.
        let full = endless_capacitor_output(Ohm::new(0.136_619_8), Ohm::new(1.0), Wave::Full).unwrap();
        assert!((full - FRAC_1_SQRT_2).abs() < 1e-6);
        let half = endless_capacitor_output(Ohm::new(0.068_309_9), Ohm::new(1.0), Wave::Half).unwrap();
        assert!((half - FRAC_1_SQRT_2).abs() < 1e-6);
        let ideal = endless_capacitor_output(Ohm::ZERO, Ohm::new(1.0), Wave::Full).unwrap();
        assert!((ideal - 1.0).abs() < 1e-9);
        assert_eq!(endless_capacitor_output(Ohm::new(1.0), Ohm::ZERO, Wave::Full), None);
    }
}
