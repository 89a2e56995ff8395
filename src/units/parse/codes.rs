//! Letter and digit codes on parts: three-digit capacitor values, tolerance letters, volt codes.

use super::tolerance::Tolerance;
use crate::units::{Farad, Volt};

/// The two leading digits of the E24 series (IEC 60063, public lists).
const E24: [u8; 24] = [10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91];

/// The value of a three-digit capacitor code: two digits and a power of ten, in pF; a third
/// digit of 8 is a hundredth, of 9 a tenth (public code tables). `473` is 47 nF.
pub fn three_digits(code: &str) -> Option<Farad> {
    let [tens, ones, power] = code.as_bytes() else { return None };
    if !code.bytes().all(|b| b.is_ascii_digit()) || *tens == b'0' {
        return None;
    }
    let digits = f64::from((tens - b'0') * 10 + (ones - b'0'));
    let exponent = match power - b'0' {
        8 => -2,
        9 => -1,
        n => i32::from(n),
    };
    // Made from decimal text, so that the code and the written-out value are the same figure.
    format!("{digits}e{}", exponent - 12).parse().ok().map(Farad::new)
}

/// Whether three digits can hardly be anything but a code: the last is 1 to 4, so that no value
/// of the usual series is written so, and the first two are of the E24 series.
pub(super) fn is_plain_code(raw: &str) -> bool {
    raw.len() == 3 && raw.ends_with(['1', '2', '3', '4']) && starts_preferred(raw)
}

/// Whether the first two characters are digits of the E24 series.
pub(super) fn starts_preferred(raw: &str) -> bool {
    let digits = raw.split_at_checked(2).and_then(|(digits, _)| digits.parse::<u8>().ok());
    digits.is_some_and(|digits| E24.contains(&digits))
}

/// The tolerance that a letter after a capacitor's value means; `C` and `D` are in pF, so they
/// need the value (public letter tables; B not read in them and left out).
pub fn capacitor_letter(letter: char, value: Farad) -> Option<Tolerance> {
    let of_pf = |pf: f64| Tolerance::symmetric(pf / 1e12 / value.get() * 100.0);
    match letter.to_ascii_uppercase() {
        'C' => Some(of_pf(0.25)),
        'D' => Some(of_pf(0.5)),
        'F' => Some(Tolerance::symmetric(1.0)),
        'G' => Some(Tolerance::symmetric(2.0)),
        'H' => Some(Tolerance::symmetric(3.0)),
        'J' => Some(Tolerance::symmetric(5.0)),
        'K' => Some(Tolerance::symmetric(10.0)),
        'M' => Some(Tolerance::symmetric(20.0)),
        'P' => Some(Tolerance { minus_percent: 0.0, plus_percent: 100.0 }),
        'Z' => Some(Tolerance { minus_percent: 20.0, plus_percent: 80.0 }),
        _ => None,
    }
}

/// The tolerance that a letter after a resistor's value means (F, G, J, K, M as for capacitors;
/// B, C and D from memory of IEC 60062).
pub fn resistor_letter(letter: char) -> Option<Tolerance> {
    let percent = match letter.to_ascii_uppercase() {
        'B' => 0.1,
        'C' => 0.25,
        'D' => 0.5,
        'F' => 1.0,
        'G' => 2.0,
        'J' => 5.0,
        'K' => 10.0,
        'M' => 20.0,
        _ => return None,
    };
    Some(Tolerance::symmetric(percent))
}

/// DC voltages by digit and letter (EIA volt codes, public tables).
pub const VOLT_CODES: [(&str, f64); 16] = [
    ("1A", 10.0),
    ("1C", 16.0),
    ("1E", 25.0),
    ("1H", 50.0),
    ("1J", 63.0),
    ("2A", 100.0),
    ("2C", 160.0),
    ("2D", 200.0),
    ("2E", 250.0),
    ("2F", 315.0),
    ("2V", 350.0),
    ("2G", 400.0),
    ("2W", 450.0),
    ("2H", 500.0),
    ("2J", 630.0),
    ("3A", 1000.0),
];

/// The DC voltage of a volt code such as `2A` (100 V), any letter case.
pub fn volt_code(code: &str) -> Option<Volt> {
    let found = VOLT_CODES.iter().find(|(known, _)| known.eq_ignore_ascii_case(code));
    found.map(|(_, volts)| Volt::new(*volts))
}
