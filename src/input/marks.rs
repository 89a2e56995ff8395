//! Markings and values of parts, by the kind of part, from the cells of a row.

use super::escape::quoted;
use super::fault::FaultKind;
use super::table::Row;
use crate::model::kind::{MainsClass, PartKind};
use crate::model::part::{Rating, Reading, Value};
use crate::units::parse::{self, Bare, ClassMark, QuantityError};
use crate::units::{Farad, Ohm, Tolerance, Volt};

/// Least and most capacitance of a part of this trade.
const FARADS: (f64, f64) = (0.5e-12, 0.1);
/// Least and most resistance.
const OHMS: (f64, f64) = (0.01, 1e10);

/// What a marking says.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Marked {
    pub(super) value: Option<Value>,
    pub(super) rating: Rating,
}

/// Reads the marking in `column` as that of a part of `kind`. Faults are left with the row.
pub(super) fn marked(row: &mut Row<'_>, column: &str, kind: PartKind, bare: Bare) -> Marked {
    if kind.is_designated() {
        return Marked { value: row.text(column).map(Value::Designation), rating: Rating::default() };
    }
    let Some(text) = row.quantity(column) else { return Marked::default() };
    let read = if kind.is_capacitor() {
        capacitor(row, column, &text, bare)
    } else {
        resistor(row, column, &text, (kind, bare))
    };
    read.unwrap_or_default()
}

fn capacitor(row: &mut Row<'_>, column: &str, text: &str, bare: Bare) -> Option<Marked> {
    let mark = accepted(row, column, parse::capacitor_mark(text, bare))?;
    let farad = match mark.sections.as_slice() {
        [one] => *one,
        sections => {
            let message = format!("{column} {} has {} sections on one line", quoted(text), sections.len());
            let help = "write one line for each section, with the same letter in the column 'can'".to_owned();
            row.fault(column, FaultKind::NotAQuantity, message, help);
            return None;
        }
    };
    let rating = Rating {
        volts: mark.volts,
        vac: mark.vac,
        watts: None,
        tolerance: mark.tolerance.map(tolerance_of),
        class: class_of(&mark.classes),
    };
    Some(Marked { value: reasonable_farad(row, column, farad).map(Value::Farad), rating })
}

fn resistor(row: &mut Row<'_>, column: &str, text: &str, (kind, bare): (PartKind, Bare)) -> Option<Marked> {
    if parse::resistor_mark(text).is_err() && parse::capacitor_mark(text, bare).is_ok() {
        let message = format!("{column} {} is a capacitor's, and the part is a {kind}", quoted(text));
        row.fault(column, FaultKind::NotAQuantity, message, "check the column 'part', or the marking".to_owned());
        return None;
    }
    let mark = accepted(row, column, parse::resistor_mark(text))?;
    let rating = Rating {
        volts: mark.volts,
        vac: None,
        watts: mark.watts,
        tolerance: mark.tolerance.map(tolerance_of),
        class: None,
    };
    Some(Marked { value: reasonable_ohm(row, column, mark.ohm).map(Value::Ohm), rating })
}

/// The value, or its error left with the row.
pub(super) fn accepted<T>(row: &mut Row<'_>, column: &str, read: Result<T, QuantityError>) -> Option<T> {
    match read {
        Ok(value) => Some(value),
        Err(error) => {
            row.not_a_quantity(column, &error);
            None
        }
    }
}

/// Whether so many farads are within reason.
pub(super) fn within_reason_farad(farad: f64) -> bool {
    FARADS.0 <= farad && farad <= FARADS.1
}

/// Whether so many ohms are within reason.
pub(super) fn within_reason_ohm(ohm: f64) -> bool {
    OHMS.0 <= ohm && ohm <= OHMS.1
}

/// A capacitance within reason.
pub(super) fn reasonable_farad(row: &mut Row<'_>, column: &str, farad: Farad) -> Option<Farad> {
    if within_reason_farad(farad.get()) {
        return Some(farad);
    }
    let message = format!("{column} of {farad} is out of all reason; accepted is 0.5 pF to 0.1 F");
    row.fault(column, FaultKind::OutOfBounds, message, "check the figure and its unit, like 22uF".to_owned());
    None
}

/// A resistance within reason.
pub(super) fn reasonable_ohm(row: &mut Row<'_>, column: &str, ohm: Ohm) -> Option<Ohm> {
    if within_reason_ohm(ohm.get()) {
        return Some(ohm);
    }
    let message = format!("{column} of {ohm} is out of all reason; accepted is 0.01 ohm to 10000 M");
    row.fault(column, FaultKind::OutOfBounds, message, "check the figure and its unit, like 220k".to_owned());
    None
}

/// A tolerance as the model holds it.
pub(super) fn tolerance_of(read: parse::Tolerance) -> Tolerance {
    Tolerance { minus_percent: read.minus_percent, plus_percent: read.plus_percent }
}

/// The tolerance of a column of its own.
pub(super) fn tolerance(row: &mut Row<'_>, column: &str) -> Option<Tolerance> {
    let text = row.quantity(column)?;
    accepted(row, column, parse::tolerance(&text)).map(tolerance_of)
}

/// The class that counts where a part is marked with two, such as X1 and Y2: the Y class, which
/// is the stronger insulation. Classes that the model does not know count as none.
pub(super) fn class_of(marks: &[ClassMark]) -> Option<MainsClass> {
    let find = |mark, class| marks.contains(&mark).then_some(class);
    find(ClassMark::Y1, MainsClass::Y1)
        .or_else(|| find(ClassMark::Y2, MainsClass::Y2))
        .or_else(|| find(ClassMark::X1, MainsClass::X1))
        .or_else(|| find(ClassMark::X2, MainsClass::X2))
}

/// What a meter showed for a part of `kind`.
pub(super) fn reading(row: &mut Row<'_>, column: &str, kind: PartKind, bare: Bare) -> Option<Reading> {
    let text = row.quantity(column)?;
    match text.to_lowercase().as_str() {
        "open" | "o/c" | "open circuit" => return Some(Reading::Open),
        "short" | "s/c" | "short circuit" | "shorted" => return Some(Reading::Short),
        _ => {}
    }
    if kind.is_capacitor() {
        let farad = accepted(row, column, parse::capacitance(&text, bare))?.farad;
        return reasonable_farad(row, column, farad).map(Reading::Farad);
    }
    if kind.is_designated() && parse::resistance(&text).is_err() {
        let message = format!("{column} {}: of a {kind} this column takes ohms, open or short", quoted(&text));
        let help = "write what a tester says in the column 'note'; 'replace' in the column 'wish' has it changed";
        row.fault(column, FaultKind::NotAQuantity, message, help.to_owned());
        return None;
    }
    accepted(row, column, parse::resistance(&text)).map(|marked| Reading::Ohm(marked.ohm))
}

/// The explicit column where it is given, else the marking, with a note where they disagree.
pub(super) fn explicit<T: PartialEq + Copy>(
    given: Option<T>,
    marked: Option<T>,
    disagree: impl FnOnce(T, T) -> String,
    notes: &mut Vec<String>,
) -> Option<T> {
    if let (Some(given), Some(marked)) = (given, marked)
        && given != marked
    {
        notes.push(disagree(given, marked));
    }
    given.or(marked)
}

/// A DC voltage of a column.
pub(super) fn volt(row: &mut Row<'_>, column: &str) -> Option<Volt> {
    row.model(column).map(Volt::new)
}
