//! The spellings that nearly every cell of a catalog has, read without a detour: `450`, `0.47uF`,
//! `470k`, `10%`, `1:0.42;10:0.36`.
//!
//! Each reader gives what the full reader of that text gives, to the last bit, or nothing: then the
//! full reader is asked. Tests hold them against each other.

use crate::model::shop::Tier;
use crate::money::Money;

/// Powers of ten that a double holds exactly.
const POWERS: [f64; 23] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20,
    1e21, 1e22,
];
/// Most digits of a number, so that it is exact as a whole number in a double.
const MOST_DIGITS: usize = 15;

/// A decimal number as written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Decimal {
    /// Its digits as a whole number.
    pub(super) digits: u64,
    /// How many of them stand after the mark.
    pub(super) places: usize,
}

impl Decimal {
    /// Reads digits with at most one mark between them; `mark` is that of the file.
    pub(super) fn read(text: &[u8], mark: u8) -> Option<Self> {
        if text.is_empty() || MOST_DIGITS < text.len() {
            return None;
        }
        let (mut digits, mut places, mut marked) = (0_u64, 0, false);
        for byte in text {
            if byte.is_ascii_digit() {
                digits = digits * 10 + u64::from(byte - b'0');
                places += usize::from(marked);
            } else if *byte == mark && !marked {
                marked = true;
            } else {
                return None;
            }
        }
        let starts = text.first().is_some_and(u8::is_ascii_digit);
        (starts && (!marked || places > 0)).then_some(Self { digits, places })
    }

    /// The number times so many tens, rounded once as a reader of decimal text rounds it.
    pub(super) fn times_tens(self, tens: i32) -> Option<f64> {
        #[expect(clippy::cast_precision_loss, reason = "fifteen digits are exact")]
        let digits = self.digits as f64;
        let tens = tens - i32::try_from(self.places).ok()?;
        let power = POWERS.get(usize::try_from(tens.unsigned_abs()).ok()?)?;
        Some(if tens < 0 { digits / power } else { digits * power })
    }

    /// The number itself.
    pub(super) fn value(self) -> Option<f64> {
        self.times_tens(0)
    }

    /// The number where it has no decimals.
    pub(super) fn whole(self) -> Option<u32> {
        u32::try_from(self.digits).ok().filter(|_| self.places == 0)
    }
}

/// A capacitance such as `22uF`, `4.7nF`, `470pF`, in farads.
pub(super) fn farad(text: &[u8], mark: u8) -> Option<f64> {
    let (number, unit) = text.split_at_checked(text.len().checked_sub(2)?)?;
    let tens = match unit {
        b"uF" => -6,
        b"nF" => -9,
        b"pF" => -12,
        _ => return None,
    };
    let number = Decimal::read(number, mark)?;
    // `5.000pF` may be 5000 pF: the full reader asks.
    if tens == -12 && number.places == 3 { None } else { number.times_tens(tens) }
}

/// A resistance such as `470R`, `4.7k`, `1M`, in ohms.
pub(super) fn ohm(text: &[u8], mark: u8) -> Option<f64> {
    let (unit, number) = text.split_last()?;
    let tens = match unit {
        b'R' => 0,
        b'k' => 3,
        b'M' => 6,
        _ => return None,
    };
    Decimal::read(number, mark)?.times_tens(tens)
}

/// A tolerance such as `10%` or `-10/+50%`: how far below and above, percent.
pub(super) fn tolerance(text: &[u8], mark: u8) -> Option<(f64, f64)> {
    let number = text.strip_suffix(b"%")?;
    let percent = |text| Decimal::read(text, mark)?.value().filter(|p| *p <= 200.0);
    let Some(below) = number.strip_prefix(b"-") else {
        return percent(number).map(|both| (both, both));
    };
    let slash = below.iter().position(|b| *b == b'/')?;
    let (below, above) = below.split_at_checked(slash)?;
    Some((percent(below)?, percent(above.strip_prefix(b"/+")?)?))
}

/// An amount of money such as `0.42`.
pub(super) fn money(text: &[u8], mark: u8) -> Option<Money> {
    amount(Decimal::read(text, mark)?)
}

