//! `parts.csv`: one line per part.

use std::collections::BTreeMap;

use super::bounds::PARTS;
use super::escape::quoted;
use super::fault::FaultKind;
use super::marks::{accepted, explicit, marked, reading, reasonable_farad, reasonable_ohm, tolerance, volt};
use super::natural::natural;
use super::rows::{Sink, read_rows};
use super::table::{Columns, Row};
use crate::model::kind::PartKind;
use crate::model::part::{Accept, AsFound, EsrReading, LeakageReading, NodeName, Part, Rating, Space};
use crate::units::parse::{self, Bare};
use crate::units::{Ampere, Celsius, Hertz, Millimetre, Ohm, Second, Volt, Watt};

/// A parts list as read.
#[derive(Debug, Default)]
pub(super) struct PartsList {
    /// The parts that have no fault, in natural order of their references.
    pub(super) parts: Vec<Part>,
    /// Every reference met with its kind where that is known, faulty lines included; `None` when
    /// the table could not be read to its end.
    pub(super) references: Option<BTreeMap<String, Option<PartKind>>>,
}

/// Reads a parts list.
pub(super) fn read_parts(file: &str, bytes: &[u8], bare: Bare, sink: &mut Sink) -> PartsList {
    let mut lines: BTreeMap<String, usize> = BTreeMap::new();
    let mut references = BTreeMap::new();
    let mut notes = Vec::new();
    let (mut parts, whole) = read_rows(file, bytes, Columns::plain(PARTS), sink, |row| {
        let mut said = Vec::new();
        let part = part(row, bare, &mut said);
        notes.extend(said.into_iter().map(|note| format!("{file}:{}: {note}", row.line)));
        if let Some(reference) = row.text("ref") {
            duplicate(row, &reference, &lines);
            lines.entry(reference.clone()).or_insert(row.line);
            references.entry(reference).or_insert(part.as_ref().map(|part| part.kind));
        }
        part
    });
    sink.notes.append(&mut notes);
    parts.sort_by(|a, b| natural(&a.reference, &b.reference));
    PartsList { parts, references: whole.then_some(references) }
}

/// The fault of a reference that stands on an earlier line too.
fn duplicate(row: &mut Row<'_>, reference: &str, lines: &BTreeMap<String, usize>) {
    if let Some(earlier) = lines.get(reference) {
        let message = format!("ref {} stands already on line {earlier}", quoted(reference));
        let help = "give every part a reference of its own; sections of a can too, like C31a and C31b".to_owned();
        row.fault("ref", FaultKind::Duplicate, message, help);
    }
}

/// One part; `None` where reference or kind cannot be known. Faults stay with the row.
fn part(row: &mut Row<'_>, bare: Bare, notes: &mut Vec<String>) -> Option<Part> {
    let reference = row.needed_text("ref");
    let kind = row.needed_word::<PartKind>("part");
    // Without the kind its value cannot be read, but the other cells still are, for their faults.
    let read_as = kind.unwrap_or(PartKind::Hardware);
    let marked = marked(row, "marked", read_as, bare);
    let rating = rating(row, &marked.rating, notes);
    let found = found(row, kind, bare);
    let accept = accept(row, read_as, bare);
    Some(Part {
        marked: row.as_written("marked"),
        value: marked.value,
        rating,
        place: row.word("place"),
        plus: row.text("plus").map(|text| NodeName::new(&text)),
        minus: row.text("minus").map(|text| NodeName::new(&text)),
        can: row.text("can"),
        pair: row.text("pair"),
        fitted: row.year("fitted"),
        found,
        space: Space {
            styles: row.words("style"),
            diameter: row.model("max_diameter_mm").map(Millimetre::new),
            length: row.model("max_length_mm").map(Millimetre::new),
        },
        accept,
        wish: row.word("wish"),
        note: row.text("note"),
        line: row.line,
        reference: reference?,
        kind: kind?,
    })
}

/// The ratings: explicit columns win over the marking, with a note where they disagree.
fn rating(row: &mut Row<'_>, marked: &Rating, notes: &mut Vec<String>) -> Rating {
    let volts = volt(row, "rated_v");
    let vac = volt(row, "rated_vac");
    let watts = row.model("watts").map(Watt::new);
    let tolerance = tolerance(row, "tolerance");
    let class = row.word("class");
    let says = |column: &'static str| {
        move |given: String, marked: String| format!("{column} {given} taken, not the marked {marked}")
    };
    Rating {
        volts: explicit(volts, marked.volts, |g, m| says("rated_v")(g.to_string(), m.to_string()), notes),
        vac: explicit(vac, marked.vac, |g, m| says("rated_vac")(g.to_string(), m.to_string()), notes),
        watts: explicit(watts, marked.watts, |g, m| says("watts")(g.to_string(), m.to_string()), notes),
        tolerance: tolerance.or(marked.tolerance),
        class: explicit(class, marked.class, |g, m| says("class")(g.mark().to_owned(), m.mark().to_owned()), notes),
    }
}

/// Readings and sight.
fn found(row: &mut Row<'_>, kind: Option<PartKind>, bare: Bare) -> AsFound {
    let esr = row.model("esr_ohm").map(Ohm::new);
    let esr_at = row.model("esr_hz").map(Hertz::new);
    let leakage = row.model("leakage_ma").map(Ampere::new);
    let (leakage_at, after) = (volt(row, "leakage_v"), row.model("leakage_min").map(Second::new));
    AsFound {
        // Whether farads or ohms are due is not known without the kind.
        reads: kind.and_then(|kind| reading(row, "reads", kind, bare)),
        in_circuit: row.yes_no("in_circuit"),
        esr: esr.map(|ohm| EsrReading { ohm, at: esr_at }),
        leakage: leakage.map(|current| LeakageReading { current, at: leakage_at, after }),
        grid: volt(row, "grid_v"),
        bias: volt(row, "bias_v").map(Volt::abs),
        sight: row.words("sight"),
        working: volt(row, "working_v").map(Volt::abs),
        highest: volt(row, "highest_v").map(Volt::abs),
        heat: row.model("heat_c").map(Celsius::new),
        ripple: row.model("ripple_ma").map(Ampere::new),
        ripple_at: row.model("ripple_hz").map(Hertz::new),
    }
}

/// The technician's own demand.
fn accept(row: &mut Row<'_>, kind: PartKind, bare: Bare) -> Accept {
    let mut accept = Accept { volts: volt(row, "accept_v"), class: row.word("accept_class"), ..Accept::default() };
    if kind.is_designated() {
        accept.designation = row.text("accept");
    } else if let Some(text) = row.quantity("accept") {
        if kind.is_capacitor() {
            let range = accepted(row, "accept", parse::capacitance_range(&text, bare));
            accept.farad = range.and_then(|(low, high)| {
                Some((reasonable_farad(row, "accept", low)?, reasonable_farad(row, "accept", high)?))
            });
        } else {
            let range = accepted(row, "accept", parse::resistance_range(&text));
            accept.ohm = range.and_then(|(low, high)| {
                Some((reasonable_ohm(row, "accept", low)?, reasonable_ohm(row, "accept", high)?))
            });
        }
    }
    accept
}

#[cfg(test)]
mod tests;
