//! Capacitances: units old and new, letters for the point, three-digit codes, bare numbers.
//!
//! A bare number below 1 is µF. A bare number of 1 or more is refused unless the sheet states
//! its unit. Three digits that can hardly be anything but a code (`473`, see
//! [`codes`]) are read as that code, and refused where the sheet's stated unit would give a
//! second reading. `2k2` is read only on a sheet in pF.

use super::bounds::CAPACITANCE;
use super::codes;
use super::error::{Problem, QuantityError};
use super::items::{Amount, Item, Part, items};
use super::lexer::{Number, Token};
use super::sections;
use super::single::scaled;
use super::tolerance::Tolerance;
use crate::units::Farad;

/// The unit of a bare capacitor value of 1 or more, as the sheet states it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Bare {
    /// Nothing is stated: such a value is refused.
    #[default]
    Refuse,
    /// µF.
    Microfarad,
    /// pF.
    Picofarad,
}

/// A capacitance with the tolerance written at it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MarkedFarad {
    /// The nominal value.
    pub farad: Farad,
    /// The tolerance, when a letter or a percentage stands there.
    pub tolerance: Option<Tolerance>,
}

/// How many microfarads, nanofarads or picofarads a unit is: its size, negative for a divisor.
const UNITS: [(&str, f64); 30] = [
    ("uf", -1e6),
    ("u", -1e6),
    ("ufd", -1e6),
    ("mf", -1e6),
    ("mfd", -1e6),
    ("mfds", -1e6),
    ("mcf", -1e6),
    ("microfarad", -1e6),
    ("microfarads", -1e6),
    ("nf", -1e9),
    ("n", -1e9),
    ("nfd", -1e9),
    ("kpf", -1e9),
    ("nanofarad", -1e9),
    ("nanofarads", -1e9),
    ("pf", -1e12),
    ("p", -1e12),
    ("pfd", -1e12),
    ("mmf", -1e12),
    ("mmfd", -1e12),
    ("mmfds", -1e12),
    ("uuf", -1e12),
    ("uufd", -1e12),
    ("uu", -1e12),
    ("mumuf", -1e12),
    ("picofarad", -1e12),
    ("picofarads", -1e12),
    ("f", 1.0),
    ("farad", 1.0),
    ("farads", 1.0),
];

/// Reads one capacitance: `22uF`, `20 MFD`, `.02`, `4n7`, `u47`, `100 MMFD`, `473K`, `2k2`.
/// A tolerance letter or percentage may follow.
///
/// # Errors
/// No number, an unknown unit, a bare value that `bare` does not allow, two readings, more than
/// one value, or outside 0.1 pF to 1 F.
pub fn capacitance(text: &str, bare: Bare) -> Result<MarkedFarad, QuantityError> {
    read(text, bare).map_err(|problem| CAPACITANCE.error(text, problem))
}

/// Reads a range `18uF..33uF` or `18..33uF`; a single value is a range of itself.
///
/// # Errors
/// As [`capacitance`], and when the larger value stands first.
pub fn capacitance_range(text: &str, bare: Bare) -> Result<(Farad, Farad), QuantityError> {
    let Some((low, high)) = text.split_once("..") else {
        return capacitance(text, bare).map(|value| (value.farad, value.farad));
    };
    let end = |text: &str| read(text, bare).map(|marked| marked.farad);
    let fail = |problem| CAPACITANCE.error(text, problem);
    let high = end(high.trim_start_matches('.')).map_err(fail)?;
    let from = end(low).or_else(|problem| {
        // `18..33uF`: the unit of the upper end is that of the lower.
        let unit = text.trim_end().trim_start_matches(|c: char| !c.is_alphabetic() && c != 'µ');
        match problem {
            Problem::Bare { .. } if !unit.is_empty() => end(&format!("{low}{unit}")),
            _ => Err(problem),
        }
    });
    let low = from.map_err(fail)?;
    if low <= high { Ok((low, high)) } else { Err(fail(Problem::RangeReversed)) }
}

