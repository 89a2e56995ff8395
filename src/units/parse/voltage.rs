//! Voltages: rated, alternating, of a winding, with the words that say which.

use super::bounds::VOLTAGE;
use super::error::{Problem, QuantityError};
use super::lexer::{Token, join, lex};
use super::single::{scaled, sign};
use crate::units::Volt;

/// The voltages that a rating states.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Rating {
    /// Working voltage, DC.
    pub dc: Option<Volt>,
    /// Alternating voltage, rms.
    pub ac: Option<Volt>,
    /// Surge or peak voltage; never a working one.
    pub surge: Option<Volt>,
}

/// Which voltage a word after the number says it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum VoltKind {
    /// `V`, `WV`, `VDC`, working.
    Working,
    /// `VAC`, `~`.
    Alternating,
    /// `PV`, `surge`, `peak`.
    Surge,
}

const WORKING: [&str; 18] = [
    "dc", "v", "kv", "mv", "uv", "vw", "wv", "vdc", "vdcw", "wvdc", "vwdc", "dcw", "dcwv", "dcv", "volt", "volts",
    "vwkg", "wkg",
];
const WORKING_AFTER: [&str; 7] = ["working", "wkg", "wv", "dc", "dcw", "vw", "max"];
const ALTERNATING: [&str; 6] = ["vac", "ac", "vacw", "acv", "acw", "vrms"];
const SURGE: [&str; 8] = ["pv", "surge", "peak", "pk", "vpk", "vp", "sv", "vsurge"];

/// Whether a word begins the unit of a voltage.
fn kind_of(word: &str) -> Option<VoltKind> {
    let lower = word.to_lowercase();
    let has = |list: &[&str]| list.contains(&lower.as_str());
    match () {
        () if has(&WORKING) => Some(VoltKind::Working),
        () if has(&ALTERNATING) => Some(VoltKind::Alternating),
        () if has(&SURGE) => Some(VoltKind::Surge),
        () => None,
    }
}

/// The unit words of a voltage at the start of the tokens: their kind, the size of the unit and
/// how many tokens.
pub(super) fn unit_at(tokens: &[Token]) -> Option<(VoltKind, f64, usize)> {
    let mut used = 0;
    let mut kind = None;
    let mut size = 1.0;
    while let Some(token) = tokens.get(used) {
        if token.is('~') {
            kind = Some(VoltKind::Alternating);
            used += 1;
            continue;
        }
        let Some(word) = token.word() else { break };
        let lower = word.to_lowercase();
        let next = kind_of(word);
        match (kind, next) {
            (None, Some(first)) => {
                kind = Some(first);
                size = match lower.as_str() {
                    "kv" => 1e3,
                    "mv" => -1e3,
                    "uv" => -1e6,
                    _ => 1.0,
                };
            }
            (Some(VoltKind::Working), Some(more @ (VoltKind::Alternating | VoltKind::Surge))) => kind = Some(more),
            (Some(_), Some(VoltKind::Surge)) => kind = Some(VoltKind::Surge),
            (Some(VoltKind::Working), _) if WORKING_AFTER.contains(&lower.as_str()) => {}
            (Some(VoltKind::Alternating), _) if matches!(lower.as_str(), "ac" | "rms" | "vac" | "working") => {}
            (Some(VoltKind::Surge), _) if matches!(lower.as_str(), "v" | "volts" | "dc") => {}
            (Some(_), _) if lower == "rms" => kind = Some(VoltKind::Alternating),
            _ => break,
        }
        used += 1;
    }
    kind.map(|kind| (kind, size, used))
}

/// Reads a DC voltage in V: `450`, `450 WV`, `-46`, `1.5mV`, `HT 285`, `B+ 285`, and a winding
/// `350-0-350` as its half. With `450/525 surge` the working figure is taken.
///
/// # Errors
/// No number, an unknown unit, an AC voltage, only a surge voltage, or beyond 100 kV.
pub fn volt(text: &str) -> Result<Volt, QuantityError> {
    read_dc(text).map_err(|problem| VOLTAGE.error(text, problem))
}

/// Reads an alternating voltage in V rms: `250`, `250~`, `275 VAC`, `AC 250V`, `250 V`.
///
/// # Errors
/// No number, an unknown unit, or only a surge voltage.
pub fn volt_ac(text: &str) -> Result<Volt, QuantityError> {
    let rating = rating(text)?;
    rating.ac.or(rating.dc).ok_or_else(|| VOLTAGE.error(text, Problem::OnlySurge))
}

