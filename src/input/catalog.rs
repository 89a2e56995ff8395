//! `catalog/*.csv`: suppliers' offers, as a stream.
//!
//! One record is held at a time. A line that cannot be used is set aside with its fault and
//! counted by kind; it never becomes an offer and never ends the reading.

use std::io::Read;

use super::article::article;
use super::bounds::CATALOG;
use super::columns_map::ColumnMap;
use super::escape::quoted;
use super::fault::{FaultKind, Faults};
use super::marks::accepted;
use super::prices::tiers;
use super::table::{ColumnPlace, Columns, Row, Table};
use super::word::mend;
use crate::model::shop::{Offer, Supplier};
use crate::units::parse;

/// A column of the catalog that can be looked at before a line is read.
///
/// The raw bytes are those of the file: not trimmed, not decoded, decimals as the file has them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RawColumn(Option<ColumnPlace>);

/// A line of a catalog before it is read.
pub struct RawLine<'c> {
    cell: &'c dyn Fn(ColumnPlace) -> Option<&'c [u8]>,
}

impl RawLine<'_> {
    /// The bytes of a cell; `None` where the file has no such column or the line is short.
    pub fn get(&self, column: RawColumn) -> Option<&[u8]> {
        column.0.and_then(|place| (self.cell)(place))
    }
}

/// A catalog file being read.
pub struct Catalog<'s, R: Read> {
    table: Table<R>,
    suppliers: &'s [Supplier],
    set_aside: Faults,
    lines: usize,
}

impl<'s, R: Read> Catalog<'s, R> {
    /// Reads the headings of a catalog file. `map` holds the supplier's own headings, if it has
    /// any. An offer whose supplier is not among `suppliers` is set aside.
    ///
    /// # Errors
    /// The file cannot be read as a catalog at all: wrong kind, no headings, a needed column
    /// missing.
    pub fn open(file: &str, source: R, suppliers: &'s [Supplier], map: Option<&ColumnMap>) -> Result<Self, Faults> {
        let table = Table::open(file, source, Columns::catalog(CATALOG), map)?;
        Ok(Self::of(table, suppliers))
    }

    /// The offers of a table whose headings are read.
    pub(super) fn of(table: Table<R>, suppliers: &'s [Supplier]) -> Self {
        Self { table, suppliers, set_aside: Faults::default(), lines: 0 }
    }

    /// The first line that was read as Windows-1252.
    pub(super) const fn first_not_utf8(&self) -> Option<usize> {
        self.table.first_not_utf8()
    }

    /// Where a column stands, to look at it in [`next_where`](Self::next_where).
    pub fn column(&self, name: &str) -> RawColumn {
        RawColumn(self.table.place_of(name))
    }

    /// The next offer; `None` at the end of the file.
    pub fn next_offer(&mut self) -> Option<Offer> {
        self.next_where(|_| true)
    }

    /// The next offer among the lines that `wanted` accepts. A line that it refuses is passed by
    /// unread, so a fault in it is not counted.
    pub fn next_where(&mut self, mut wanted: impl FnMut(&RawLine<'_>) -> bool) -> Option<Offer> {
        loop {
            match self.table.advance() {
                Ok(true) => {}
                Ok(false) => return None,
                Err(fault) => {
                    self.set_aside.push(*fault);
                    return None;
                }
            }
            self.lines += 1;
            let table = &self.table;
            if !wanted(&RawLine { cell: &|place| table.raw(place) }) {
                continue;
            }
            let mut row = self.table.row();
            let offer = offer(&mut row, self.suppliers);
            let faulty = row.is_faulty();
            for fault in row.into_faults().into_iter().take(1) {
                self.set_aside.push(fault);
            }
            if let (Some(offer), false) = (offer, faulty) {
                return Some(offer);
            }
        }
    }

    /// Lines read or passed by so far.
    pub fn lines(&self) -> usize {
        self.lines
    }

    /// The lines set aside so far, each with its first fault; `len` counts the lines.
    pub fn set_aside(&self) -> &Faults {
        &self.set_aside
    }

    /// Notes on the file: columns not used, its encoding.
    pub fn notes(&self) -> Vec<String> {
        self.table.notes()
    }
}

impl<R: Read> Iterator for Catalog<'_, R> {
    type Item = Offer;

    fn next(&mut self) -> Option<Offer> {
        self.next_offer()
    }
}

/// The offer of a row; faults stay with the row.
pub(super) fn offer(row: &mut Row<'_>, suppliers: &[Supplier]) -> Option<Offer> {
    let number = row.needed_text("number");
    let supplier = supplier(row, suppliers);
    let article = article(row);
    let tiers = tiers(row);
    let offer = Offer {
        number: number?,
        supplier: supplier?,
        article: article?,
        tiers,
        pack: row.whole("pack").unwrap_or(1),
        minimum: row.whole("minimum").unwrap_or(1),
        stock: row.whole("stock"),
        lead_days: row.whole("lead_days"),
    };
    Some(offer)
}

/// The supplier's name as `suppliers.csv` has it; capitals do not matter.
fn supplier(row: &mut Row<'_>, suppliers: &[Supplier]) -> Option<String> {
    let text = row.needed_text("supplier")?;
    let plain = text.to_lowercase();
    let known = suppliers.iter().find(|supplier| supplier.name.to_lowercase() == plain);
    if known.is_none() {
        let names: Vec<&str> = suppliers.iter().map(|supplier| supplier.name.as_str()).collect();
        let message = format!("supplier {} is not in suppliers.csv", quoted(&text));
        let help = if names.is_empty() { "add its terms there".to_owned() } else { mend(&text, &names) };
        row.fault("supplier", FaultKind::UnknownName, message, help);
    }
    known.map(|supplier| supplier.name.clone())
}

/// Pairs such as `300:75;350:100` of a column.
pub(super) fn pairs(row: &mut Row<'_>, column: &str) -> Vec<(f64, f64)> {
    let Some(text) = row.quantity(column) else { return Vec::new() };
    accepted(row, column, parse::ratio_list(&text)).unwrap_or_default()
}