/// [`capacitance`] without the text in the error.
fn read(text: &str, bare: Bare) -> Result<MarkedFarad, Problem> {
    let mut found: Option<Amount> = None;
    let mut tolerance = None;
    for spot in items(text, Part::Capacitor)? {
        match spot.item {
            Item::Amount(amount) => {
                if found.replace(amount).is_some() {
                    return Err(Problem::Twice { what: "capacitance" });
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
    let marked = sections::resolve(&amount, bare, false)?;
    Ok(MarkedFarad { farad: marked.farad, tolerance: tolerance.or(marked.tolerance) })
}

/// The size of a capacitor's unit and a tolerance letter after it (`nFK`).
fn unit(word: &str) -> Option<(f64, Option<char>)> {
    let lower = word.to_lowercase();
    let size = |name: &str| UNITS.iter().find(|(known, _)| *known == name).map(|(_, size)| *size);
    if let Some(found) = size(&lower) {
        return Some((found, None));
    }
    let letter = lower.chars().last().filter(|c| "cdfghjkmz".contains(*c))?;
    let found = size(lower.strip_suffix(letter)?)?;
    Some((found, Some(letter.to_ascii_uppercase())))
}

/// The value at the start of the tokens, with how many tokens it takes.
pub(super) fn amount_at(tokens: &[Token], boundary: bool) -> Option<(Amount, usize)> {
    if let Some(found) = letter_first(tokens, boundary).or_else(|| letter_between(tokens)) {
        return Some(found);
    }
    let number = tokens.first().and_then(Token::number)?;
    let bare = |letter| bare_amount(number, letter);
    let Some((word, glued)) = tokens.get(1).and_then(|t| t.word().map(|w| (w, t.glued))) else {
        return Some((bare(None), 1));
    };
    if let Some((size, letter)) = unit(word) {
        // `101F` is a code with a tolerance letter; a hundred farads are not.
        if glued && word.eq_ignore_ascii_case("f") && number.is_digits() && number.raw.len() == 3 {
            return Some((bare(Some('F')), 2));
        }
        let spaced = tokens.get(2).and_then(Token::word).filter(|_| letter.is_none()).and_then(tolerance_letter);
        let used = 2 + usize::from(spaced.is_some());
        let amount = Amount { size: Some(size), letter: letter.or(spaced), ..bare(None) };
        return Some((amount, used));
    }
    // A letter after a bare value below 1 or after a code is a tolerance.
    match tolerance_letter(word).filter(|_| glued) {
        Some(letter) => Some((bare(Some(letter)), 2)),
        None => Some((bare(None), 1)),
    }
}

/// A number without a unit.
fn bare_amount(number: &Number, letter: Option<char>) -> Amount {
    Amount { raw: number.raw.clone(), value: number.value, size: None, letter, thousands: false }
}

/// The single tolerance letter that a word is.
fn tolerance_letter(word: &str) -> Option<char> {
    let mut letters = word.chars();
    let letter = letters.next()?.to_ascii_uppercase();
    (letters.next().is_none() && "CDFGHJKMZ".contains(letter)).then_some(letter)
}

/// The size of a letter that stands at the point; `M` is micro on capacitors.
fn point_letter(word: &str) -> Option<f64> {
    match word {
        "p" | "P" => Some(-1e12),
        "n" | "N" => Some(-1e9),
        "u" | "U" | "m" | "M" => Some(-1e6),
        _ => None,
    }
}

/// `M47`, `u47`, `n47`.
fn letter_first(tokens: &[Token], boundary: bool) -> Option<(Amount, usize)> {
    let [letter, digits, rest @ ..] = tokens else { return None };
    let size = point_letter(letter.word()?).filter(|_| boundary)?;
    let number = digits.number().filter(|n| digits.glued && n.is_digits())?;
    let raw = format!("0.{}", number.raw);
    let value = raw.parse().ok()?;
    let (letter, more) = after_point(rest);
    Some((Amount { raw, value, size: Some(size), letter, thousands: false }, 2 + more))
}

/// `4n7`, `2p2`, `4u7`, and `2k2` of sheets in pF.
fn letter_between(tokens: &[Token]) -> Option<(Amount, usize)> {
    let [whole, letter, digits, rest @ ..] = tokens else { return None };
    let (whole, decimals) = (whole.number()?, digits.number()?);
    let glued = letter.glued && digits.glued && whole.is_digits() && decimals.is_digits();
    let word = letter.word().filter(|_| glued)?;
    let thousands = word.eq_ignore_ascii_case("k");
    let size = point_letter(word);
    if size.is_none() && !thousands {
        return None;
    }
    let value = format!("{}.{}", whole.raw, decimals.raw).parse().ok()?;
    let (tolerance, more) = after_point(rest);
    let raw = format!("{}{word}{}", whole.raw, decimals.raw);
    Some((Amount { raw, value, size, letter: tolerance, thousands }, 3 + more))
}

/// `F`, a tolerance letter, or both after a value with a letter at its point.
fn after_point(rest: &[Token]) -> (Option<char>, usize) {
    let Some(word) = rest.first().filter(|t| t.glued).and_then(Token::word) else { return (None, 0) };
    if word.eq_ignore_ascii_case("f") {
        return (None, 1);
    }
    match tolerance_letter(word.trim_start_matches(['f', 'F'])) {
        Some(letter) => (Some(letter), 1),
        None => (None, 0),
    }
}

/// The value in farads of a number in a unit of that size, within the bounds of reason.
pub(super) fn farad(value: f64, size: f64) -> Result<Farad, Problem> {
    CAPACITANCE.check(scaled(value, size)).map(Farad::new)
}

/// The value and tolerance of a three-digit code with or without a letter.
pub(super) fn code(raw: &str, letter: Option<char>) -> Option<MarkedFarad> {
    let farad = codes::three_digits(raw)?;
    let tolerance = match letter {
        Some(letter) => Some(codes::capacitor_letter(letter, farad)?),
        None => None,
    };
    Some(MarkedFarad { farad, tolerance })
}
