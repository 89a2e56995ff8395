//! The table reader: any dialect of a table to rows of cells with their places.
//!
//! A table is read as a stream. One record is held at a time, as raw bytes; a caller can look at
//! a few raw cells ([`Table::raw`]) and pass on before anything is decoded, and only rows that it
//! wants become a [`Row`], which reads cells as typed values and collects faults.

mod apart;
mod dialect;
mod given;
mod header;
mod lines;
mod parted;
mod row;
mod sheet;
mod split;
mod text_source;

use std::io::Read;

use csv::ByteRecord;

pub(super) use header::{numbered, plain_heading};
pub(super) use row::{Row, bounds_words, is_plain_text, is_unknown, money};
pub(super) use sheet::panics_are_caught;
pub(super) use text_source::is_doubtful;

use self::dialect::{Decimal, Dialect};
use self::given::Given;
use self::header::{Header, HeaderFault};
use self::sheet::SheetSource;
use self::split::split;
use self::text_source::{Stop, TextSource};
use super::bounds::Field;
use super::columns_map::ColumnMap;
use super::decode::{Decoded, head_of, text_of};
use super::escape::{quoted, shortened};
use super::fault::{Fault, FaultKind, Faults};
use super::sniff::{is_spreadsheet_name, not_text, unreadable};

/// Bytes looked at to tell the dialect.
pub(super) const SAMPLE: u64 = 64 * 1024;

/// The columns that a file may have.
#[derive(Debug, Clone, Copy)]
pub(super) struct Columns {
    first: &'static [Field],
    more: &'static [Field],
    /// Columns that are needed in general but not in this file.
    not_needed: &'static [&'static str],
    /// Whether `price10` and `qty10` are columns too.
    priced: bool,
}

impl Columns {
    /// The columns of a plain table.
    pub(super) const fn plain(fields: &'static [Field]) -> Self {
        Self { first: fields, more: &[], not_needed: &[], priced: false }
    }

    /// The columns of a catalog file.
    pub(super) const fn catalog(fields: &'static [Field]) -> Self {
        Self { first: fields, more: &[], not_needed: &[], priced: true }
    }

    /// The columns of the shelf: a catalog's and its own.
    pub(super) const fn shelf(fields: &'static [Field], own: &'static [Field]) -> Self {
        Self { first: fields, more: own, not_needed: &["supplier", "prices"], priced: false }
    }

    fn sets(self) -> [&'static [Field]; 2] {
        [self.first, self.more]
    }

    fn fields(self) -> impl Iterator<Item = &'static Field> {
        self.first.iter().chain(self.more)
    }

    fn needs(self, field: &Field) -> bool {
        field.needed && !self.not_needed.contains(&field.name)
    }

    pub(super) fn accepts(self, column: &str) -> bool {
        let priced = || numbered(column, "price").or_else(|| numbered(column, "qty")).is_some();
        self.fields().any(|field| field.name == column) || (self.priced && priced())
    }
}

/// Where records come from.
enum Source<R: Read> {
    Text(Box<TextSource<R>>),
    Sheet(SheetSource),
    Given(Box<Given>),
}

/// A table being read.
pub(super) struct Table<R: Read> {
    file: String,
    source: Source<R>,
    columns: Columns,
    decimal: Decimal,
    delimiter: char,
    header: Header,
    record: ByteRecord,
    ended: bool,
    /// Line of the first record that is not UTF-8.
    not_utf8: Option<usize>,
}

