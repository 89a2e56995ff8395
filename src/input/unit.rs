//! Units of columns and keys: their symbols, their SI factors, and reading a cell in one.

use crate::units::parse::{self, CurrentUnit, QuantityError};
use crate::units::{Ampere, Celsius, Henry, Hertz, Hour, Millimetre, Volt, Watt};

/// The unit that a bare number of a column or key is in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unit {
    /// No unit.
    None,
    /// V.
    Volt,
    /// V rms.
    VoltAc,
    /// A.
    Ampere,
    /// mA.
    Milliampere,
    /// µA.
    Microampere,
    /// Ω.
    Ohm,
    /// µF.
    Microfarad,
    /// F.
    Farad,
    /// H.
    Henry,
    /// Hz.
    Hertz,
    /// °C.
    Celsius,
    /// W.
    Watt,
    /// h.
    Hour,
    /// min.
    Minute,
    /// mm.
    Millimetre,
    /// Percent.
    Percent,
    /// A year.
    Year,
    /// Days.
    Day,
    /// Pieces.
    Piece,
    /// A/V^1.5.
    Perveance,
}

impl Unit {
    /// The unit as printed after a number; empty for bare numbers.
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::None | Self::Year | Self::Piece => "",
            Self::Volt => "V",
            Self::VoltAc => "V AC",
            Self::Ampere => "A",
            Self::Milliampere => "mA",
            Self::Microampere => "µA",
            Self::Ohm => "ohm",
            Self::Microfarad => "µF",
            Self::Farad => "F",
            Self::Henry => "H",
            Self::Hertz => "Hz",
            Self::Celsius => "°C",
            Self::Watt => "W",
            Self::Hour => "h",
            Self::Minute => "min",
            Self::Millimetre => "mm",
            Self::Percent => "%",
            Self::Day => "days",
            Self::Perveance => "A/V^1.5",
        }
    }

    /// The divisor from this unit to the one that the crate reckons in (1 where they are the same).
    const fn divisor(self) -> f64 {
        match self {
            Self::Milliampere => 1e3,
            Self::Microampere | Self::Microfarad => 1e6,
            _ => 1.0,
        }
    }

    /// A number in this unit as the crate reckons: SI, °C, mm, h; minutes become seconds.
    pub(super) fn to_model(self, number: f64) -> f64 {
        if self == Self::Minute { number * 60.0 } else { number / self.divisor() }
    }

    /// Whether only whole numbers make sense.
    pub const fn is_whole(self) -> bool {
        matches!(self, Self::Year | Self::Day | Self::Piece)
    }

    /// Reads a cell: a bare number in this unit, or a number with its own unit.
    ///
    /// # Errors
    /// Says why the text is not such a quantity.
    pub(super) fn read(self, text: &str) -> Result<f64, QuantityError> {
        if let Some(number) = plain_number(text) {
            return Ok(number);
        }
        match self {
            Self::Volt => parse::volt(text).map(Volt::get),
            Self::VoltAc => parse::volt_ac(text).map(Volt::get),
            Self::Ampere => parse::current(text, CurrentUnit::Ampere).map(Ampere::get),
            Self::Milliampere => parse::current(text, CurrentUnit::Milliampere).map(|a| a.get() * 1e3),
            Self::Microampere => parse::current(text, CurrentUnit::Microampere).map(|a| a.get() * 1e6),
            Self::Ohm => parse::resistance(text).map(|marked| marked.ohm.get()),
            Self::Microfarad => {
                parse::capacitance(text, parse::Bare::Microfarad).map(|marked| marked.farad.get() * 1e6)
            }
            Self::Farad => parse::capacitance(text, parse::Bare::Refuse).map(|marked| marked.farad.get()),
            Self::Henry => parse::henry(text).map(Henry::get),
            Self::Hertz => parse::hertz(text).map(Hertz::get),
            Self::Celsius => parse::celsius(text).map(Celsius::get),
            Self::Watt => parse::watt(text).map(Watt::get),
            Self::Hour => parse::hour(text).map(Hour::get),
            Self::Minute => parse::second(text).map(|s| s.get() / 60.0),
            Self::Millimetre => parse::millimetre(text).map(Millimetre::get),
            Self::Percent => parse::percent(text),
            Self::None | Self::Year | Self::Day | Self::Piece | Self::Perveance => parse::number(text),
        }
    }
}

/// A number of digits, sign, point and exponent only; never `inf` or `nan`, which Rust would read too.
pub(super) fn plain_number(text: &str) -> Option<f64> {
    let usual = |b: u8| b.is_ascii_digit() || matches!(b, b'.' | b'-' | b'+' | b'e' | b'E');
    if !text.bytes().all(usual) {
        return None;
    }
    text.parse().ok().filter(|number: &f64| number.is_finite())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(a: f64, b: f64) -> bool {
        (a - b).abs() <= 1e-9 * b.abs()
    }

    #[test]
    fn a_number_alone_is_in_the_columns_unit() {
        for (unit, text, number) in [
            (Unit::Volt, "450", 450.0),
            (Unit::Volt, "450V", 450.0),
            (Unit::Milliampere, "160", 160.0),
            (Unit::Milliampere, "1.6 A", 1600.0),
            (Unit::Milliampere, "110uA", 0.11),
            (Unit::Hertz, "100k", 100_000.0),
            (Unit::Millimetre, "1in", 25.4),
            (Unit::Watt, "1/2W", 0.5),
            (Unit::Celsius, "105C", 105.0),
            (Unit::Minute, "10min", 10.0),
            (Unit::Microfarad, "60", 60.0),
            (Unit::Percent, "20%", 20.0),
        ] {
            assert!(close(unit.read(text).unwrap(), number), "{text}");
        }
    }

    #[test]
    fn what_is_no_number_is_refused() {
        for text in ["inf", "nan", "1e999", "abc", "", "12 V x"] {
            assert!(Unit::Volt.read(text).is_err(), "{text}");
        }
    }

    #[test]
    fn factors_to_the_model() {
        assert!(close(Unit::Milliampere.to_model(160.0), 0.16));
        assert!(close(Unit::Microampere.to_model(3.0), 3e-6));
        assert!(close(Unit::Microfarad.to_model(60.0), 6e-5));
        assert!(close(Unit::Minute.to_model(10.0), 600.0));
    }
}
