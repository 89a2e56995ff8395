//! Figures of one sampled period: mean, rms, extremes, components.
//!
//! Sums over equal steps of a whole period are the trapezoidal rule on periodic data.

use std::f64::consts::TAU;

/// Mean of the samples.
pub(super) fn mean(samples: &[f64]) -> f64 {
    samples.iter().sum::<f64>() / count(samples)
}

/// Root of the mean square.
pub(super) fn rms(samples: &[f64]) -> f64 {
    (samples.iter().map(|value| value * value).sum::<f64>() / count(samples)).sqrt()
}

/// Root of the mean square of what is left without the mean.
pub(super) fn alternating_rms(samples: &[f64]) -> f64 {
    let middle = mean(samples);
    (samples.iter().map(|value| (value - middle).powi(2)).sum::<f64>() / count(samples)).sqrt()
}

/// Rms of the component with `turns` periods in the samples.
pub(super) fn component_rms(samples: &[f64], turns: f64) -> f64 {
    let step = TAU * turns / count(samples);
    let mut angle = 0.0_f64;
    let (mut real, mut imaginary) = (0.0, 0.0);
    for value in samples {
        let (sin, cos) = angle.sin_cos();
        real += value * cos;
        imaginary += value * sin;
        angle += step;
    }
    real.hypot(imaginary) * std::f64::consts::SQRT_2 / count(samples)
}

/// The highest value, by a parabola through the highest sample and its neighbours round the period.
pub(super) fn highest(samples: &[f64]) -> f64 {
    let neighbours = samples.iter().cycle().skip(samples.len().saturating_sub(1));
    let following = samples.iter().cycle().skip(1);
    let mut best = f64::NEG_INFINITY;
    let mut crest = f64::NEG_INFINITY;
    for ((&value, &before), &after) in samples.iter().zip(neighbours).zip(following) {
        if best < value {
            best = value;
            crest = vertex(before, value, after);
        }
    }
    crest
}

/// The lowest value, likewise.
pub(super) fn lowest(samples: &[f64]) -> f64 {
    let mirrored: Vec<f64> = samples.iter().map(|value| -value).collect();
    -highest(&mirrored)
}

/// Top of the parabola through three equidistant samples of which the middle one is the highest.
pub(super) fn vertex(before: f64, top: f64, after: f64) -> f64 {
    let curvature = before - 2.0 * top + after;
    if curvature < 0.0 { top - (after - before).powi(2) / (8.0 * curvature) } else { top }
}

#[expect(clippy::cast_precision_loss, reason = "a period has a few thousand samples")]
fn count(samples: &[f64]) -> f64 {
    samples.len() as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    /// `3 + 2·sin x + sin(2x + 1)` over one period.
    fn sample() -> Vec<f64> {
        (0..512).map(|k| TAU * f64::from(k) / 512.0).map(|x| 3.0 + 2.0 * x.sin() + (2.0 * x + 1.0).sin()).collect()
    }

    #[test]
    fn components_of_a_known_wave() {
        let wave = sample();
        assert!((mean(&wave) - 3.0).abs() < 1e-12);
        assert!((component_rms(&wave, 1.0) - 2.0_f64.sqrt()).abs() < 1e-12);
        assert!((component_rms(&wave, 2.0) - 0.5_f64.sqrt()).abs() < 1e-12);
        assert!((alternating_rms(&wave) - 2.5_f64.sqrt()).abs() < 1e-12);
        assert!((rms(&wave) - 11.5_f64.sqrt()).abs() < 1e-12);
    }

    #[test]
    fn extremes_lie_between_samples() {
        let wave: Vec<f64> = (0..100).map(|k| (TAU * (f64::from(k) + 0.4) / 100.0).sin()).collect();
        assert!((highest(&wave) - 1.0).abs() < 1e-5);
        assert!((lowest(&wave) + 1.0).abs() < 1e-5);
    }
}
