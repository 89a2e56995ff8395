//! Money as whole ten-thousandths of a currency's unit, so that sums are exact.
//!
//! Four decimals carry the smallest unit prices of the trade and foreign prices after
//! exchange. What people read is rounded to the currency's minor unit, half away from zero,
//! and only when it is printed.

use std::fmt;
use std::ops::{Add, AddAssign, Mul, Neg, Sub};

/// Ten-thousandths in one currency unit.
const SCALE: i64 = 10_000;

/// An exact amount in one currency, in ten-thousandths of its unit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Money(i64);

/// Why a text is not an amount of money.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum MoneyError {
    /// The text is not digits with at most one decimal point.
    #[error("not an amount of money; write digits and a decimal point, like 0.42")]
    NotANumber,
    /// More than four decimals.
    #[error("more than four decimals")]
    TooFine,
    /// Beyond the range that sums stay exact in (900 million units).
    #[error("out of range")]
    TooLarge,
}

impl Money {
    /// Nothing.
    pub const ZERO: Self = Self(0);
    /// The largest amount accepted, so that sums of many lines cannot overflow.
    const MOST: i64 = 900_000_000 * SCALE;

    /// From ten-thousandths of the unit.
    pub const fn from_ten_thousandths(n: i64) -> Self {
        Self(n)
    }

    /// In ten-thousandths of the unit.
    pub const fn ten_thousandths(self) -> i64 {
        self.0
    }

    /// Reads `12`, `0.42`, `.42` or `1.0265` (a decimal point; the table reader has already
    /// turned a decimal comma into a point where the file allows it).
    ///
    /// # Errors
    /// Says why the text is not an amount; see [`MoneyError`].
    pub fn parse(text: &str) -> Result<Self, MoneyError> {
        let text = text.trim();
        let (negative, digits) = match text.strip_prefix('-') {
            Some(rest) => (true, rest),
            None => (false, text),
        };
        let (whole, decimals) = digits.split_once('.').unwrap_or((digits, ""));
        let all_digits = |s: &str| s.bytes().all(|b| b.is_ascii_digit());
        if (whole.is_empty() && decimals.is_empty()) || !all_digits(whole) || !all_digits(decimals) {
            return Err(MoneyError::NotANumber);
        }
        let decimals = decimals.trim_end_matches('0');
        if decimals.len() > 4 {
            return Err(MoneyError::TooFine);
        }
        let number = |s: &str| -> Result<i64, MoneyError> {
            if s.is_empty() { Ok(0) } else { s.parse().map_err(|_digits_checked| MoneyError::TooLarge) }
        };
        let fraction = number(&format!("{decimals:0<4}"))?;
        let amount = number(whole)?
            .checked_mul(SCALE)
            .and_then(|w| w.checked_add(fraction))
            .filter(|a| *a <= Self::MOST)
            .ok_or(MoneyError::TooLarge)?;
        Ok(Self(if negative { -amount } else { amount }))
    }

    /// This amount times a whole number of pieces.
    #[must_use]
    pub const fn times(self, pieces: u32) -> Self {
        Self(self.0.saturating_mul(pieces as i64))
    }

    /// This amount times `rate` ten-thousandths-exact, rounded half away from zero.
    #[must_use]
    pub fn at_rate(self, rate: Rate) -> Self {
        Self(round_div(i128::from(self.0) * i128::from(rate.0), i128::from(Rate::SCALE)))
    }

    /// `percent` of this amount, rounded half away from zero.
    #[must_use]
    pub fn percent(self, percent: Percent) -> Self {
        Self(round_div(i128::from(self.0) * i128::from(percent.0), 1_000_000))
    }

    /// This amount times `numerator / denominator`, rounded half away from zero;
    /// nothing where the denominator is not positive.
    #[must_use]
    pub fn ratio(self, numerator: i64, denominator: i64) -> Self {
        if denominator <= 0 {
            return Self::ZERO;
        }
        Self(round_div(i128::from(self.0) * i128::from(numerator), i128::from(denominator)))
    }

    /// Rounded to `digits` decimals (0 to 4), half away from zero.
    #[must_use]
    pub fn rounded(self, digits: u8) -> Self {
        let step = 10i64.pow(4 - u32::from(digits.min(4)));
        Self(round_div(i128::from(self.0), i128::from(step)) * step)
    }

    /// The decimal text with exactly `digits` decimals (0 to 4), rounded half away from zero.
    pub fn text(self, digits: u8) -> String {
        let digits = digits.min(4);
        let n = self.rounded(digits).0;
        let sign = if n < 0 { "-" } else { "" };
        let (whole, fraction) = (n.unsigned_abs() / SCALE.unsigned_abs(), n.unsigned_abs() % SCALE.unsigned_abs());
        if digits == 0 {
            return format!("{sign}{whole}");
        }
        let fraction = format!("{fraction:04}");
        format!("{sign}{whole}.{}", fraction.get(..usize::from(digits)).unwrap_or_default())
    }

    /// As [`text`](Self::text), but with up to four decimals where the amount has them: for unit prices.
    pub fn exact_text(self, digits: u8) -> String {
        let shown = (digits..4).find(|d| self.rounded(*d) == self).unwrap_or(4);
        self.text(shown)
    }
}

