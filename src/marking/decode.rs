//! Every reading of a mark: what it can be as a capacitor, a resistor, a volt code or a date.

use std::fmt;

use super::date_code::{DateCodeError, date_code};
use super::possible_date::{PossibleDate, possible_dates};
use super::preferred::Series;
use crate::units::parse::{
    Bare, Problem, QuantityError, Tolerance, capacitance, capacitor_mark, codes, colours, resistance, resistor_mark,
};
use crate::units::print::farad_text;
use crate::units::{Farad, Ohm, Volt, Watt};

/// What a reading takes the mark for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DecodedKind {
    /// A capacitance with its unit or by the rule for bare values below 1.
    CapacitorValue,
    /// A three-digit capacitor code.
    CapacitorCode,
    /// A bare capacitor value, if the sheet is in µF.
    CapacitorIfMicrofarad,
    /// A bare capacitor value, if the sheet is in pF.
    CapacitorIfPicofarad,
    /// A resistance.
    ResistorValue,
    /// Colour bands of a resistor.
    ResistorColours,
    /// A volt code of digit and letter.
    VoltCode,
    /// A rated DC voltage.
    RatedVoltage,
    /// A rated AC voltage, rms.
    RatedAlternatingVoltage,
    /// A power rating.
    RatedPower,
    /// A source-date code.
    DateCode,
    /// A text that can be a day of making, among other things.
    PossibleDate,
}

impl DecodedKind {
    /// The kind in words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::CapacitorValue => "capacitor value",
            Self::CapacitorCode => "capacitor code",
            Self::CapacitorIfMicrofarad => "capacitor value, if bare values are in µF",
            Self::CapacitorIfPicofarad => "capacitor value, if bare values are in pF",
            Self::ResistorValue => "resistor value",
            Self::ResistorColours => "resistor colour bands",
            Self::VoltCode => "volt code",
            Self::RatedVoltage => "rated voltage",
            Self::RatedAlternatingVoltage => "rated AC voltage",
            Self::RatedPower => "rated power",
            Self::DateCode => "date code",
            Self::PossibleDate => "possible date",
        }
    }
}

impl fmt::Display for DecodedKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.words())
    }
}

/// The quantity of a reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum DecodedValue {
    /// A capacitance.
    Farad(Farad),
    /// A resistance.
    Ohm(Ohm),
    /// A voltage.
    Volt(Volt),
    /// A power.
    Watt(Watt),
}

impl DecodedValue {
    /// The number in the SI unit [`unit`](Self::unit).
    pub const fn si(self) -> f64 {
        match self {
            Self::Farad(value) => value.get(),
            Self::Ohm(value) => value.get(),
            Self::Volt(value) => value.get(),
            Self::Watt(value) => value.get(),
        }
    }

    /// The unit: `F`, `ohm`, `V` or `W`.
    pub const fn unit(self) -> &'static str {
        match self {
            Self::Farad(_) => "F",
            Self::Ohm(_) => "ohm",
            Self::Volt(_) => "V",
            Self::Watt(_) => "W",
        }
    }

    /// The series of preferred values with the fewest values that holds it; `None` for voltages
    /// and powers, and for old values such as 500 k.
    pub fn series(self) -> Option<Series> {
        match self {
            Self::Farad(value) => Series::of_farad(value),
            Self::Ohm(value) => Series::of_ohm(value),
            Self::Volt(_) | Self::Watt(_) => None,
        }
    }

    /// The nearest value of the E24 series by ratio; `None` for voltages and powers.
    pub fn nearest_e24(self) -> Option<Self> {
        match self {
            Self::Farad(value) => Some(Self::Farad(Series::E24.nearest_farad(value))),
            Self::Ohm(value) => Some(Self::Ohm(Series::E24.nearest_ohm(value))),
            Self::Volt(_) | Self::Watt(_) => None,
        }
    }
}

