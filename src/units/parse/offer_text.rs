//! A part described in one line, as offered: `22uF 450V 105C axial 160mA@120 2000h 18x36`.

use super::bounds::{CURRENT, FREQUENCY, LENGTH, LIFE, OFFER, TEMPERATURE};
use super::capacitance::Bare;
use super::capacitor_mark::{ClassMark, Collected};
use super::error::{Problem, QuantityError};
use super::items::{Item, Part, Spot, items};
use super::resistor_mark::{leading_colours, mark_of};
use super::tolerance::Tolerance;
use crate::units::{Ampere, Celsius, Farad, Hertz, Hour, Millimetre, Ohm, Volt, Watt};

/// What kind of part is described.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OfferKind {
    /// Values are capacitances.
    Capacitor,
    /// Values are resistances.
    Resistor,
}

/// A part as described in one line; what is not written is `None`.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct OfferText {
    /// Capacitances: one, or one per section of a can. Empty for a resistor.
    pub farads: Vec<Farad>,
    /// Resistance of a resistor.
    pub ohm: Option<Ohm>,
    /// DC working voltage; the limiting voltage of a resistor.
    pub volts: Option<Volt>,
    /// DC working voltage per section of a can, in the order of `farads`.
    pub section_volts: Vec<Option<Volt>>,
    /// Alternating voltage, rms.
    pub vac: Option<Volt>,
    /// Safety classes.
    pub classes: Vec<ClassMark>,
    /// Power rating.
    pub watts: Option<Watt>,
    /// Tolerance.
    pub tolerance: Option<Tolerance>,
    /// Highest temperature.
    pub temp: Option<Celsius>,
    /// Rated ripple current, rms.
    pub ripple: Option<Ampere>,
    /// The frequency of the ripple rating.
    pub ripple_hz: Option<Hertz>,
    /// Rated life.
    pub life: Option<Hour>,
    /// Lead style: `axial`, `radial`, `snap-in`, `can`, `stud`.
    pub style: Option<&'static str>,
    /// Diameter of the body.
    pub diameter: Option<Millimetre>,
    /// Length of the body.
    pub length: Option<Millimetre>,
    /// Words not understood.
    pub rest: String,
}

/// Reads the description of a part: value first, then voltage, class, watts, temperature,
/// ripple at a frequency, hours, style, size and tolerance in any order.
///
/// # Errors
/// No value, a bare value that `bare` does not allow, two of the same, two readings, or
/// something beyond all reason.
pub fn offer_text(text: &str, kind: OfferKind, bare: Bare) -> Result<OfferText, QuantityError> {
    let found = match kind {
        OfferKind::Capacitor => capacitor(text, bare),
        OfferKind::Resistor => resistor(text),
    };
    found.map_err(|problem| OFFER.error(text, problem))
}

/// An offered capacitor.
fn capacitor(text: &str, bare: Bare) -> Result<OfferText, Problem> {
    let all = Collected::of(items(text, Part::Capacitor)?)?;
    let mark = all.mark(bare)?;
    let mut offer = OfferText {
        farads: mark.sections,
        section_volts: mark.section_volts,
        volts: mark.volts,
        vac: mark.vac,
        classes: mark.classes,
        tolerance: mark.tolerance,
        ..OfferText::default()
    };
    offer.add(&all.others)?;
    Ok(offer)
}

/// An offered resistor.
fn resistor(text: &str) -> Result<OfferText, Problem> {
    let (value, after) = match leading_colours(text)? {
        Some((bands, after)) => (Some(bands), after),
        None => (None, text),
    };
    let spots = if after.is_empty() { Vec::new() } else { items(after, Part::Resistor)? };
    let (mark, others) = mark_of(spots, value)?;
    let mut offer = OfferText {
        ohm: Some(mark.ohm),
        watts: mark.watts,
        tolerance: mark.tolerance,
        volts: mark.volts,
        ..OfferText::default()
    };
    offer.add(&others)?;
    Ok(offer)
}

impl OfferText {
    /// Takes in what is neither value nor voltage.
    fn add(&mut self, others: &[Spot]) -> Result<(), Problem> {
        let mut rest: Vec<String> = Vec::new();
        for spot in others {
            let twice = match &spot.item {
                // `2000h@105C` says the temperature again.
                Item::Celsius(temp) if self.temp == Some(*temp) => None,
                Item::Celsius(temp) => {
                    self.temp.replace(Celsius::new(TEMPERATURE.check(temp.get())?)).map(|_| "temperature")
                }
                Item::Ampere(ripple) => {
                    self.ripple.replace(Ampere::new(CURRENT.check(ripple.get())?)).map(|_| "ripple current")
                }
                Item::Hertz(hz) => self.ripple_hz.replace(Hertz::new(FREQUENCY.check(hz.get())?)).map(|_| "frequency"),
                Item::Hour(life) => self.life.replace(Hour::new(LIFE.check(life.get())?)).map(|_| "life"),
                Item::Size(diameter, length) => {
                    self.length = Some(Millimetre::new(LENGTH.check(length.get())?));
                    self.diameter.replace(Millimetre::new(LENGTH.check(diameter.get())?)).map(|_| "size")
                }
                other => {
                    let style = if let Item::Word(word) = other { style(word) } else { None };
                    if style.is_none() {
                        rest.push(spot.text.clone());
                    }
                    style.and_then(|style| self.style.replace(style)).map(|_| "lead style")
                }
            };
            if let Some(what) = twice {
                return Err(Problem::Twice { what });
            }
        }
        self.rest = rest.join(" ");
        Ok(())
    }
}

/// The lead style that a word is.
fn style(word: &str) -> Option<&'static str> {
    match word.to_lowercase().as_str() {
        "axial" => Some("axial"),
        "radial" => Some("radial"),
        "snapin" => Some("snap-in"),
        "can" => Some("can"),
        "stud" => Some("stud"),
        _ => None,
    }
}
