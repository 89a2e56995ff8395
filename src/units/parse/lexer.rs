//! A text as numbers, words and signs, with the many ways to type the same sign made one.

use super::error::Problem;

/// A number as written.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Number {
    /// Its value.
    pub(super) value: f64,
    /// Its characters.
    pub(super) raw: String,
}

/// One piece of a text.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Lexeme {
    /// `20`, `.02`, `2,2`, `1½`.
    Number(Number),
    /// Letters only; micro is `u` here.
    Word(String),
    /// Any other character.
    Sign(char),
}

/// A piece of a text and whether it follows the one before without a blank.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Token {
    /// The piece.
    pub(super) lexeme: Lexeme,
    /// No blank before it (false for the first).
    pub(super) glued: bool,
}

impl Number {
    /// Whether it is written with digits only.
    pub(super) fn is_digits(&self) -> bool {
        self.raw.bytes().all(|b| b.is_ascii_digit())
    }

    /// Whether it is written with a fraction sign such as `½`.
    pub(super) fn has_fraction_sign(&self) -> bool {
        self.raw.chars().any(|c| fraction(c).is_some())
    }
}

impl Token {
    /// The number here.
    pub(super) fn number(&self) -> Option<&Number> {
        if let Lexeme::Number(number) = &self.lexeme { Some(number) } else { None }
    }

    /// The word here.
    pub(super) fn word(&self) -> Option<&str> {
        if let Lexeme::Word(word) = &self.lexeme { Some(word) } else { None }
    }

    /// Whether this is the sign.
    pub(super) fn is(&self, sign: char) -> bool {
        self.lexeme == Lexeme::Sign(sign)
    }

    /// The piece as text.
    pub(super) fn text(&self) -> String {
        match &self.lexeme {
            Lexeme::Number(number) => number.raw.clone(),
            Lexeme::Word(word) => word.clone(),
            Lexeme::Sign(sign) => sign.to_string(),
        }
    }
}

/// The text of several pieces, blanks where they were.
pub(super) fn join(tokens: &[Token]) -> String {
    let mut text = String::new();
    for token in tokens {
        if !token.glued && !text.is_empty() {
            text.push(' ');
        }
        text.push_str(&token.text());
    }
    text
}

/// Splits a text into its pieces.
pub(super) fn lex(text: &str) -> Result<Vec<Token>, Problem> {
    let chars = normal(text);
    let mut tokens = Vec::new();
    let mut at = 0;
    let mut glued = false;
    while let Some(&c) = chars.get(at) {
        let rest = chars.get(at..).unwrap_or_default();
        if c == ' ' {
            at += 1;
            glued = false;
            continue;
        }
        let (lexeme, length) = if let Some(found) = scan_number(rest, tokens.is_empty())? {
            found
        } else if is_letter(c) {
            let word: String = rest.iter().take_while(|c| is_letter(**c)).collect();
            let length = word.chars().count();
            (Lexeme::Word(word), length)
        } else {
            (Lexeme::Sign(c), 1)
        };
        tokens.push(Token { lexeme, glued });
        at += length;
        glued = true;
    }
    if tokens.is_empty() { Err(Problem::Empty) } else { Ok(join_snap_in(tokens)) }
}

/// Makes `snap-in` and `snap in` one word.
fn join_snap_in(tokens: Vec<Token>) -> Vec<Token> {
    let mut out: Vec<Token> = Vec::with_capacity(tokens.len());
    for token in tokens {
        let is_in = token.word().is_some_and(|w| w.eq_ignore_ascii_case("in"));
        let is_snap = |t: &Token| t.word().is_some_and(|w| w.eq_ignore_ascii_case("snap"));
        let back = match out.as_slice() {
            [.., snap] if is_in && is_snap(snap) => 1,
            [.., snap, dash] if is_in && dash.is('-') && is_snap(snap) => 2,
            _ => 0,
        };
        if back == 0 {
            out.push(token);
            continue;
        }
        out.truncate(out.len() - back + 1);
        if let Some(last) = out.last_mut() {
            last.lexeme = Lexeme::Word("snapin".to_owned());
        }
    }
    out
}