/// Reads the voltages of a rating: `450 VW`, `250~`, `500 PV`, `450/525 surge`, `630VDC/250VAC`.
///
/// # Errors
/// No number, an unknown unit, or two voltages of the same kind.
pub fn rating(text: &str) -> Result<Rating, QuantityError> {
    read_rating(text).map_err(|problem| VOLTAGE.error(text, problem))
}

/// [`volt`] without the text in the error.
fn read_dc(text: &str) -> Result<Volt, Problem> {
    let tokens = lex(text)?;
    let tokens = without_label(&tokens);
    if let Some(half) = centre_tapped(tokens) {
        return VOLTAGE.check(half).map(Volt::new);
    }
    let rating = read_rating_of(tokens)?;
    match (rating.dc, rating.ac) {
        (Some(dc), _) => Ok(dc),
        (None, Some(_)) => Err(Problem::AlternatingVoltage),
        (None, None) => Err(Problem::OnlySurge),
    }
}

/// Takes off the name of a node before its voltage: `HT 285`, `HT1 410`, `B+ 285`, `B+2 285V`.
fn without_label(tokens: &[Token]) -> &[Token] {
    let word = |at: usize| tokens.get(at).and_then(Token::word).unwrap_or_default();
    let mut used = match () {
        () if word(0).eq_ignore_ascii_case("ht") => 1,
        () if word(0).eq_ignore_ascii_case("b") && tokens.get(1).is_some_and(|t| t.is('+') && t.glued) => 2,
        () => return tokens,
    };
    if tokens.get(used).is_some_and(|t| t.glued && t.number().is_some()) {
        used += 1;
    }
    match tokens.get(used..) {
        Some(rest @ [first, ..]) if !first.glued => rest,
        _ => tokens,
    }
}

/// One half of `350-0-350`.
fn centre_tapped(tokens: &[Token]) -> Option<f64> {
    let [a, d1, zero, d2, b, rest @ ..] = tokens else { return None };
    let (a, b, zero) = (a.number()?, b.number()?, zero.number()?);
    let unit = match unit_at(rest) {
        Some((VoltKind::Working | VoltKind::Alternating, _, used)) => used == rest.len(),
        _ => rest.is_empty(),
    };
    let same = (a.value - b.value).abs() < 1e-9;
    (unit && same && zero.raw == "0" && d1.is('-') && d2.is('-')).then_some(a.value)
}

/// [`rating`] without the text in the error.
fn read_rating(text: &str) -> Result<Rating, Problem> {
    read_rating_of(&lex(text)?)
}

/// Voltages parted by `/`, `,` or a blank.
fn read_rating_of(mut tokens: &[Token]) -> Result<Rating, Problem> {
    let mut rating = Rating::default();
    // `AC 250V`: the kind stands first.
    let mut ahead = None;
    if let [first, rest @ ..] = tokens
        && let Some(kind @ (VoltKind::Alternating | VoltKind::Surge)) = first.word().and_then(kind_of)
    {
        ahead = Some(kind);
        tokens = rest;
    }
    loop {
        let (sign, unsigned) = sign(tokens);
        let [number, rest @ ..] = unsigned else { return Err(Problem::NoNumber) };
        let value = sign * number.number().ok_or(Problem::NoNumber)?.value;
        let (kind, size, used) = unit_at(rest).unwrap_or((VoltKind::Working, 1.0, 0));
        let kind = ahead.take().unwrap_or(kind);
        let volts = Volt::new(VOLTAGE.check(scaled(value, size))?);
        let place = match kind {
            VoltKind::Working => &mut rating.dc,
            VoltKind::Alternating => &mut rating.ac,
            VoltKind::Surge => &mut rating.surge,
        };
        if place.replace(volts).is_some() {
            return Err(Problem::Twice { what: "voltage" });
        }
        tokens = match rest.get(used..).unwrap_or_default() {
            [] => return Ok(rating),
            [sign, more @ ..] if sign.is('/') || sign.is(',') => more,
            more @ [next, ..] if used > 0 && next.number().is_some() => more,
            [next, ..] if used == 0 && next.word().is_some() => {
                return Err(Problem::UnknownUnit { unit: join(rest) });
            }
            more => return Err(Problem::LeftOver { text: join(more) }),
        };
    }
}
