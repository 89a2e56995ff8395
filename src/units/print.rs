//! Printing quantities for people: three significant digits, the trade's prefixes.
//!
//! `22 µF`, `0.047 µF`, `4.7 nF`, `220 pF`; `470 R`, `4.7 k`, `220 k`, `1 M`; `265 V`, `25 mV`.
//! Zero prints as zero of the largest usual unit. These texts are read back by [`super::parse`].

use std::fmt;

use super::{Ampere, Celsius, Farad, Henry, Hertz, Hour, Joule, Millimetre, Ohm, Second, Volt, Watt};

/// A number with `digits` significant digits, without trailing zeros and without an exponent.
pub fn significant(value: f64, digits: u8) -> String {
    if !value.is_finite() {
        return "not a number".to_owned();
    }
    let text = format!("{value:.*e}", usize::from(digits.max(1)) - 1);
    let exponent: i32 = text.split_once('e').and_then(|(_, e)| e.parse().ok()).unwrap_or(0);
    let decimals = usize::try_from(i32::from(digits) - 1 - exponent).unwrap_or(0);
    // The exponent form has rounded already, so a carry into the next decade is in `rounded`.
    let rounded: f64 = text.parse().unwrap_or(value);
    let plain = format!("{rounded:.decimals$}");
    if plain.contains('.') { plain.trim_end_matches('0').trim_end_matches('.').to_owned() } else { plain }
}

/// `value` in the unit of the first step (largest first) that it reaches; zero in the usual unit.
/// A step is: from this size on, the unit's size, the unit.
fn with_prefix(value: f64, (usual, digits): (&str, u8), steps: &[(f64, f64, &str)]) -> String {
    // A hair below a whole step is that step once rounded to three digits.
    let size = value.abs() * 1.0005;
    if size < f64::MIN_POSITIVE {
        return format!("0 {usual}");
    }
    match steps.iter().find(|(from, _, _)| size >= *from).or(steps.last()) {
        Some((_, scale, unit)) => format!("{} {unit}", significant(value / scale, digits)),
        None => significant(value, digits),
    }
}

/// Implements `Display` from a usual unit and the steps of its prefixes.
macro_rules! prints {
    ($name:ident, $usual:literal, $steps:expr) => {
        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.pad(&with_prefix(self.get(), ($usual, 3), $steps))
            }
        }
    };
}

prints!(Volt, "V", &[(0.1, 1.0, "V"), (1e-3, 1e-3, "mV"), (1e-6, 1e-6, "µV")]);
prints!(Ampere, "mA", &[(1.0, 1.0, "A"), (1e-3, 1e-3, "mA"), (1e-6, 1e-6, "µA")]);
prints!(Ohm, "R", &[(1e6, 1e6, "M"), (1e3, 1e3, "k"), (1.0, 1.0, "R")]);
impl fmt::Display for Farad {
    /// Microfarads from 10 nF up, as the trade writes coupling parts (`0.047 µF`).
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&farad_text(*self, 3))
    }
}

/// A capacitance as the trade writes it, with so many significant digits.
pub fn farad_text(farad: Farad, digits: u8) -> String {
    if farad.abs().get() >= 0.9995e-8 {
        return format!("{} µF", significant(farad.micro(), digits));
    }
    with_prefix(farad.get(), ("µF", digits), &[(1e-9, 1e-9, "nF"), (1e-12, 1e-12, "pF")])
}

prints!(Henry, "H", &[(1.0, 1.0, "H"), (1e-3, 1e-3, "mH")]);
prints!(Watt, "W", &[(0.1, 1.0, "W"), (1e-3, 1e-3, "mW")]);
prints!(Joule, "J", &[(0.1, 1.0, "J"), (1e-3, 1e-3, "mJ")]);
prints!(Hertz, "Hz", &[(1e6, 1e6, "MHz"), (1e3, 1e3, "kHz"), (1.0, 1.0, "Hz")]);
prints!(Celsius, "°C", &[(1.0, 1.0, "°C")]);
prints!(Second, "s", &[(1.0, 1.0, "s"), (1e-3, 1e-3, "ms")]);
prints!(Hour, "h", &[(1.0, 1.0, "h")]);
prints!(Millimetre, "mm", &[(1.0, 1.0, "mm")]);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn significant_digits() {
        for (value, shown) in
            [(0.0, "0"), (548.48, "548"), (999.6, "1000"), (0.046_96, "0.047"), (12_345.0, "12300"), (-46.04, "-46")]
        {
            assert_eq!(significant(value, 3), shown);
        }
    }

    #[test]
    fn prefixes_of_the_trade() {
        assert_eq!(Farad::from_micro(22.0).to_string(), "22 µF");
        assert_eq!(Farad::from_micro(0.047).to_string(), "0.047 µF");
        assert_eq!(Farad::new(4.7e-9).to_string(), "4.7 nF");
        assert_eq!(Farad::new(220e-12).to_string(), "220 pF");
        assert_eq!(Ohm::new(470.0).to_string(), "470 R");
        assert_eq!(Ohm::new(4_700.0).to_string(), "4.7 k");
        assert_eq!(Ohm::new(1e6).to_string(), "1 M");
        assert_eq!(Ohm::new(999_999.0).to_string(), "1 M");
        assert_eq!(Volt::new(548.1).to_string(), "548 V");
        assert_eq!(Volt::new(0.9).to_string(), "0.9 V");
        assert_eq!(Ampere::from_milli(3.2).to_string(), "3.2 mA");
        assert_eq!(Ampere::ZERO.to_string(), "0 mA");
    }
}