/// Whether a character belongs to a word.
fn is_letter(c: char) -> bool {
    c.is_alphabetic() || c == '°'
}

/// The value of a fraction sign.
fn fraction(c: char) -> Option<f64> {
    match c {
        '½' => Some(0.5),
        '¼' => Some(0.25),
        '¾' => Some(0.75),
        '⅛' => Some(0.125),
        '⅓' => Some(1.0 / 3.0),
        _ => None,
    }
}

/// One sign for each meaning, and no point after an abbreviation (`W.V.` is `WV`).
fn normal(text: &str) -> Vec<char> {
    let mut out: Vec<char> = Vec::with_capacity(text.len());
    let mut chars = text.trim().chars().peekable();
    while let Some(c) = chars.next() {
        match c {
            '\u{200B}' | '\u{FEFF}' | '\u{00AD}' => {}
            'µ' | 'μ' => out.push('u'),
            '\u{2126}' | 'ω' => out.push('Ω'),
            '−' | '–' | '—' | '‐' | '‑' => out.push('-'),
            '×' => out.push('x'),
            '±' => out.extend(['+', '-']),
            '″' | '”' | '“' => out.push('"'),
            '℃' => out.extend(['°', 'C']),
            '.' if out.last().is_some_and(|c| c.is_alphabetic())
                && !chars.peek().is_some_and(|next| next.is_ascii_digit() || *next == '.') => {}
            c if c.is_whitespace() => out.push(' '),
            c => out.push(c),
        }
    }
    out
}

/// The number at the start of `rest`, with how many characters it takes. A comma may begin a
/// number only where the text begins, since elsewhere it parts two things.
fn scan_number(rest: &[char], first: bool) -> Result<Option<(Lexeme, usize)>, Problem> {
    let digits_from = |from: usize| rest.iter().skip(from).take_while(|c| c.is_ascii_digit()).count();
    let is_point = |at: usize| match rest.get(at) {
        Some('.') => true,
        Some(',') => at > 0 || first,
        _ => false,
    };
    let whole = digits_from(0);
    let mut length = whole;
    if is_point(whole) && digits_from(whole + 1) > 0 {
        length = whole + 1 + digits_from(whole + 1);
    }
    let raw: String = rest.iter().take(length).collect();
    let extra = rest.get(length).copied().and_then(fraction).filter(|_| length == whole);
    if length == 0 && extra.is_none() {
        return Ok(None);
    }
    // A second mark, or a comma before exactly three digits, may part thousands.
    let second_mark = length > whole && is_point(length) && digits_from(length + 1) > 0;
    let like_thousands =
        rest.get(whole) == Some(&',') && length == whole + 4 && (1..=3).contains(&whole) && rest.first() != Some(&'0');
    if second_mark || like_thousands {
        let text = rest.iter().take_while(|c| c.is_ascii_digit() || **c == '.' || **c == ',').collect();
        return Err(Problem::Thousands { text });
    }
    let mut value = if length == 0 { 0.0 } else { decimal(&raw)? };
    let mut raw = raw;
    if let (Some(part), Some(sign)) = (extra, rest.get(length)) {
        value += part;
        raw.push(*sign);
        length += 1;
    } else if length == whole
        && rest.get(length) == Some(&'.')
        && rest.get(length + 1).is_none_or(|c| *c == ' ' || c.is_alphabetic())
    {
        // A point that ends a number without decimals (`20. MFD`) says nothing.
        length += 1;
    }
    Ok(Some((Lexeme::Number(Number { value, raw }), length)))
}

/// The value of digits with at most one decimal mark.
fn decimal(raw: &str) -> Result<f64, Problem> {
    raw.replace(',', ".").parse::<f64>().ok().filter(|v| v.is_finite()).ok_or(Problem::NoNumber)
}
