//! Splitting a designation into words and into numbers with their units.

/// Units that may stand apart from their number.
const UNITS: [&str; 12] = ["v", "volt", "volts", "a", "amp", "amps", "ma", "w", "watt", "mm", "in", "inch"];

/// One piece of a designation.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Piece {
    /// A number and the letters that follow it, in lower case (empty where none follow).
    Number(f64, String),
    /// Letters, in lower case.
    Word(String),
}

/// The pieces in order; blanks between a number and its unit do not count, other signs part words.
pub(crate) fn pieces(text: &str) -> Vec<Piece> {
    let mut pieces = Vec::new();
    let mut rest = text.trim();
    while let Some(first) = rest.chars().next() {
        let digit = |c: char| c.is_ascii_digit() || c == '.';
        let letter = |c: char| c.is_alphabetic() || c == '-';
        if digit(first) {
            let (number, after) = split(rest, digit);
            let (unit, after) = unit(after);
            rest = after;
            match number.parse() {
                Ok(value) => pieces.push(Piece::Number(value, unit.to_lowercase())),
                Err(_not_a_number) => pieces.push(Piece::Word(format!("{number}{unit}").to_lowercase())),
            }
        } else if first.is_alphabetic() {
            let (word, after) = split(rest, letter);
            rest = after;
            pieces.push(Piece::Word(word.trim_matches('-').to_lowercase()));
        } else {
            rest = rest.get(first.len_utf8()..).unwrap_or_default();
        }
    }
    pieces
}

/// The letters right behind a number, or a unit behind a blank, and what follows.
fn unit(text: &str) -> (&str, &str) {
    let (blank, after) = split(text, char::is_whitespace);
    let (letters, rest) = split(after, char::is_alphabetic);
    let known = UNITS.contains(&letters.to_lowercase().as_str());
    if blank.is_empty() || known { (letters, rest) } else { ("", text) }
}

/// The longest start whose characters all satisfy `is`, and what follows.
fn split(text: &str, is: impl Fn(char) -> bool) -> (&str, &str) {
    let end = text.find(|c| !is(c)).unwrap_or(text.len());
    text.split_at_checked(end).unwrap_or((text, ""))
}