impl<R: Read> Table<R> {
    /// Reads up to and including the headings. `file` is for messages and for telling a
    /// spreadsheet (`.xlsx`, `.ods`) from text.
    ///
    /// # Errors
    /// A file of the wrong kind, an empty one, or headings that are missing or given twice.
    pub(super) fn open(file: &str, mut source: R, columns: Columns, map: Option<&ColumnMap>) -> Result<Self, Faults> {
        let cannot = |error: std::io::Error| Faults::one(unreadable(file, error.kind()));
        let (source, dialect) = if is_spreadsheet_name(file) {
            let sheet = SheetSource::open(file, &mut source).map_err(|fault| Faults::one(*fault))?;
            (Source::Sheet(sheet), Dialect::SHEET)
        } else {
            let head = head_of(&mut source, SAMPLE).map_err(cannot)?;
            if let Some(fault) = not_text(file, &head) {
                return Err(Faults::one(fault));
            }
            let mut decoded = Decoded::new(head, source);
            let sample = head_of(&mut decoded, SAMPLE).map_err(cannot)?;
            let dialect = Dialect::of(&sample);
            (Source::Text(Box::new(TextSource::new(decoded.after(sample), dialect))), dialect)
        };
        let mut table = Self {
            file: file.to_owned(),
            source,
            columns,
            decimal: dialect.decimal,
            delimiter: char::from(dialect.delimiter),
            header: Header::default(),
            record: ByteRecord::new(),
            ended: false,
            not_utf8: None,
        };
        table.read_header(map)?;
        Ok(table)
    }

    /// Reads the headings, past a line `sep=;`.
    fn read_header(&mut self, map: Option<&ColumnMap>) -> Result<(), Faults> {
        loop {
            if !self.advance().map_err(|fault| Faults::one(*fault))? {
                let help = "write the headings in the first line";
                return Err(Faults::one(Fault::of_file(
                    &self.file,
                    FaultKind::EmptyFile,
                    "no line of headings found",
                    help,
                )));
            }
            if !self.record.get(0).is_some_and(|cell| cell.eq_ignore_ascii_case(b"sep=")) {
                break;
            }
        }
        let cells: Vec<String> = self.record.iter().map(|cell| text_of(cell).0).collect();
        self.header = Header::new(cells.iter().map(String::as_str), self.columns, map);
        let faults: Faults = self.header.faults(self.columns).into_iter().map(|f| self.header_fault(f)).collect();
        if faults.is_empty() { Ok(()) } else { Err(faults) }
    }

    fn header_fault(&self, fault: HeaderFault) -> Fault {
        match fault {
            HeaderFault::Twice { column, cell } => {
                let mut twice = self.fault_at(cell, FaultKind::TwiceField, format!("column '{column}' is given twice"));
                twice.field = Some(column);
                twice.help = Some("leave one of the two, or name the other differently".to_owned());
                twice
            }
            HeaderFault::Missing { column, meant } => {
                let mut missing =
                    self.fault_at(0, FaultKind::MissingField, format!("the needed column '{column}' is missing"));
                missing.help = Some(match meant {
                    Some(text) => format!("is it the column {}? then name it '{column}'", quoted(&text)),
                    None => self.missing_help(column),
                });
                missing
            }
        }
    }

    /// How to mend a needed column that is missing; a supplier's own headings are mapped, not renamed.
    fn missing_help(&self, column: &str) -> String {
        let own: Vec<&str> = self.header.unknown().collect();
        if own.is_empty() || !self.columns.priced {
            return format!("add a column '{column}'; cells that are not known may stay empty");
        }
        let name = self.file.rsplit(['/', '\\']).next().unwrap_or(&self.file);
        format!(
            "if the supplier names it otherwise ({}), write into shop.toml under [columns.\"{name}\"]: \"THEIR HEADING\" = \"{column}\"",
            shortened(&own.join(", "), 60)
        )
    }

    /// Reads the next record that has anything in it; `false` at the end.
    ///
    /// # Errors
    /// The fault after which nothing more can be read.
    pub(super) fn advance(&mut self) -> Result<bool, Box<Fault>> {
        while !self.ended {
            let more = match &mut self.source {
                Source::Text(text) => text.advance(&mut self.record),
                Source::Sheet(sheet) => Ok(sheet.advance(&mut self.record)),
                Source::Given(_) => Ok(false),
            };
            match more {
                Ok(true) if self.record.iter().all(is_blank) => {}
                Ok(true) => return Ok(true),
                Ok(false) => self.ended = true,
                Err(stop) => {
                    self.ended = true;
                    return Err(Box::new(self.stop_fault(&stop)));
                }
            }
        }
        Ok(false)
    }

