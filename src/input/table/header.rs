//! The headings of a table: which of our columns stands where.

use super::Columns;
use crate::input::bounds::{Field, find};
use crate::input::columns_map::ColumnMap;
use crate::units::parse::nearest;

/// One heading of the file.
#[derive(Debug, Clone)]
pub(super) struct Heading {
    /// As written, trimmed.
    pub(super) text: String,
    /// Our column, if it is one.
    pub(super) column: Option<String>,
    /// Unit of bare numbers below it, from a supplier's heading such as `Ripple (A)`.
    pub(super) unit: Option<String>,
}

/// The headings of a file.
#[derive(Debug, Clone, Default)]
pub(super) struct Header {
    pub(super) headings: Vec<Heading>,
}

/// What is wrong with the headings.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum HeaderFault {
    /// Our column stands at two cells; the cell of the second.
    Twice { column: String, cell: usize },
    /// A needed column does not stand there; a heading that may be meant.
    Missing { column: &'static str, meant: Option<String> },
}

impl Header {
    /// From the cells of the heading line.
    pub(super) fn new<'c>(cells: impl Iterator<Item = &'c str>, columns: Columns, map: Option<&ColumnMap>) -> Self {
        let headings = cells.map(|cell| heading(cell, columns, map)).collect();
        Self { headings }
    }

    /// The cell of a column.
    pub(super) fn cell_of(&self, column: &str) -> Option<usize> {
        self.headings.iter().position(|heading| heading.column.as_deref() == Some(column))
    }

    /// What is wrong with the headings, in the order of the file, missing columns last.
    pub(super) fn faults(&self, columns: Columns) -> Vec<HeaderFault> {
        let mut faults = Vec::new();
        for (cell, heading) in self.headings.iter().enumerate() {
            if let Some(column) = &heading.column
                && self.cell_of(column) != Some(cell)
            {
                faults.push(HeaderFault::Twice { column: column.clone(), cell });
            }
        }
        let unknown: Vec<&str> = self.unknown().collect();
        for field in columns.fields().filter(|field| columns.needs(field) && self.cell_of(field.name).is_none()) {
            let prices_elsewhere = field.name == "prices" && self.price_columns().next().is_some();
            if !prices_elsewhere {
                let meant = nearest(field.name, &unknown).map(str::to_owned);
                faults.push(HeaderFault::Missing { column: field.name, meant });
            }
        }
        faults
    }

    /// Headings that are no column of ours.
    pub(super) fn unknown(&self) -> impl Iterator<Item = &str> {
        self.headings.iter().filter(|h| h.column.is_none() && !h.text.is_empty()).map(|h| h.text.as_str())
    }

    /// Columns `price1`, `price10`: the quantity and the cell.
    pub(super) fn price_columns(&self) -> impl Iterator<Item = (u32, usize)> {
        self.numbered("price")
    }

    /// Columns `qty10`: the quantity in the name and the cell.
    pub(super) fn quantity_columns(&self) -> impl Iterator<Item = (u32, usize)> {
        self.numbered("qty")
    }

    fn numbered(&self, name: &'static str) -> impl Iterator<Item = (u32, usize)> {
        let cells = self.headings.iter().enumerate();
        cells.filter_map(move |(cell, h)| Some((numbered(h.column.as_deref()?, name)?, cell)))
    }

    /// The note about columns that are not used.
    pub(super) fn note(&self, columns: Columns) -> Option<String> {
        let known: Vec<&str> = columns.fields().map(|field| field.name).collect();
        let free: Vec<&str> = known.iter().filter(|name| self.cell_of(name).is_none()).copied().collect();
        let shown: Vec<String> = self
            .unknown()
            .map(|text| match nearest(text, &free) {
                Some(meant) => format!("'{text}' (the nearest known is '{meant}')"),
                None => format!("'{text}'"),
            })
            .collect();
        (!shown.is_empty()).then(|| format!("columns not used: {}", shown.join(", ")))
    }
}

/// One heading looked up in the supplier's map and in our columns.
fn heading(cell: &str, columns: Columns, map: Option<&ColumnMap>) -> Heading {
    let text = super::trimmed(cell).to_owned();
    let plain = plain_heading(&text);
    let mapped = map.and_then(|map| map.column(&plain));
    let unit = mapped.and_then(|_| unit_in(&text)).map(str::to_owned);
    let ours = mapped.map_or(plain.as_str(), |column| column);
    let column = columns.accepts(ours).then(|| ours.to_owned());
    Heading { text, column, unit }
}

/// `price_10`, `price10` or `price 10` with the name `price`: 10.
pub(in crate::input) fn numbered(column: &str, name: &str) -> Option<u32> {
    let number = column.strip_prefix(name)?.trim_start_matches('_');
    number.parse().ok().filter(|from| (1..=1_000_000).contains(from))
}

/// A heading as it is compared: lower case, runs of blanks, `-` and `_` as one `_`.
pub(in crate::input) fn plain_heading(text: &str) -> String {
    crate::model::words::plain_word(super::trimmed(text)).replace('-', "_")
}

/// The unit in brackets at the end of a heading, `Ripple (A)`, `Voltage [V]`.
fn unit_in(text: &str) -> Option<&str> {
    let inner = text.strip_suffix(')').and_then(|t| t.rsplit_once('('));
    let inner = inner.or_else(|| text.strip_suffix(']').and_then(|t| t.rsplit_once('[')));
    inner.map(|(_, unit)| unit.trim()).filter(|unit| !unit.is_empty())
}

/// The field of a heading's column.
pub(super) fn field_of(columns: Columns, column: &str) -> Option<&'static Field> {
    columns.sets().iter().find_map(|set| find(set, column))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn headings_are_alike_whatever_case_and_blanks() {
        for text in ["esr_ohm", "ESR ohm", "Esr-Ohm", " esr\u{a0}_ohm ", "\u{feff}ESR  OHM"] {
            assert_eq!(plain_heading(text), "esr_ohm", "{text}");
        }
    }

    #[test]
    fn numbers_in_headings() {
        assert_eq!(numbered("price_10", "price"), Some(10));
        assert_eq!(numbered("price1", "price"), Some(1));
        assert_eq!(numbered("prices", "price"), None);
        assert_eq!(numbered("price0", "price"), None);
        assert_eq!(unit_in("Ripple (A)"), Some("A"));
        assert_eq!(unit_in("Voltage [kV]"), Some("kV"));
        assert_eq!(unit_in("Voltage"), None);
    }
}
