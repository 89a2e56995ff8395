//! One reader of a catalog: block after block, plain lines at a glance and the others in full.

use super::Taker;
use super::columns::Column;
use super::layout::Layout;
use super::line::Lines;
use super::record::Record;
use super::seek::find;
use super::stops::Stops;
use crate::input::catalog::offer;
use crate::input::fault::Faults;
use crate::input::table::Table;
use crate::model::shop::Supplier;

/// A reader with what it needs from block to block.
pub(super) struct Lane<'s, T> {
    table: Table<std::io::Empty>,
    layout: Layout<'s>,
    stops: Stops,
    lines: Lines,
    suppliers: &'s [Supplier],
    taker: T,
}

/// What came of a block.
#[derive(Debug, Default)]
pub(super) struct Done {
    /// The lines set aside; counted from the first of the block, which is 1.
    pub(super) set_aside: Faults,
    /// Records with anything in them.
    pub(super) records: usize,
    /// Lines of the file.
    pub(super) lines: usize,
    /// The first line that was read as Windows-1252.
    pub(super) not_utf8: Option<usize>,
}

impl<'s, T: Taker> Lane<'s, T> {
    /// A reader for the table whose headings were read as `table`.
    pub(super) fn new<R: std::io::Read>(table: &Table<R>, suppliers: &'s [Supplier], taker: T) -> Self {
        let columns = table.headings().map(|(name, with_unit)| Column::of(name, with_unit)).collect();
        Self {
            layout: Layout::new(columns, table.decimal_mark(), suppliers),
            stops: Stops::new(table.delimiter_byte()),
            table: table.for_given(),
            suppliers,
            lines: Lines::new(),
            taker,
        }
    }

    /// Reads a block of whole records.
    pub(super) fn read(&mut self, block: &[u8]) -> Done {
        let mut done = Done::default();
        let delimiter = self.table.delimiter_byte();
        let utf8 = std::str::from_utf8(block).is_ok();
        let mut record = Record::new();
        self.stops.begin();
        let (mut begin, mut quote) = (0, None);
        while let Some(first) = block.get(begin) {
            let line = done.lines + 1;
            let end = find(block, begin, b'\n').unwrap_or(block.len());
            if *first == b'\n' || *first == b'#' {
                begin = end + 1;
                done.lines = line;
                continue;
            }
            // The first quote that is not passed yet.
            let next = quote.filter(|quote| begin <= *quote);
            let next = next.unwrap_or_else(|| find(block, begin, b'"').unwrap_or(block.len()));
            quote = Some(next);
            let stops = self.stops.of_line(block, (begin, end), self.layout.columns.len());
            done.lines = line;
            if !record.take(block, begin, (stops, next < end)) {
                record.scan(block, begin, delimiter);
                done.lines += memchr::memchr_iter(b'\n', record.raw(block)).count();
            }
            begin = record.end() + 1;
            let utf8 = utf8 || std::str::from_utf8(record.raw(block)).is_ok();
            self.record((block, &record), (line, utf8), &mut done);
        }
        done.not_utf8 = self.table.take_not_utf8();
        done
    }

    fn record(&mut self, (block, record): (&[u8], &Record), (line, utf8): (usize, bool), done: &mut Done) {
        let plain = if utf8 { self.lines.read(&self.layout, (block, record)) } else { None };
        let Some(plain) = plain else {
            return self.in_full(record.raw(block), line, done);
        };
        if !self.taker.heeds(&plain.outline()) {
            done.records += 1;
            return;
        }
        let Some(whole) = plain.whole(&self.layout, &self.lines) else {
            return self.in_full(record.raw(block), line, done);
        };
        done.records += 1;
        if self.taker.wants(&plain.glance(&whole, &self.lines)) {
            self.taker.take(&plain.offer(whole, &self.layout, &self.lines));
        }
    }

    /// Reads a record with every detour, and tells its faults.
    fn in_full(&mut self, raw: &[u8], line: usize, done: &mut Done) {
        if !self.table.give(raw, line) {
            return;
        }
        done.records += 1;
        let mut row = self.table.row();
        let offer = offer(&mut row, self.suppliers);
        let faulty = row.is_faulty();
        for fault in row.into_faults().into_iter().take(1) {
            done.set_aside.push(fault);
        }
        if let (Some(offer), false) = (offer, faulty) {
            self.taker.take(&offer);
        }
    }

    /// Hands an offer on that another reader has read.
    pub(super) fn take(&mut self, offer: &crate::model::shop::Offer) {
        self.taker.take(offer);
    }
}
