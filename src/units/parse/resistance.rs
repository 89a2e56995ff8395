//! Resistances: letters for the point, old words for units, colour words.

use super::bounds::RESISTANCE;
use super::codes::resistor_letter;
use super::colours::{Colour, bands};
use super::error::{Problem, QuantityError};
use super::items::{Amount, Item, Part, items};
use super::lexer::{Token, lex};
use super::single::scaled;
use super::tolerance::Tolerance;
use crate::units::Ohm;

/// A resistance with the tolerance written at it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MarkedOhm {
    /// The nominal value.
    pub ohm: Ohm,
    /// The tolerance, when a letter, a percentage or a colour stands there.
    pub tolerance: Option<Tolerance>,
}

/// Units in lower case with their size in ohm.
const UNITS: [(&str, f64); 24] = [
    ("r", 1.0),
    ("ohm", 1.0),
    ("ohms", 1.0),
    ("Ω", 1.0),
    ("k", 1e3),
    ("kr", 1e3),
    ("kohm", 1e3),
    ("kohms", 1e3),
    ("kilohm", 1e3),
    ("kilohms", 1e3),
    ("kΩ", 1e3),
    ("m", 1e6),
    ("meg", 1e6),
    ("megs", 1e6),
    ("mega", 1e6),
    ("megohm", 1e6),
    ("megohms", 1e6),
    ("megΩ", 1e6),
    ("mohm", 1e6),
    ("mohms", 1e6),
    ("mΩ", 1e6),
    ("g", 1e9),
    ("gohm", 1e9),
    ("gΩ", 1e9),
];

/// Reads one resistance: `4K7`, `220k`, `470R`, `1 meg`, `.47M`, `470 ohms`, `220000`, `R47`,
/// `yel-vio-org-sil`. A tolerance letter or percentage may follow. A number alone is in ohm.
///
/// # Errors
/// No number, an unknown unit, two readings, more than one value, or beyond 100 000 M.
pub fn resistance(text: &str) -> Result<MarkedOhm, QuantityError> {
    read(text).map_err(|problem| RESISTANCE.error(text, problem))
}

/// Reads a range `180k..270k` or `180..270k`; a single value is a range of itself.
///
/// # Errors
/// As [`resistance`], and when the larger value stands first.
pub fn resistance_range(text: &str) -> Result<(Ohm, Ohm), QuantityError> {
    let Some((low, high)) = text.split_once("..") else {
        return resistance(text).map(|value| (value.ohm, value.ohm));
    };
    let fail = |problem| RESISTANCE.error(text, problem);
    let bare = lex(low).map_err(fail)?.len() == 1;
    let unit = lex(high).map_err(fail)?.get(1).filter(|_| bare).map(Token::text).unwrap_or_default();
    let low = read(&format!("{low}{unit}")).map_err(fail)?.ohm;
    let high = read(high).map_err(fail)?.ohm;
    if low <= high { Ok((low, high)) } else { Err(fail(Problem::RangeReversed)) }
}

/// [`resistance`] without the text in the error.
fn read(text: &str) -> Result<MarkedOhm, Problem> {
    if let Some(found) = colours(text)? {
        return Ok(found);
    }
    let mut found: Option<Amount> = None;
    let mut tolerance = None;
    for spot in items(text, Part::Resistor)? {
        match spot.item {
            Item::Amount(amount) => {
                if found.replace(amount).is_some() {
                    return Err(Problem::Twice { what: "resistance" });
                }
            }
            Item::Tolerance(stated) => {
                if tolerance.replace(stated).is_some() {
                    return Err(Problem::Twice { what: "tolerance" });
                }
            }
            Item::Word(word) if found.as_ref().is_some_and(Amount::is_bare) => {
                return Err(Problem::UnknownUnit { unit: word });
            }
            _ => return Err(Problem::LeftOver { text: spot.text }),
        }
    }
    let amount = found.ok_or(Problem::NoNumber)?;
    let value = ohm(&amount)?;
    Ok(MarkedOhm { ohm: value, tolerance: tolerance.or(amount.letter.and_then(resistor_letter)) })
}

/// The value of an amount in ohm, within the bounds of reason.
pub(super) fn ohm(amount: &Amount) -> Result<Ohm, Problem> {
    RESISTANCE.check(scaled(amount.value, amount.size.unwrap_or(1.0))).map(Ohm::new)
}

/// The value of colour words, when the text holds nothing else: `yel-vio-org-sil`, `yellow
/// violet orange`.
pub(super) fn colours(text: &str) -> Result<Option<MarkedOhm>, Problem> {
    let tokens = lex(text)?;
    let words: Vec<&str> = tokens.iter().filter_map(Token::word).collect();
    let signs = tokens.iter().all(|t| t.word().is_some() || ['-', '/', ',', ' '].iter().any(|s| t.is(*s)));
    let colours: Option<Vec<Colour>> = words.iter().map(|word| Colour::of_word(word)).collect();
    match colours {
        Some(colours) if signs && !colours.is_empty() => {
            let found = bands(&colours).ok_or(Problem::Colours)?;
            Ok(Some(MarkedOhm { ohm: found.ohm, tolerance: Some(found.tolerance) }))
        }
        _ => Ok(None),
    }
}