impl fmt::Display for DecodedValue {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            // What is written is shown in full: `8412` is no 8410 µF.
            Self::Farad(value) => f.pad(&farad_text(*value, 6)),
            Self::Ohm(value) => value.fmt(f),
            Self::Volt(value) => value.fmt(f),
            Self::Watt(value) => value.fmt(f),
        }
    }
}

/// One reading of a mark.
#[derive(Debug, Clone, PartialEq)]
pub struct Decoded {
    /// What the mark is taken for.
    pub kind: DecodedKind,
    /// The quantity; `None` for dates.
    pub value: Option<DecodedValue>,
    /// The tolerance marked.
    pub tolerance: Option<Tolerance>,
    /// Every candidate year of a date code, rising; empty otherwise.
    pub years: Vec<u16>,
    /// The week of a date code.
    pub week: Option<u8>,
    /// The month of a date, 1 to 12.
    pub month: Option<u8>,
}

impl Decoded {
    /// A reading with a quantity.
    fn of(kind: DecodedKind, value: DecodedValue, tolerance: Option<Tolerance>) -> Self {
        Self { kind, value: Some(value), tolerance, years: Vec::new(), week: None, month: None }
    }
}

/// A date that a text can be.
fn possible(date: PossibleDate) -> Decoded {
    Decoded {
        kind: DecodedKind::PossibleDate,
        value: None,
        tolerance: None,
        years: vec![date.year],
        week: date.week,
        month: date.month,
    }
}

/// Every reading of a mark, in the order: date, volt code, capacitor, resistor. `set_year`
/// narrows the years of a date code (see [`date_code`]). Empty when nothing can be read;
/// [`refused`] then says why.
pub fn decode(text: &str, set_year: Option<u16>) -> Vec<Decoded> {
    let mut found = Vec::new();
    if let Ok(code) = date_code(text, set_year) {
        found.push(Decoded {
            kind: DecodedKind::DateCode,
            value: None,
            tolerance: None,
            years: code.years,
            week: Some(code.week),
            month: None,
        });
    }
    found.extend(possible_dates(text).into_iter().map(possible));
    if let Some(volts) = codes::volt_code(text.trim()) {
        // `2G` alone is a volt code; two gigohms or a bare 2 within 2 % are no marks of this trade.
        found.push(Decoded::of(DecodedKind::VoltCode, DecodedValue::Volt(volts), None));
        return found;
    }
    found.extend(capacitor(text));
    found.extend(resistor(text));
    found
}

/// Why a text has no reading of a kind: one statement a kind, lower case, without a full stop.
pub fn refused(text: &str) -> Vec<String> {
    let mut why = Vec::new();
    if let Err(fault @ DateCodeError::Week { .. }) = date_code(text, None) {
        why.push(format!("date code: {fault}"));
    }
    if let Err(fault) = capacitor_mark(text, Bare::Refuse) {
        why.push(fault.to_string());
    }
    if let Err(fault) = resistor_mark(text) {
        why.push(fault.to_string());
    }
    why
}

