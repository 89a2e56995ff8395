//! A mark as items: values, voltages, tolerances, classes and what else stands on parts.
//!
//! The scan only recognises; what the items mean together is for the readers of marks.

use super::error::Problem;
use super::lexer::{Token, join, lex};
use super::single::{fraction, scaled, unsigned};
use super::tolerance::{self, Percent, Tolerance};
use super::voltage::{VoltKind, unit_at};
use super::{capacitance, codes, resistance};
use crate::units::{Ampere, Celsius, Hertz, Hour, Millimetre, Volt, Watt};

/// What kind of part the mark is on; units such as `K` and `M` depend on it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Part {
    Capacitor,
    Resistor,
}

/// A value with its unit, or bare.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Amount {
    /// Characters of the number.
    pub(super) raw: String,
    /// The number.
    pub(super) value: f64,
    /// Size of the unit in SI (negative divides); `None` for a bare number.
    pub(super) size: Option<f64>,
    /// A tolerance letter.
    pub(super) letter: Option<char>,
    /// Written as `2k2` on a capacitor: thousands of pF on sheets that use pF.
    pub(super) thousands: bool,
}

impl Amount {
    /// Whether it has no unit of its own.
    pub(super) fn is_bare(&self) -> bool {
        self.size.is_none()
    }
}

/// One thing on a mark.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Item {
    Amount(Amount),
    Volts(VoltKind, Volt),
    Tolerance(Tolerance),
    /// `X` or `Y` and its number.
    Class(char, u8),
    Celsius(Celsius),
    Watt(Watt),
    Ampere(Ampere),
    Hertz(Hertz),
    Hour(Hour),
    /// Diameter and length.
    Size(Millimetre, Millimetre),
    Sign(char),
    Word(String),
}

/// An item and the text it was read from.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Spot {
    pub(super) item: Item,
    pub(super) text: String,
    /// No blank before it.
    pub(super) glued: bool,
}

/// The place of the scan.
struct Scan<'a> {
    part: Part,
    tokens: &'a [Token],
    at: usize,
    done: Vec<Spot>,
}

/// Splits a mark into items.
pub(super) fn items(text: &str, part: Part) -> Result<Vec<Spot>, Problem> {
    let tokens = lex(text)?;
    let mut scan = Scan { part, tokens: &tokens, at: 0, done: Vec::new() };
    while let Some(token) = scan.tokens.get(scan.at) {
        let (item, used) = match scan.next()? {
            Some(found) => found,
            None => match token.word() {
                Some("x" | "X") => (Item::Sign('x'), 1),
                Some(word) => (Item::Word(word.to_owned()), 1),
                None => (Item::Sign(token.text().chars().next().unwrap_or(' ')), 1),
            },
        };
        let used = used.max(1);
        let text = join(scan.tokens.get(scan.at..scan.at + used).unwrap_or_default());
        scan.done.push(Spot { item, text, glued: token.glued });
        scan.at += used;
    }
    refuse_halves(&scan.done)?;
    Ok(scan.done)
}

/// Refuses what would be read by half: a word where the unit of a bare value should be, and a
/// tolerance to one side only.
fn refuse_halves(spots: &[Spot]) -> Result<(), Problem> {
    for pair in spots.windows(2) {
        let [first, second] = pair else { continue };
        match (&first.item, &second.item) {
            (Item::Amount(amount), Item::Word(word)) if amount.is_bare() && second.glued => {
                return Err(Problem::UnknownUnit { unit: word.clone() });
            }
            // `25uF -25V`: a minus that stands at the figure is a sign, not what parts value and voltage.
            (Item::Sign('-'), Item::Volts(..)) if second.glued && !first.glued => {
                return Err(Problem::LeftOver { text: format!("{}{}", first.text, second.text) });
            }
            (Item::Sign('-' | '+'), Item::Tolerance(_)) => {
                return Err(Problem::LeftOver { text: format!("{}{}", first.text, second.text) });
            }
            // `±5pF` is no percentage.
            (Item::Tolerance(_), Item::Word(word))
                if !first.text.ends_with('%') && (second.glued || is_value_unit(word)) =>
            {
                return Err(Problem::LeftOver { text: format!("{}{}", first.text, second.text) });
            }
            _ => {}
        }
    }
    Ok(())
}

/// Whether a word is a unit of values, so that the number before it is no percentage.
fn is_value_unit(word: &str) -> bool {
    let lower = word.to_lowercase();
    lower.ends_with('f') || matches!(lower.as_str(), "p" | "n" | "u" | "v" | "r" | "ohm" | "ohms" | "k" | "m")
}

