//! The preferred values that a window must reach.

use crate::units::Ohm;

/// Series E24, one decade.
const E24: [f64; 24] = [
    1.0, 1.1, 1.2, 1.3, 1.5, 1.6, 1.8, 2.0, 2.2, 2.4, 2.7, 3.0, 3.3, 3.6, 3.9, 4.3, 4.7, 5.1, 5.6, 6.2, 6.8, 7.5, 8.2,
    9.1,
];
/// Every second of series E24 is series E12.
const E12_STEP: usize = 2;

/// Values of series E12 at or below `most`, largest first, `count` of them.
pub(in crate::substitute) fn e12_at_or_below(most: Ohm, count: usize) -> Vec<Ohm> {
    if !(most > Ohm::ZERO && most.is_finite()) {
        return Vec::new();
    }
    let top = decade(most.get());
    let falling = [top, top / 10.0, top / 100.0];
    let values = falling.iter().flat_map(|d| E24.iter().step_by(E12_STEP).rev().map(move |v| v * d));
    values.filter(|v| *v <= most.get() * (1.0 + 1e-9)).take(count).map(Ohm::new).collect()
}

/// The nearest below and the nearest above in series E24.
pub(super) fn e24_around(value: Ohm) -> (Ohm, Ohm) {
    let base = decade(value.get());
    let all = || E24.iter().map(|v| v * base).chain([base * 10.0]);
    let slack = 1e-9 * value.get();
    let below = all().filter(|v| *v <= value.get() + slack).fold(base, f64::max);
    let above = all().filter(|v| value.get() - slack <= *v).fold(base * 10.0, f64::min);
    (Ohm::new(below), Ohm::new(above))
}

/// The power of ten at or below a positive number.
fn decade(value: f64) -> f64 {
    let power = (value.log10() + 1e-12).floor();
    10f64.powf(power)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_down_the_series() {
        let got: Vec<f64> = e12_at_or_below(Ohm::new(152_000.0), 4).iter().map(|o| o.get().round()).collect();
        assert_eq!(got, [150_000.0, 120_000.0, 100_000.0, 82_000.0]);
        assert!(e12_at_or_below(Ohm::ZERO, 4).is_empty());
    }

    #[test]
    fn neighbours_in_e24() {
        let (below, above) = e24_around(Ohm::new(250_000.0));
        assert!((below.get() - 240_000.0).abs() < 1.0 && (above.get() - 270_000.0).abs() < 1.0);
        let (below, above) = e24_around(Ohm::new(500_000.0));
        assert!((below.get() - 470_000.0).abs() < 1.0 && (above.get() - 510_000.0).abs() < 1.0);
        let (below, above) = e24_around(Ohm::new(47_000.0));
        assert!((below.get() - 47_000.0).abs() < 1.0 && (above.get() - 47_000.0).abs() < 1.0);
        let (below, above) = e24_around(Ohm::new(9_500.0));
        assert!((below.get() - 9_100.0).abs() < 1.0 && (above.get() - 10_000.0).abs() < 1.0);
    }
}