/// The size of a resistor's unit and a tolerance letter after it (`KJ`). `mohm` and `mΩ` with a
/// small m are thousandths, with a capital M millions; `m` alone is a million on a resistor.
fn unit(word: &str) -> Option<(f64, Option<char>)> {
    if matches!(word, "mohm" | "mohms" | "mΩ" | "mOhm" | "milliohm" | "milliohms") {
        return Some((-1e3, None));
    }
    let lower: String = word.chars().map(|c| if c == 'Ω' { c } else { c.to_ascii_lowercase() }).collect();
    let size = |name: &str| UNITS.iter().find(|(known, _)| *known == name).map(|(_, size)| *size);
    if let Some(found) = size(&lower) {
        return Some((found, None));
    }
    let letter = lower.chars().last().filter(|c| "fgjkm".contains(*c))?;
    let found = size(lower.strip_suffix(letter)?)?;
    Some((found, Some(letter.to_ascii_uppercase())))
}

/// The value at the start of the tokens, with how many tokens it takes.
///
/// # Errors
/// `100K1/2W` may be 100 k at half a watt or 100.1 k; it is refused.
pub(super) fn amount_at(tokens: &[Token], boundary: bool) -> Result<Option<(Amount, usize)>, Problem> {
    if let Some(found) = letter_first(tokens, boundary) {
        return Ok(Some(found));
    }
    if let Some(found) = letter_between(tokens)? {
        return Ok(Some(found));
    }
    let Some(number) = tokens.first().and_then(Token::number) else { return Ok(None) };
    let found = tokens.get(1).and_then(Token::word).and_then(unit);
    let Some((size, letter)) = found else {
        let amount =
            Amount { raw: number.raw.clone(), value: number.value, size: None, letter: None, thousands: false };
        return Ok(Some((amount, 1)));
    };
    // `4.7 K ohms` has its unit in two words; `22K J` its tolerance letter apart.
    let after = tokens.get(2).and_then(Token::word).filter(|_| letter.is_none()).unwrap_or_default();
    let ohms = matches!(after.to_lowercase().as_str(), "ohm" | "ohms" | "Ω" | "ω");
    let apart = if matches!(after, "F" | "G" | "J" | "K" | "M") { after.chars().next() } else { None };
    let letter = letter.or(apart);
    let amount = Amount { raw: number.raw.clone(), value: number.value, size: Some(size), letter, thousands: false };
    Ok(Some((amount, 2 + usize::from(ohms || apart.is_some()))))
}

/// The size of a letter that stands at the point.
fn point_letter(word: &str) -> Option<f64> {
    match word {
        "R" | "r" | "Ω" => Some(1.0),
        "K" | "k" => Some(1e3),
        "M" | "m" => Some(1e6),
        "G" | "g" => Some(1e9),
        _ => None,
    }
}

/// `R47`, `K47`, `M47`.
fn letter_first(tokens: &[Token], boundary: bool) -> Option<(Amount, usize)> {
    let [letter, digits, rest @ ..] = tokens else { return None };
    let size = point_letter(letter.word()?).filter(|_| boundary)?;
    let number = digits.number().filter(|n| digits.glued && n.is_digits())?;
    let raw = format!("0.{}", number.raw);
    let value = raw.parse().ok()?;
    let (letter, more) = after_point(rest);
    Some((Amount { raw, value, size: Some(size), letter, thousands: false }, 2 + more))
}

/// `4K7`, `2M2`, `0R47`.
fn letter_between(tokens: &[Token]) -> Result<Option<(Amount, usize)>, Problem> {
    let [whole, letter, digits, rest @ ..] = tokens else { return Ok(None) };
    let (Some(number), Some(word), Some(decimals)) = (whole.number(), letter.word(), digits.number()) else {
        return Ok(None);
    };
    let glued = letter.glued && digits.glued && number.is_digits() && decimals.is_digits();
    let Some(size) = point_letter(word).filter(|_| glued) else { return Ok(None) };
    if let [slash, below, ..] = rest
        && slash.is('/')
        && below.number().is_some_and(|b| decimals.value < b.value && b.is_digits() && b.raw.len() <= 2)
    {
        let watts = format!("{}/{}W", decimals.raw, below.text());
        let one = format!("{}{word} {watts}", number.raw);
        return Err(Problem::ambiguous(one, format!("{}{word}{} {}W", number.raw, decimals.raw, below.text())));
    }
    let raw = format!("{}.{}", number.raw, decimals.raw);
    let Ok(value) = raw.parse() else { return Ok(None) };
    let (tolerance, more) = after_point(rest);
    Ok(Some((Amount { raw, value, size: Some(size), letter: tolerance, thousands: false }, 3 + more)))
}

/// A tolerance letter, `Ω` or `ohm` glued to a value with a letter at its point.
fn after_point(rest: &[Token]) -> (Option<char>, usize) {
    let Some(word) = rest.first().filter(|t| t.glued).and_then(Token::word) else { return (None, 0) };
    let mut letters = word.chars();
    match (letters.next(), letters.next()) {
        (Some('Ω'), None) => (None, 1),
        (Some(letter), None) if resistor_letter(letter).is_some() => (Some(letter.to_ascii_uppercase()), 1),
        _ if word.eq_ignore_ascii_case("ohm") || word.eq_ignore_ascii_case("ohms") => (None, 1),
        _ => (None, 0),
    }
}