impl Scan<'_> {
    /// The tokens from here on.
    fn rest(&self) -> &[Token] {
        self.tokens.get(self.at..).unwrap_or_default()
    }

    /// The lower-case word some tokens ahead.
    fn word(&self, ahead: usize) -> String {
        self.rest().get(ahead).and_then(Token::word).unwrap_or_default().to_lowercase()
    }

    /// The item before this place.
    fn last(&self) -> Option<&Item> {
        self.done.last().map(|spot| &spot.item)
    }

    /// The next item and how many tokens it takes.
    fn next(&self) -> Result<Option<(Item, usize)>, Problem> {
        let simple = self.class().or_else(|| self.tolerance()).or_else(|| self.ripple_hertz());
        if let Some(found) = simple.or_else(|| self.size()).or_else(|| self.lead_spacing()).or_else(|| self.volt_code())
        {
            return Ok(Some(found));
        }
        if let Some(found) = self.volts().or_else(|| self.measured()) {
            return Ok(Some(found));
        }
        let boundary =
            self.rest().first().is_some_and(|t| !t.glued) || matches!(self.last(), None | Some(Item::Sign(_)));
        let amount = match self.part {
            Part::Capacitor => capacitance::amount_at(self.rest(), boundary),
            Part::Resistor => resistance::amount_at(self.rest(), boundary)?,
        };
        Ok(amount.map(|(amount, used)| (Item::Amount(amount), used)))
    }

    /// `X2`, `Y1`; also the second of `X1Y2`.
    fn class(&self) -> Option<(Item, usize)> {
        let [letter, number, ..] = self.rest() else { return None };
        let word = letter.word()?;
        let inside = letter.glued && matches!(self.last(), Some(Item::Amount(_) | Item::Word(_)));
        let times = word == "x" && matches!(self.last(), Some(Item::Amount(_)));
        let kind = word.chars().next().filter(|_| word.len() == 1)?.to_ascii_uppercase();
        let digit = number.number().filter(|n| number.glued && n.raw.len() == 1)?.raw.parse().ok()?;
        let known = matches!(kind, 'X' | 'Y') && (1..=4).contains(&digit) && !inside && !times;
        known.then_some((Item::Class(kind, digit), 2))
    }

    /// `10%`, `+-20%`, `-20/+80`; `-40/+85C` is a range of temperature and gives its upper end.
    fn tolerance(&self) -> Option<(Item, usize)> {
        let (found, used) = tolerance::at(self.rest(), Percent::Needed)?;
        if matches!(self.word(used).as_str(), "c" | "°c") {
            return Some((Item::Celsius(Celsius::new(found.plus_percent)), used + 1));
        }
        Some((Item::Tolerance(found), used))
    }

    /// `@120`, `@ 100k`, `@120Hz` after a current.
    fn ripple_hertz(&self) -> Option<(Item, usize)> {
        let at = self.rest().first()?.is('@') && matches!(self.last(), Some(Item::Ampere(_)));
        let number = self.rest().get(1)?.number().filter(|_| at)?;
        let (size, used) = match self.word(2).as_str() {
            "hz" => (1.0, 3),
            "k" | "khz" => (1e3, 3),
            _ => (1.0, 2),
        };
        Some((Item::Hertz(Hertz::new(number.value * size)), used))
    }

    /// `18x36` after a value, with a unit of length anywhere, or `D18 L36`.
    fn size(&self) -> Option<(Item, usize)> {
        if let Some(found) = self.lettered_size() {
            return Some(found);
        }
        let [d, by, l, ..] = self.rest() else { return None };
        let (d, l) = (d.number()?.value, l.number()?.value);
        let (factor, used) = match self.word(3).as_str() {
            "mm" => (1.0, 4),
            "in" => (25.4, 4),
            _ if self.has_value() && !matches!(self.last(), Some(Item::Sign(_))) => (1.0, 3),
            _ => return None,
        };
        let times = by.word().is_some_and(|w| w.eq_ignore_ascii_case("x"));
        times.then(|| (Item::Size(Millimetre::new(d * factor), Millimetre::new(l * factor)), used))
    }

    /// `D18 L36`, `D18xL36`.
    fn lettered_size(&self) -> Option<(Item, usize)> {
        let by = usize::from(matches!(self.word(2).as_str(), "x"));
        let number = |at: usize| self.rest().get(at).filter(|t| t.glued).and_then(Token::number).map(|n| n.value);
        let lettered =
            matches!(self.word(0).as_str(), "d" | "dia" | "ø") && matches!(self.word(2 + by).as_str(), "l" | "xl");
        let (d, l) = (number(1)?, number(3 + by)?);
        lettered.then_some((Item::Size(Millimetre::new(d), Millimetre::new(l)), 4 + by))
    }

    /// The spacing of leads, `LS15`, which no reader needs: kept as a word.
    fn lead_spacing(&self) -> Option<(Item, usize)> {
        let digits = self.rest().get(1).filter(|t| t.glued)?.number()?;
        let spacing = matches!(self.word(0).as_str(), "ls" | "rm");
        spacing.then(|| (Item::Word(format!("LS{}", digits.raw)), 2))
    }

    /// Whether a value was found already.
    fn has_value(&self) -> bool {
        self.done.iter().any(|spot| matches!(spot.item, Item::Amount(_)))
    }

    /// `2A` of `2A104J`.
    fn volt_code(&self) -> Option<(Item, usize)> {
        let [digit, letter, code, tolerance, ..] = self.rest() else { return None };
        let digits = code.number().is_some_and(|n| n.is_digits() && n.raw.len() == 3);
        let lettered = tolerance.glued && tolerance.word().is_some_and(|w| w.len() == 1);
        let glued = letter.glued && code.glued && digits && lettered && self.part == Part::Capacitor;
        let text = format!("{}{}", digit.text(), letter.text());
        let volts = codes::volt_code(&text).filter(|_| glued)?;
        Some((Item::Volts(VoltKind::Working, volts), 2))
    }

    /// `450 WV`, `250~`, `AC 250V`, `525 surge`, `surge 525`.
    fn volts(&self) -> Option<(Item, usize)> {
        let ahead = match self.word(0).as_str() {
            "ac" => Some(VoltKind::Alternating),
            "dc" => Some(VoltKind::Working),
            "surge" | "peak" => Some(VoltKind::Surge),
            _ => None,
        };
        let skip = usize::from(ahead.is_some());
        let number = self.rest().get(skip)?.number()?;
        let unit = unit_at(self.rest().get(skip + 1..).unwrap_or_default());
        let (kind, size, used) = match (ahead, unit) {
            (Some(_), None) if self.rest().len() == skip + 1 => (VoltKind::Working, 1.0, 0),
            (_, unit) => unit?,
        };
        Some((Item::Volts(ahead.unwrap_or(kind), Volt::new(scaled(number.value, size))), skip + 1 + used))
    }

    /// Watts, temperatures, currents, frequencies and hours: a number and its unit.
    fn measured(&self) -> Option<(Item, usize)> {
        let number = self.rest().first()?.number()?;
        let value = number.value;
        if self.part == Part::Resistor
            && let Some(found) = self.watts()
        {
            return Some(found);
        }
        let degree = self.word(1) == "°c" || self.word(1) == "degc";
        let letter_c = self.word(1) == "c" && (40.0..=200.0).contains(&value) && !number.raw.ends_with(['8', '9']);
        let item = match self.word(1).as_str() {
            _ if degree || letter_c => Item::Celsius(Celsius::new(value)),
            "a" => Item::Ampere(Ampere::new(value)),
            "ma" => Item::Ampere(Ampere::new(value / 1e3)),
            "ua" => Item::Ampere(Ampere::new(value / 1e6)),
            "hz" => Item::Hertz(Hertz::new(value)),
            "khz" => Item::Hertz(Hertz::new(value * 1e3)),
            "h" | "hr" | "hrs" | "hour" | "hours" => Item::Hour(Hour::new(value)),
            "kh" => Item::Hour(Hour::new(value * 1e3)),
            _ => return None,
        };
        Some((item, 2))
    }

    /// `5W`, `1/2W`, `½`, `500mW`; a fraction after the value needs no unit.
    fn watts(&self) -> Option<(Item, usize)> {
        let first = self.rest().first()?.number()?;
        let parted = fraction(self.rest());
        let (value, used) = unsigned(self.rest())?;
        let (size, unit) = match self.word(used).as_str() {
            "w" | "watt" | "watts" => (1.0, 1),
            "mw" => (-1e3, 1),
            _ if self.has_value() && (first.has_fraction_sign() || parted.is_some_and(|p| p < 1.0)) => (1.0, 0),
            _ => return None,
        };
        Some((Item::Watt(Watt::new(scaled(value, size))), used + unit))
    }
}