fn amount(amount: Decimal) -> Option<Money> {
    let step = *[10_000, 1_000, 100, 10, 1].get(amount.places)?;
    // Far below the largest amount, whose fault is the full reader's to tell.
    let ten_thousandths = i64::try_from(amount.digits).ok()?.checked_mul(step)?;
    (ten_thousandths < 10_i64.pow(12)).then(|| Money::from_ten_thousandths(ten_thousandths))
}

/// Prices such as `1:0.42;10:0.36`, or one price for any quantity, put into `tiers`; whether the
/// text is such a list, with quantities that rise.
pub(super) fn tiers(text: &[u8], mark: u8, tiers: &mut Vec<Tier>) -> bool {
    // The quantity of the present pair, none where it was not given yet, and the number being read.
    let (mut from, mut number) = (0, Digits::default());
    for byte in text {
        let digit = byte.wrapping_sub(b'0');
        if digit < 10 {
            number.digit(digit);
        } else if *byte == mark && number.may_be_marked() {
            number.marked = 1;
        } else if *byte == b':' && from == 0 {
            let Some(quantity) = number.decimal().filter(|_| number.marked == 0).and_then(quantity_of) else {
                return false;
            };
            (from, number) = (quantity, Digits::default());
        } else if *byte == b';' && add_tier((from.max(1), number), tiers) {
            (from, number) = (0, Digits::default());
        } else {
            return false;
        }
    }
    add_tier((from.max(1), number), tiers)
}

/// Adds a pair; whether its quantity is above those before it, and its price is one.
fn add_tier((from, price): (u32, Digits), tiers: &mut Vec<Tier>) -> bool {
    let rises = tiers.last().is_none_or(|before| before.from < from);
    match price.decimal().and_then(amount) {
        Some(each) if rises => {
            tiers.push(Tier { from, each });
            true
        }
        _ => false,
    }
}

/// A decimal number of which one byte is read after the other.
#[derive(Debug, Clone, Copy, Default)]
struct Digits {
    value: u64,
    /// Digits so far.
    length: usize,
    /// 1 where a mark was read.
    marked: usize,
    /// Digits after it.
    places: usize,
}

impl Digits {
    const fn digit(&mut self, digit: u8) {
        // Too many digits are refused in the end, whatever they came to.
        self.value = self.value.wrapping_mul(10).wrapping_add(digit as u64);
        self.length += 1;
        self.places += self.marked;
    }

    const fn may_be_marked(self) -> bool {
        self.marked == 0 && self.length > 0
    }

    fn decimal(self) -> Option<Decimal> {
        let is_number = 0 < self.length && self.length + self.marked <= MOST_DIGITS && self.marked <= self.places;
        is_number.then_some(Decimal { digits: self.value, places: self.places })
    }
}

/// A quantity from 1 on.
pub(super) fn quantity(text: &[u8]) -> Option<u32> {
    quantity_of(Decimal::read(text, b'0')?)
}

fn quantity_of(number: Decimal) -> Option<u32> {
    number.whole().filter(|number| (1..=1_000_000_000).contains(number))
}

/// Factors by frequency such as `50:0.8;100:1;1k:1.3`, put into `pairs`; whether the text is such a
/// list, with frequencies that rise and factors within reason.
pub(super) fn factors(text: &[u8], mark: u8, pairs: &mut Vec<(f64, f64)>) -> bool {
    for pair in text.split(|b| *b == b';') {
        let Some(factor) = factor(pair, mark) else { return false };
        if pairs.last().is_some_and(|(before, _)| factor.0 <= *before) {
            return false;
        }
        pairs.push(factor);
    }
    true
}

fn factor(pair: &[u8], mark: u8) -> Option<(f64, f64)> {
    let colon = pair.iter().position(|b| *b == b':')?;
    let (hertz, factor) = (pair.get(..colon)?, pair.get(colon + 1..)?);
    let hertz = match hertz.strip_suffix(b"k") {
        Some(thousands) => Decimal::read(thousands, mark)?.times_tens(3)?,
        None => Decimal::read(hertz, mark)?.value()?,
    };
    let factor = Decimal::read(factor, mark)?.value()?;
    (0.0 < hertz && hertz <= 1e6 && (0.01..=20.0).contains(&factor)).then_some((hertz, factor))
}

#[cfg(test)]
mod tests;