/// The readings as a capacitor.
fn capacitor(text: &str) -> Vec<Decoded> {
    let mut found: Vec<Decoded> = Vec::new();
    found.extend(code_with_volts(text));
    if found.is_empty() {
        found.extend(code(text));
    }
    let coded = !found.is_empty();
    if let Ok(mark) = capacitor_mark(text, Bare::Refuse)
        && !coded
    {
        for farad in mark.sections {
            found.push(Decoded::of(DecodedKind::CapacitorValue, DecodedValue::Farad(farad), mark.tolerance));
        }
        let mut voltages: Vec<Volt> = Vec::new();
        for volts in mark.section_volts.into_iter().flatten() {
            if !voltages.contains(&volts) {
                voltages.push(volts);
            }
        }
        let dc = |volts| Decoded::of(DecodedKind::RatedVoltage, DecodedValue::Volt(volts), None);
        found.extend(voltages.into_iter().map(dc));
        let ac = |volts| Decoded::of(DecodedKind::RatedAlternatingVoltage, DecodedValue::Volt(volts), None);
        found.extend(mark.vac.map(ac));
        return found;
    }
    if let Some(found) = thousands_point(text) {
        return found;
    }
    let digits = text.trim().trim_end_matches(|c: char| c.is_ascii_alphabetic());
    let letter = text.trim().strip_prefix(digits).unwrap_or_default();
    // A code with its letter is one, unless it ends in 0 and may be a plain value (`220K`).
    if coded && !letter.is_empty() && !digits.ends_with('0') {
        return found;
    }
    for (bare, kind, unit) in [
        (Bare::Microfarad, DecodedKind::CapacitorIfMicrofarad, "uF"),
        (Bare::Picofarad, DecodedKind::CapacitorIfPicofarad, "pF"),
    ] {
        let written = if coded { format!("{digits}{unit}{letter}") } else { text.to_owned() };
        if let Ok(read) = capacitance(&written, bare) {
            found.push(Decoded::of(kind, DecodedValue::Farad(read.farad), read.tolerance));
        }
    }
    found
}

/// `5.000pF` is 5000 pF where a point parts thousands and 5 pF where it does not: both, with what stands beside.
fn thousands_point(text: &str) -> Option<Vec<Decoded>> {
    let at = text.find('.')?;
    let (before, after) = (text.get(..at)?, text.get(at + 1..)?);
    let (three, rest) = after.split_at_checked(3)?;
    let due = format!("{three}pF");
    let Err(QuantityError { problem: Problem::Ambiguous { one, .. }, .. }) = capacitor_mark(text, Bare::Refuse) else {
        return None;
    };
    if !one.ends_with(&due) || rest.contains('.') {
        return None;
    }
    let both = [format!("{before}{after}"), format!("{before}{rest}")];
    let mut found: Vec<Decoded> = Vec::new();
    for reading in both.iter().flat_map(|text| capacitor(text)) {
        if !found.contains(&reading) {
            found.push(reading);
        }
    }
    Some(found)
}

/// Three digits with or without a tolerance letter: `473`, `473K`.
fn code(text: &str) -> Option<Decoded> {
    let (digits, letter) = text.trim().split_at_checked(3)?;
    let farad = codes::three_digits(digits)?;
    let mut letters = letter.chars();
    let tolerance = match (letters.next(), letters.next()) {
        (None, _) => None,
        (Some(letter), None) => Some(codes::capacitor_letter(letter, farad)?),
        _ => return None,
    };
    Some(Decoded::of(DecodedKind::CapacitorCode, DecodedValue::Farad(farad), tolerance))
}

/// A volt code before the value's code: `2A104J`.
fn code_with_volts(text: &str) -> Vec<Decoded> {
    let both = text.trim().split_at_checked(2).and_then(|(volts, value)| {
        let volts = codes::volt_code(volts)?;
        Some([Decoded::of(DecodedKind::VoltCode, DecodedValue::Volt(volts), None), code(value)?])
    });
    both.map(Vec::from).unwrap_or_default()
}

