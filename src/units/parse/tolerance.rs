//! Tolerances: `10`, `10%`, `±20 %`, `-20/+80`, `K`.

use std::fmt;

use super::bounds::TOLERANCE;
use super::codes;
use super::error::{Problem, QuantityError};
use super::lexer::{Token, join, lex};

/// How far a value may be from its mark, each way, in percent of the mark (not negative).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tolerance {
    /// How far below, percent.
    pub minus_percent: f64,
    /// How far above, percent.
    pub plus_percent: f64,
}

impl Tolerance {
    /// The same both ways, percent.
    pub const fn symmetric(percent: f64) -> Self {
        Self { minus_percent: percent, plus_percent: percent }
    }
}

impl fmt::Display for Tolerance {
    /// `±10 %` or `-20/+80 %`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let percent = |value: f64| crate::units::print::significant(value, 3);
        let (minus, plus) = (percent(self.minus_percent), percent(self.plus_percent));
        if minus == plus {
            return f.pad(&format!("±{plus} %"));
        }
        f.pad(&format!("-{minus}/+{plus} %"))
    }
}

/// Reads the tolerance of a column: `10`, `10%`, `±20`, `+-20 %`, `-20/+80`, `+80-20%`, or a
/// letter (`F` 1, `G` 2, `H` 3, `J` 5, `K` 10, `M` 20 percent, `P` -0/+100, `Z` -20/+80).
///
/// # Errors
/// When the text is none of these or beyond 200 %. The letters `B`, `C` and `D` are refused:
/// on capacitors they are in pF and need the value.
pub fn tolerance(text: &str) -> Result<Tolerance, QuantityError> {
    read(text).map_err(|problem| TOLERANCE.error(text, problem))
}

/// [`tolerance`] without the text in the error.
fn read(text: &str) -> Result<Tolerance, Problem> {
    let tokens = lex(text)?;
    if let [token] = tokens.as_slice()
        && let Some(word) = token.word()
    {
        let mut letters = word.chars();
        return match (letters.next().map(|c| c.to_ascii_uppercase()), letters.next()) {
            (Some(letter @ ('F' | 'G' | 'H' | 'J' | 'K' | 'M' | 'P' | 'Z')), None) => {
                codes::capacitor_letter(letter, crate::units::Farad::ZERO).ok_or(Problem::NoNumber)
            }
            (Some(letter @ ('C' | 'D')), None) => Err(Problem::ambiguous(
                format!("'{letter}' in pF on a capacitor"),
                format!("'{letter}' in percent on a resistor"),
            )),
            _ => Err(Problem::NoNumber),
        };
    }
    let (tolerance, used) = at(&tokens, Percent::Optional).ok_or(Problem::NoNumber)?;
    match tokens.get(used..) {
        None | Some([]) => {}
        Some(rest) => return Err(Problem::LeftOver { text: join(rest) }),
    }
    TOLERANCE.check(tolerance.minus_percent)?;
    TOLERANCE.check(tolerance.plus_percent)?;
    Ok(tolerance)
}

/// Whether a percent sign is needed to know a tolerance.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Percent {
    /// Free text: a number alone is not a tolerance.
    Needed,
    /// A column of tolerances.
    Optional,
}

/// The tolerance at the start of the tokens, with how many it takes.
pub(super) fn at(tokens: &[Token], percent: Percent) -> Option<(Tolerance, usize)> {
    let is = |at: usize, sign: char| tokens.get(at).is_some_and(|t| t.is(sign));
    let value = |at: usize| tokens.get(at).and_then(Token::number).map(|n| n.value);
    // `+-20`, `-+20` and `+/-20` mean both ways, whether or not a percent sign follows.
    let both = if is(0, '+') && is(1, '/') && is(2, '-') {
        3
    } else if (is(0, '+') && is(1, '-')) || (is(0, '-') && is(1, '+')) {
        2
    } else {
        0
    };
    if both > 0 {
        return Some((Tolerance::symmetric(value(both)?), both + 1 + usize::from(is(both + 1, '%'))));
    }
    if is(0, '-') || is(0, '+') {
        return two_ways(tokens, percent);
    }
    let symmetric = Tolerance::symmetric(value(0)?);
    match percent {
        _ if is(1, '%') => Some((symmetric, 2)),
        Percent::Optional => Some((symmetric, 1)),
        Percent::Needed => None,
    }
}

/// `-20/+80`, `-20+80%`, `+80 -20 %`, `+100/-0`.
fn two_ways(tokens: &[Token], percent: Percent) -> Option<(Tolerance, usize)> {
    let is = |at: usize, sign: char| tokens.get(at).is_some_and(|t| t.is(sign));
    let value = |at: usize| tokens.get(at).and_then(Token::number).map(|n| n.value);
    let first = value(1)?;
    let mut next = 2 + usize::from(is(2, '%'));
    let slash = is(next, '/');
    next += usize::from(slash);
    let opposite = if is(0, '-') { '+' } else { '-' };
    if !is(next, opposite) {
        return None;
    }
    let second = value(next + 1)?;
    next += 2;
    let ends = is(next, '%');
    // `40+20-20` in free text is three sections and no tolerance.
    if !ends && percent == Percent::Needed && !(slash && is(0, '-')) {
        return None;
    }
    let (minus_percent, plus_percent) = if is(0, '-') { (first, second) } else { (second, first) };
    Some((Tolerance { minus_percent, plus_percent }, next + usize::from(ends)))
}