    fn stop_fault(&self, stop: &Stop) -> Fault {
        match stop {
            Stop::OpenQuote(at) => {
                let (line, text) = self.record_text();
                Fault {
                    line,
                    column: at + 1,
                    caret: *at,
                    text,
                    ..Fault::of_file(
                        &self.file,
                        FaultKind::Quote,
                        "a quote is opened here and not closed",
                        "close it, or write the quote twice if it belongs to the text",
                    )
                }
            }
            Stop::Unreadable(kind) => unreadable(&self.file, *kind),
        }
    }

    /// The raw bytes of a column in the present record, for looking before reading; `None` where
    /// the file has no such column or the record is short.
    pub(super) fn raw(&self, column: ColumnPlace) -> Option<&[u8]> {
        self.record.get(column.0)
    }

    /// Where a column stands, for [`raw`](Self::raw).
    pub(super) fn place_of(&self, column: &str) -> Option<ColumnPlace> {
        self.header.cell_of(column).map(ColumnPlace)
    }

    /// The present record as a row of typed cells.
    pub(super) fn row(&mut self) -> Row<'_> {
        let mut wide = false;
        let cells: Vec<String> = self
            .record
            .iter()
            .map(|cell| {
                let (text, not_utf8) = text_of(cell);
                wide |= not_utf8;
                trimmed(&text).to_owned()
            })
            .collect();
        if wide && self.not_utf8.is_none() {
            self.not_utf8 = Some(self.line());
        }
        Row::new(self, cells)
    }

    /// The physical line where the present record begins.
    pub(super) fn line(&self) -> usize {
        match &self.source {
            Source::Text(text) => text.line(),
            Source::Sheet(sheet) => sheet.line(),
            Source::Given(given) => given.line,
        }
    }

    /// The line and the text of the present record.
    fn record_text(&self) -> (usize, String) {
        match &self.source {
            Source::Text(text) => (text.line(), text.raw_text()),
            Source::Sheet(sheet) => (sheet.line(), sheet::joined(&self.record)),
            Source::Given(given) => (given.line, given.raw_text()),
        }
    }

    /// The column of a cell as faults count it, and the character under which the caret stands.
    fn cell_place(&self, text: &str, cell: usize) -> (usize, usize) {
        match &self.source {
            Source::Text(_) | Source::Given(_) => {
                let at = split(text, self.delimiter).begins.get(cell).copied();
                let at = at.unwrap_or_else(|| text.chars().count());
                (at + 1, at)
            }
            Source::Sheet(_) => (cell + 1, sheet::caret(&self.record, cell)),
        }
    }

    /// A fault at a cell of the present record.
    fn fault_at(&self, cell: usize, kind: FaultKind, message: String) -> Fault {
        let (line, text) = self.record_text();
        let (column, caret) = self.cell_place(&text, cell);
        Fault { file: self.file.clone(), line, column, kind, message, field: None, got: None, help: None, text, caret }
    }

    /// Notes on the file as a whole, each beginning with its name: columns that are not used, and
    /// the first line that had to be read as Windows-1252.
    pub(super) fn notes(&self) -> Vec<String> {
        let mut notes: Vec<String> = self.header.note(self.columns).into_iter().collect();
        notes.extend(self.not_utf8.map(|line| format!("line {line} is not UTF-8: read as Windows-1252")));
        notes.into_iter().map(|note| format!("{}: {note}", self.file)).collect()
    }
}

/// Where a column stands in every record of a table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct ColumnPlace(usize);

/// A text without outer blanks, also those that are not seen.
fn trimmed(text: &str) -> &str {
    text.trim_matches(|c: char| c.is_whitespace() || matches!(c, '\u{feff}' | '\u{200b}' | '\u{ad}' | '\u{1a}'))
}

/// Whether a raw cell has nothing in it.
fn is_blank(cell: &[u8]) -> bool {
    cell.iter().all(|b| b.is_ascii_whitespace() || *b == 0x1a)
}

#[cfg(test)]
mod tests;
