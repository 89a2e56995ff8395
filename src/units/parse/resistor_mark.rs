//! What is marked on a resistor: value, watts, tolerance, limiting voltage.

use super::bounds::{POWER, RESISTANCE, VOLTAGE};
use super::codes::resistor_letter;
use super::error::{Problem, QuantityError};
use super::items::{Item, Part, Spot, items};
use super::resistance::{MarkedOhm, colours, ohm};
use super::tolerance::Tolerance;
use super::voltage::VoltKind;
use crate::units::{Ohm, Volt, Watt};

/// The mark of a resistor.
#[derive(Debug, Clone, PartialEq)]
pub struct ResistorMark {
    /// The nominal value.
    pub ohm: Ohm,
    /// The power rating, when marked.
    pub watts: Option<Watt>,
    /// The tolerance, when marked.
    pub tolerance: Option<Tolerance>,
    /// The limiting voltage, when marked.
    pub volts: Option<Volt>,
    /// What was not understood, words only (`WW`).
    pub rest: String,
}

/// Reads the mark of a resistor: `220K 1/2W 10%`, `470 ohms 5W WW`, `4k7 1W`, `100K ½W`,
/// `yel-vio-org-sil`, `yel-vio-org-sil 1W`.
///
/// # Errors
/// No value, two values, two readings, or a value, power or voltage beyond all reason.
pub fn resistor_mark(text: &str) -> Result<ResistorMark, QuantityError> {
    read(text).map_err(|problem| RESISTANCE.error(text, problem))
}

/// [`resistor_mark`] without the text in the error.
fn read(text: &str) -> Result<ResistorMark, Problem> {
    // Colours come first, before any watts: the first blank after which no colour word stands.
    let mut spots = Vec::new();
    let mut value = None;
    if let Some((bands, after)) = leading_colours(text)? {
        value = Some(bands);
        if !after.is_empty() {
            spots = items(after, Part::Resistor)?;
        }
    } else {
        spots = items(text, Part::Resistor)?;
    }
    let (mut mark, others) = mark_of(spots, value)?;
    let words: Vec<&str> = others.iter().map(|spot| spot.text.as_str()).collect();
    mark.rest = words.join(" ");
    Ok(mark)
}

/// Colour words at the start of the text and what follows them.
pub(super) fn leading_colours(text: &str) -> Result<Option<(MarkedOhm, &str)>, Problem> {
    let text = text.trim();
    let ends = text.char_indices().filter(|(_, c)| c.is_whitespace()).map(|(at, _)| at);
    // The longest run of colour words wins, so that the tolerance band is not left over.
    let mut found = None;
    for end in ends.take(8).chain([text.len()]) {
        let (head, tail) = text.split_at_checked(end).unwrap_or((text, ""));
        match colours(head) {
            Ok(Some(bands)) => found = Some((bands, tail.trim())),
            Err(problem) if end == text.len() && found.is_none() => return Err(problem),
            _ => {}
        }
    }
    Ok(found)
}

/// The mark of the items, and those that belong to nothing on a resistor.
pub(super) fn mark_of(spots: Vec<Spot>, colours: Option<MarkedOhm>) -> Result<(ResistorMark, Vec<Spot>), Problem> {
    let mut value = colours.map(|bands| bands.ohm);
    let mut tolerance = colours.and_then(|bands| bands.tolerance);
    let (mut watts, mut volts, mut others) = (None, None, Vec::new());
    for spot in spots {
        let (twice, what) = match spot.item {
            Item::Amount(amount) => {
                tolerance = tolerance.or(amount.letter.and_then(resistor_letter));
                (value.replace(ohm(&amount)?).is_some(), "resistance")
            }
            // A percentage outranks a letter or a band only where there is none.
            Item::Tolerance(stated) => (tolerance.replace(stated).is_some(), "tolerance"),
            Item::Watt(power) => (watts.replace(Watt::new(POWER.check(power.get())?)).is_some(), "power"),
            Item::Volts(VoltKind::Surge, _) | Item::Sign('/' | ',' | ';' | '(' | ')' | '@') => (false, ""),
            Item::Volts(_, limit) => (volts.replace(Volt::new(VOLTAGE.check(limit.get())?)).is_some(), "voltage"),
            Item::Sign('-') if value.is_some() => (false, ""),
            Item::Sign(_) => return Err(Problem::LeftOver { text: spot.text }),
            _ => {
                others.push(spot);
                (false, "")
            }
        };
        if twice {
            return Err(Problem::Twice { what });
        }
    }
    let ohm = value.ok_or(Problem::NoNumber)?;
    Ok((ResistorMark { ohm, watts, tolerance, volts, rest: String::new() }, others))
}
