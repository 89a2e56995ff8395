//! One reader of a catalog: block after block, plain lines at a glance and the others in full.

use super::Taker;
use super::columns::Column;
use super::line::{Layout, Line, Lists};
use super::record::Record;
use crate::input::catalog::offer;
use crate::input::fault::Faults;
use crate::input::table::Table;
use crate::model::shop::Supplier;

/// A reader with what it needs from block to block.
pub(super) struct Lane<'s, T> {
    table: Table<std::io::Empty>,
    layout: Layout<'s>,
    suppliers: &'s [Supplier],
    lists: Lists,
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
            table: table.for_given(),
            suppliers,
            lists: Lists::default(),
            taker,
        }
    }

    /// Reads a block of whole records.
    pub(super) fn read(&mut self, block: &[u8]) -> Done {
        let mut done = Done::default();
        let delimiter = self.table.delimiter_byte();
        let ascii = block.is_ascii();
        let mut rest = block;
        while let Some(first) = rest.first() {
            let line = done.lines + 1;
            if *first == b'\n' {
                rest = rest.get(1..).unwrap_or_default();
                done.lines = line;
                continue;
            }
            let remark = *first == b'#';
            let record = if remark { Record::remark(rest) } else { Record::at(rest, delimiter) };
            done.lines += record.lines();
            rest = rest.get(record.raw().len() + 1..).unwrap_or_default();
            if !remark {
                let utf8 = ascii || std::str::from_utf8(record.raw()).is_ok();
                self.record(&record, (line, utf8), &mut done);
            }
        }
        done.not_utf8 = self.table.take_not_utf8();
        done
    }

    fn record(&mut self, record: &Record<'_>, (line, utf8): (usize, bool), done: &mut Done) {
        let plain = if record.odd || !utf8 { None } else { Line::read(&self.layout, record, &mut self.lists) };
        let Some(plain) = plain else {
            return self.in_full(record, line, done);
        };
        done.records += 1;
        if self.taker.wants(&plain.glance(&self.lists)) {
            self.taker.take(&plain.offer(&self.lists));
        }
    }

    /// Reads a record with every detour, and tells its faults.
    fn in_full(&mut self, record: &Record<'_>, line: usize, done: &mut Done) {
        if !self.table.give(record.raw(), line) {
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