/// The readings as a resistor.
fn resistor(text: &str) -> Vec<Decoded> {
    let Ok(mark) = resistor_mark(text) else { return Vec::new() };
    let words = |c: char| !c.is_alphabetic();
    let by_colour = text.split(words).find(|w| !w.is_empty()).and_then(colours::Colour::of_word).is_some();
    let kind = if by_colour { DecodedKind::ResistorColours } else { DecodedKind::ResistorValue };
    // A word beside a bare number is more likely another kind of mark than a resistor.
    if !mark.rest.is_empty() && resistance(text).is_err() && mark.watts.is_none() {
        return Vec::new();
    }
    let mut found = vec![Decoded::of(kind, DecodedValue::Ohm(mark.ohm), mark.tolerance)];
    found.extend(mark.watts.map(|w| Decoded::of(DecodedKind::RatedPower, DecodedValue::Watt(w), None)));
    found.extend(mark.volts.map(|v| Decoded::of(DecodedKind::RatedVoltage, DecodedValue::Volt(v), None)));
    found
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn shown(text: &str) -> Vec<String> {
        let one = |d: &Decoded| match d.value {
            Some(value) => format!("{}: {value}", d.kind),
            None => format!("{}: {:?} week {:?}", d.kind, d.years, d.week),
        };
        decode(text, None).iter().map(one).collect()
    }

    #[test]
    fn every_reading_is_given() {
        assert_eq!(
            shown("473"),
            [
                "capacitor code: 0.047 µF",
                "capacitor value, if bare values are in µF: 473 µF",
                "capacitor value, if bare values are in pF: 473 pF",
                "resistor value: 473 R",
            ]
        );
        assert_eq!(shown("5.000pF"), ["capacitor value: 5 nF", "capacitor value: 5 pF"]);
        assert_eq!(
            shown("20.000pF 400V"),
            ["capacitor value: 0.02 µF", "rated voltage: 400 V", "capacitor value: 20 pF"]
        );
        assert_eq!(shown("4K7"), ["capacitor value, if bare values are in pF: 4.7 nF", "resistor value: 4.7 k"]);
        assert_eq!(shown("M47"), ["capacitor value: 0.47 µF", "resistor value: 470 k"]);
        assert_eq!(
            shown("220K"),
            [
                "capacitor code: 22 pF",
                "capacitor value, if bare values are in µF: 220 µF",
                "capacitor value, if bare values are in pF: 220 pF",
                "resistor value: 220 k",
            ]
        );
        assert_eq!(shown("104K"), ["capacitor code: 0.1 µF", "resistor value: 104 k"]);
        assert_eq!(shown("2G"), ["volt code: 400 V"]);
        assert_eq!(shown("20 MFD 450 WV"), ["capacitor value: 20 µF", "rated voltage: 450 V"]);
        assert_eq!(shown("yel-vio-org-sil"), ["resistor colour bands: 47 k"]);
        assert_eq!(shown("470 ohms 5W WW"), ["resistor value: 470 R", "rated power: 5 W"]);
        assert_eq!(shown("hello"), Vec::<String>::new());
    }

    #[test]
    fn a_date_is_one_reading_among_others() {
        assert_eq!(
            shown("8412"),
            [
                "possible date: [1984] week Some(12)",
                "capacitor value, if bare values are in µF: 8412 µF",
                "capacitor value, if bare values are in pF: 8.412 nF",
                "resistor value: 8.41 k",
            ]
        );
        assert_eq!(
            decode("MAR 53", None).iter().map(|d| (d.years.clone(), d.month)).collect::<Vec<_>>(),
            [(vec![1953], Some(3))]
        );
    }

    #[test]
    fn what_cannot_be_read_says_why() {
        assert!(refused("999-4-54").contains(&"date code: invalid week 54; a year has weeks 01 to 53".to_owned()));
        assert_eq!(refused("hello"), ["capacitance: no number found", "resistance: no number found"]);
    }

    #[test]
    fn preferred_values_beside_a_reading() {
        let old = DecodedValue::Ohm(Ohm::new(250e3));
        assert_eq!((old.series(), old.nearest_e24()), (None, Some(DecodedValue::Ohm(Ohm::new(240e3)))));
        assert_eq!(DecodedValue::Farad(Farad::new(47e-9)).series(), Some(Series::E3));
    }

    proptest! {
        #[test]
        fn no_text_panics(text in r"([0-9./\-KMRuµnpFJ]|red|yel|-|\PC){0,16}", year in proptest::option::of(0_u16..3000)) {
            for reading in decode(&text, year) {
                prop_assert!(reading.value.is_none_or(|v| v.si().is_finite()));
            }
            let _ = refused(&text);
        }
    }
}
