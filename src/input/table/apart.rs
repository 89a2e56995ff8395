//! A table whose records are found by another reader, or that goes on where another one stopped.

use std::io::Read;

use csv::ByteRecord;

use super::dialect::{Decimal, Dialect};
use super::given::Given;
use super::text_source::TextSource;
use super::{Source, Table, is_blank};
use crate::input::decode::Decoded;

impl<R: Read> Table<R> {
    /// The same table going on in `source`, which begins with a record on this line.
    pub(in crate::input) fn continued<S: Read>(&self, source: S, line: usize) -> Table<S> {
        let dialect = Dialect { delimiter: self.delimiter_byte(), decimal: self.decimal };
        let again = Decoded::new(Vec::new(), source).after(Vec::new());
        self.with_source(Source::Text(Box::new(TextSource::going_on(again, dialect, line))))
    }

    /// The same table for records that are given to it, one at a time.
    pub(in crate::input) fn for_given(&self) -> Table<std::io::Empty> {
        self.with_source(Source::Given(Box::new(Given::new(self.delimiter_byte()))))
    }

    fn with_source<S: Read>(&self, source: Source<S>) -> Table<S> {
        Table {
            file: self.file.clone(),
            source,
            columns: self.columns,
            decimal: self.decimal,
            delimiter: self.delimiter,
            header: self.header.clone(),
            record: ByteRecord::new(),
            ended: false,
            not_utf8: None,
        }
    }

    /// Gives a record, without its line end, to a table that is [for given ones](Self::for_given);
    /// whether anything is in it.
    pub(in crate::input) fn give(&mut self, raw: &[u8], line: usize) -> bool {
        if let Source::Given(given) = &mut self.source {
            given.take((raw, line), &mut self.record);
        }
        !self.record.iter().all(is_blank)
    }

    /// The byte between cells.
    pub(in crate::input) fn delimiter_byte(&self) -> u8 {
        u8::try_from(self.delimiter).unwrap_or(b',')
    }

    /// The decimal mark that is usual in the file.
    pub(in crate::input) const fn decimal_mark(&self) -> u8 {
        match self.decimal {
            Decimal::Point | Decimal::MostlyPoint => b'.',
            Decimal::MostlyComma => b',',
        }
    }

    /// How many bytes of text, line ends counted as one, and how many lines lie before the next record.
    pub(in crate::input) fn passed(&self) -> Option<(usize, usize)> {
        match &self.source {
            Source::Text(text) => text.passed(),
            Source::Sheet(_) | Source::Given(_) => None,
        }
    }

    /// Of each heading our column, if it is one, and whether it names a unit.
    pub(in crate::input) fn headings(&self) -> impl Iterator<Item = (Option<&str>, bool)> {
        self.header.headings.iter().map(|h| (h.column.as_deref(), h.unit.is_some()))
    }

    /// The first line that was read as Windows-1252.
    pub(in crate::input) const fn first_not_utf8(&self) -> Option<usize> {
        self.not_utf8
    }

    /// The first line that was read as Windows-1252 since this was asked last.
    pub(in crate::input) const fn take_not_utf8(&mut self) -> Option<usize> {
        self.not_utf8.take()
    }

    /// Notes that a line was read as Windows-1252 by another reader of the same file.
    pub(in crate::input) fn note_not_utf8(&mut self, line: usize) {
        self.not_utf8 = Some(self.not_utf8.map_or(line, |first| first.min(line)));
    }
}
