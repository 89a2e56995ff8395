//! Single quantities of a column: a number with its unit, or without where the column has one.

use super::bounds::{
    Bounds, CURRENT, ENERGY, FREQUENCY, INDUCTANCE, LENGTH, LIFE, NUMBER, PERCENT, POWER, RATIO, TEMPERATURE, TIME,
};
use super::error::{Problem, QuantityError};
use super::lexer::{Token, join, lex};
use crate::units::{Ampere, Celsius, Henry, Hertz, Hour, Joule, Millimetre, Second, Watt};

/// The unit of a current without one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CurrentUnit {
    /// A.
    Ampere,
    /// mA.
    Milliampere,
    /// µA.
    Microampere,
}

/// Units in lower case with their size; the first is the one of a bare number. Sizes below one
/// are given as divisors (negative) so that decimal figures stay exact.
type Units = [(&'static str, f64)];

const CURRENT_UNITS: &Units = &[("a", 1.0), ("amp", 1.0), ("amps", 1.0), ("ma", -1e3), ("ua", -1e6), ("mca", -1e6)];
const POWER_UNITS: &Units = &[("w", 1.0), ("watt", 1.0), ("watts", 1.0), ("mw", -1e3), ("kw", 1e3)];
const FREQUENCY_UNITS: &Units = &[
    ("hz", 1.0),
    ("c/s", 1.0),
    ("c", 1.0),
    ("cps", 1.0),
    ("cycles", 1.0),
    ("~", 1.0),
    ("k", 1e3),
    ("khz", 1e3),
    ("kc", 1e3),
    ("kc/s", 1e3),
    ("mhz", 1e6),
    ("mc/s", 1e6),
];
const TEMPERATURE_UNITS: &Units = &[("c", 1.0), ("°c", 1.0), ("°", 1.0), ("degc", 1.0), ("deg", 1.0)];
const LENGTH_UNITS: &Units =
    &[("mm", 1.0), ("cm", 10.0), ("in", 25.4), ("ins", 25.4), ("inch", 25.4), ("inches", 25.4), ("\"", 25.4)];
const INDUCTANCE_UNITS: &Units = &[("h", 1.0), ("hy", 1.0), ("henry", 1.0), ("henries", 1.0), ("mh", -1e3)];
const ENERGY_UNITS: &Units = &[("j", 1.0), ("joule", 1.0), ("joules", 1.0), ("mj", -1e3)];
const TIME_UNITS: &Units = &[("s", 1.0), ("sec", 1.0), ("ms", -1e3), ("min", 60.0), ("h", 3600.0)];
const LIFE_UNITS: &Units =
    &[("h", 1.0), ("hr", 1.0), ("hrs", 1.0), ("hour", 1.0), ("hours", 1.0), ("k", 1e3), ("kh", 1e3)];
const NO_UNITS: &Units = &[];
const PERCENT_UNITS: &Units = &[("%", 1.0), ("percent", 1.0)];

/// Reads a current: `160`, `3.2mA`, `110 uA`, `1.6 A`; `bare` is the unit of a number alone.
///
/// # Errors
/// No number, an unknown unit, or beyond 1000 A.
pub fn current(text: &str, bare: CurrentUnit) -> Result<Ampere, QuantityError> {
    let size = match bare {
        CurrentUnit::Ampere => 1.0,
        CurrentUnit::Milliampere => -1e3,
        CurrentUnit::Microampere => -1e6,
    };
    read(text, &CURRENT, CURRENT_UNITS, size).map(Ampere::new)
}

/// Reads a power in W: `0.5`, `1/2W`, `½`, `1½ W`, `500mW`.
///
/// # Errors
/// No number, an unknown unit, negative, or beyond 10 kW.
pub fn watt(text: &str) -> Result<Watt, QuantityError> {
    read(text, &POWER, POWER_UNITS, 1.0).map(Watt::new)
}

/// Reads a frequency in Hz: `120`, `100k`, `50~`, `60 c/s`, `1 kHz`.
///
/// # Errors
/// No number, an unknown unit, or outside 0.01 Hz to 1000 MHz.
pub fn hertz(text: &str) -> Result<Hertz, QuantityError> {
    read(text, &FREQUENCY, FREQUENCY_UNITS, 1.0).map(Hertz::new)
}

/// Reads a temperature in °C: `85`, `105C`, `-40 °C`.
///
/// # Errors
/// No number, an unknown unit, or outside -100 °C to 500 °C.
pub fn celsius(text: &str) -> Result<Celsius, QuantityError> {
    read(text, &TEMPERATURE, TEMPERATURE_UNITS, 1.0).map(Celsius::new)
}

/// Reads a length in mm: `18`, `18mm`, `1in`, `1-1/4in`, `3/4"`, `2.5 cm`.
///
/// # Errors
/// No number, an unknown unit, negative, or beyond 10 m.
pub fn millimetre(text: &str) -> Result<Millimetre, QuantityError> {
    read(text, &LENGTH, LENGTH_UNITS, 1.0).map(Millimetre::new)
}

/// Reads an inductance in H: `10`, `10H`, `500mH`.
///
/// # Errors
/// No number, an unknown unit, negative, or beyond 10 000 H.
pub fn henry(text: &str) -> Result<Henry, QuantityError> {
    read(text, &INDUCTANCE, INDUCTANCE_UNITS, 1.0).map(Henry::new)
}

/// Reads an energy in J: `4.76`, `5J`, `250mJ`.
///
/// # Errors
/// No number, an unknown unit, negative, or beyond 1 MJ.
pub fn joule(text: &str) -> Result<Joule, QuantityError> {
    read(text, &ENERGY, ENERGY_UNITS, 1.0).map(Joule::new)
}

/// Reads a time in s: `30`, `30 s`, `10min`, `2h`.
///
/// # Errors
/// No number, an unknown unit, negative, or beyond 1e9 s.
pub fn second(text: &str) -> Result<Second, QuantityError> {
    read(text, &TIME, TIME_UNITS, 1.0).map(Second::new)
}

/// Reads a working life in h: `2000`, `2000h`, `5 k`, `10000 hours`.
///
/// # Errors
/// No number, an unknown unit, negative, or beyond a million hours.
pub fn hour(text: &str) -> Result<Hour, QuantityError> {
    read(text, &LIFE, LIFE_UNITS, 1.0).map(Hour::new)
}

/// Reads a percentage: `20`, `20%`, `-5`. Decimals where the text has them.
///
/// # Errors
/// No number, an unknown unit, or beyond 1000 %.
pub fn percent(text: &str) -> Result<f64, QuantityError> {
    read(text, &PERCENT, PERCENT_UNITS, 1.0)
}

/// Reads a number without any unit: `0.15`, `2,2`.
///
/// # Errors
/// No number, or anything after it.
pub fn number(text: &str) -> Result<f64, QuantityError> {
    read(text, &NUMBER, NO_UNITS, 1.0)
}

/// Reads factors by a quantity such as frequency, `50:0.8;100:1;1k:1.3`: pairs in rising order
/// of the left side, where `k` is a thousand. Both sides are above zero.
///
/// # Errors
/// A pair without a colon, a number that cannot be read, zero, or a left side that does not rise.
pub fn ratio_list(text: &str) -> Result<Vec<(f64, f64)>, QuantityError> {
    let mut pairs: Vec<(f64, f64)> = Vec::new();
    for pair in text.split(';').map(str::trim).filter(|pair| !pair.is_empty()) {
        let fail = |problem| RATIO.error(text, problem);
        let left_over = || fail(Problem::LeftOver { text: pair.to_owned() });
        let (left, right) = pair.split_once(':').ok_or_else(left_over)?;
        let units: &Units = &[("k", 1e3), ("hz", 1.0), ("khz", 1e3), ("v", 1.0)];
        let left = parse(left, &RATIO, units, 1.0).map_err(fail)?;
        let right = parse(right, &RATIO, NO_UNITS, 1.0).map_err(fail)?;
        if left <= 0.0 || right <= 0.0 || pairs.last().is_some_and(|(before, _)| *before >= left) {
            return Err(left_over());
        }
        pairs.push((left, right));
    }
    if pairs.is_empty() { Err(RATIO.error(text, Problem::Empty)) } else { Ok(pairs) }
}

/// [`parse`] with the text in the error.
fn read(text: &str, bounds: &Bounds, units: &Units, bare: f64) -> Result<f64, QuantityError> {
    parse(text, bounds, units, bare).map_err(|problem| bounds.error(text, problem))
}

/// A signed number, possibly a fraction, and its unit.
fn parse(text: &str, bounds: &Bounds, units: &Units, bare: f64) -> Result<f64, Problem> {
    let tokens = lex(text)?;
    let (sign, tokens) = sign(&tokens);
    let (value, used) = unsigned(tokens).ok_or(Problem::NoNumber)?;
    let rest = tokens.get(used..).unwrap_or_default();
    let unit = unit_text(rest);
    let size = if unit.is_empty() {
        bare
    } else {
        let found = units.iter().find(|(name, _)| *name == unit);
        found.map(|(_, size)| *size).ok_or(Problem::UnknownUnit { unit: join(rest) })?
    };
    bounds.check(sign * scaled(value, size))
}

/// A number in its unit; a negative size divides. Powers of ten are applied in decimal, so that
/// `47nF` and `.047uF` are the same figure to the last bit.
pub(super) fn scaled(value: f64, size: f64) -> f64 {
    let power = size.abs().log10();
    let exact = if (power - power.round()).abs() < 1e-9 {
        let sign = if size < 0.0 { "-" } else { "" };
        format!("{value}e{sign}{power:.0}").parse().ok()
    } else {
        None
    };
    exact.unwrap_or(if size < 0.0 { value / -size } else { value * size })
}

/// What stands after the number, in lower case and without blanks.
fn unit_text(rest: &[Token]) -> String {
    rest.iter().map(|token| token.text().to_lowercase()).collect()
}

/// A sign at the start of the tokens as a factor, and what follows.
pub(super) fn sign(tokens: &[Token]) -> (f64, &[Token]) {
    match tokens {
        [first, rest @ ..] if first.is('-') => (-1.0, rest),
        [first, rest @ ..] if first.is('+') => (1.0, rest),
        all => (1.0, all),
    }
}

/// `12`, `1/2`, `1-1/4` or `1 1/4` at the start of the tokens, with how many they are.
pub(super) fn unsigned(tokens: &[Token]) -> Option<(f64, usize)> {
    let whole = tokens.first()?.number()?.value;
    if let Some(part) = fraction(tokens) {
        return Some((part, 3));
    }
    let dash = usize::from(tokens.get(1).is_some_and(|t| t.is('-')));
    match tokens.get(1 + dash..).and_then(fraction) {
        Some(part) if part < 1.0 => Some((whole + part, 4 + dash)),
        _ => Some((whole, 1)),
    }
}

/// A fraction such as `1/2` at the start of the tokens.
pub(super) fn fraction(tokens: &[Token]) -> Option<f64> {
    let [above, slash, below, ..] = tokens else { return None };
    let (above, below) = (above.number()?, below.number()?);
    let whole = slash.is('/') && above.is_digits() && below.is_digits() && below.value > 0.0;
    whole.then(|| above.value / below.value)
}