/// Divides, rounding half away from zero.
#[expect(clippy::cast_possible_truncation, reason = "amounts are bounded by MOST and factors by their own bounds")]
fn round_div(numerator: i128, denominator: i128) -> i64 {
    let half = if numerator < 0 { -denominator } else { denominator };
    ((numerator * 2 + half) / (denominator * 2)) as i64
}

impl Add for Money {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0.saturating_add(other.0))
    }
}

impl AddAssign for Money {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

impl Sub for Money {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0.saturating_sub(other.0))
    }
}

impl Neg for Money {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

impl Mul<u32> for Money {
    type Output = Self;
    fn mul(self, pieces: u32) -> Self {
        self.times(pieces)
    }
}

impl std::iter::Sum for Money {
    fn sum<I: Iterator<Item = Self>>(parts: I) -> Self {
        parts.fold(Self::ZERO, Add::add)
    }
}

/// An exchange rate: one foreign unit in the shop's own currency, in millionths.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rate(i64);

impl Rate {
    const SCALE: i64 = 1_000_000;
    /// One to one.
    pub const ONE: Self = Self(Self::SCALE);

    /// Reads `0.86`; up to six decimals, above zero and at most one million.
    ///
    /// # Errors
    /// Says why the text is not a rate.
    pub fn parse(text: &str) -> Result<Self, MoneyError> {
        let n = scaled(text, 6)?;
        if n <= 0 || n > Self::SCALE * 1_000_000 { Err(MoneyError::TooLarge) } else { Ok(Self(n)) }
    }
}

/// A percentage with four decimals, held as whole ten-thousandths of a percent.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Percent(i64);

impl Percent {
    /// From a number such as `17.5`; rounded to four decimals.
    #[expect(clippy::cast_possible_truncation, reason = "the input room bounds percentages to ±10 000")]
    pub fn new(percent: f64) -> Self {
        Self((percent * 10_000.0).round() as i64)
    }

    /// The number, such as `17.5`.
    #[expect(clippy::cast_precision_loss, reason = "bounded far below 2^53")]
    pub fn get(self) -> f64 {
        self.0 as f64 / 10_000.0
    }
}

/// Reads a positive decimal number scaled by `10^decimals`.
fn scaled(text: &str, decimals: usize) -> Result<i64, MoneyError> {
    let (whole, fraction) = text.trim().split_once('.').unwrap_or((text.trim(), ""));
    let fraction = fraction.trim_end_matches('0');
    if fraction.len() > decimals {
        return Err(MoneyError::TooFine);
    }
    let digits = format!("{whole}{fraction:0<decimals$}");
    if !digits.bytes().all(|b| b.is_ascii_digit()) || (whole.is_empty() && fraction.is_empty()) {
        return Err(MoneyError::NotANumber);
    }
    digits.parse().map_err(|_digits_checked| MoneyError::TooLarge)
}

/// A currency by its ISO 4217 letters.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Currency(String);

impl Currency {
    /// Three capital letters, as in ISO 4217; `None` for anything else.
    pub fn new(code: &str) -> Option<Self> {
        (code.len() == 3 && code.bytes().all(|b| b.is_ascii_uppercase())).then(|| Self(code.to_owned()))
    }

    /// Decimals of the minor unit: 2, but for the few currencies that have none or three
    /// (ISO 4217 list, from memory).
    pub fn minor_digits(&self) -> u8 {
        match self.0.as_str() {
            "JPY" | "KRW" | "CLP" | "ISK" | "VND" | "XAF" | "XOF" | "XPF" | "PYG" | "UGX" => 0,
            "BHD" | "KWD" | "OMR" | "JOD" | "TND" | "IQD" | "LYD" => 3,
            _ => 2,
        }
    }
}

impl fmt::Display for Currency {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_and_prints() {
        for (text, n, shown) in [
            ("0.42", 4_200, "0.42"),
            (".5", 5_000, "0.50"),
            ("12", 120_000, "12.00"),
            ("0.0265", 265, "0.03"),
            ("-1.005", -10_050, "-1.01"),
        ] {
            let money = Money::parse(text).unwrap();
            assert_eq!(money.ten_thousandths(), n, "{text}");
            assert_eq!(money.text(2), shown, "{text}");
        }
        assert_eq!(Money::parse("0.0265").unwrap().exact_text(2), "0.0265");
        assert_eq!(Money::parse("0.4").unwrap().exact_text(2), "0.40");
    }

    #[test]
    fn refuses_what_is_not_money() {
        assert_eq!(Money::parse("1,20"), Err(MoneyError::NotANumber));
        assert_eq!(Money::parse(""), Err(MoneyError::NotANumber));
        assert_eq!(Money::parse("."), Err(MoneyError::NotANumber));
        assert_eq!(Money::parse("1.00001"), Err(MoneyError::TooFine));
        assert_eq!(Money::parse("99999999999999999999"), Err(MoneyError::TooLarge));
    }

    // 1.50 at 0.86 is 1.29; 17.5 % of 261.20 is 45.71.
    #[test]
    fn rates_and_percentages_round_half_away_from_zero() {
        let rate = Rate::parse("0.86").unwrap();
        assert_eq!(Money::parse("1.50").unwrap().at_rate(rate).text(2), "1.29");
        assert_eq!(Money::parse("261.20").unwrap().percent(Percent::new(17.5)).text(2), "45.71");
        assert_eq!(Money::parse("0.005").unwrap().text(2), "0.01");
        assert_eq!(Money::parse("-0.005").unwrap().text(2), "-0.01");
    }
}
