//! Records of a text table with their physical lines.

use std::io::Read;

use csv::ByteRecord;

use super::dialect::Dialect;
use super::lines::Lines;
use super::split::split;
use crate::input::decode::{Again, text_of};

/// Bytes read from the file at a time.
const BUFFER: usize = 256 * 1024;
/// Line breaks in one record beyond which a quote was surely not closed.
const MOST_BREAKS: u64 = 50;

/// Why no further record can be read.
#[derive(Debug)]
pub(super) enum Stop {
    /// A quote opened in the record that begins here is never closed; the character where.
    OpenQuote(usize),
    /// The file cannot be read on.
    Unreadable(std::io::ErrorKind),
}

/// Whether a record that spans several lines may hide a quote that is not closed.
pub(in crate::input) fn is_doubtful(raw: &[u8], delimiter: u8) -> bool {
    let text = text_of(raw).0;
    split(&text, char::from(delimiter)).open_quote.is_some() || MOST_BREAKS < text.matches('\n').count() as u64
}

/// The records of a text file.
pub(super) struct TextSource<R: Read> {
    reader: csv::Reader<Lines<Again<R>>>,
    delimiter: u8,
    /// Line where reading of the present record began; blank lines and remarks may lie before it.
    line_before: u64,
    end: u64,
    /// Lines of the file before the beginning of the source.
    lines_passed: usize,
}

impl<R: Read> TextSource<R> {
    pub(super) fn new(source: Again<R>, dialect: Dialect) -> Self {
        let reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .delimiter(dialect.delimiter)
            .comment(Some(b'#'))
            .buffer_capacity(BUFFER)
            .from_reader(Lines::new(source));
        Self { reader, delimiter: dialect.delimiter, line_before: 1, end: 0, lines_passed: 0 }
    }

    /// Records from a place within a file, on this line.
    pub(super) fn going_on(source: Again<R>, dialect: Dialect, line: usize) -> Self {
        Self { lines_passed: line.saturating_sub(1), ..Self::new(source, dialect) }
    }

    /// How many bytes, line ends counted as one, and lines lie before the next record.
    pub(super) fn passed(&self) -> Option<(usize, usize)> {
        let position = self.reader.position();
        let lines = usize::try_from(position.line()).ok()?.checked_sub(1)?;
        Some((usize::try_from(position.byte()).ok()?, self.lines_passed + lines))
    }

    /// Reads the next record; `false` at the end.
    pub(super) fn advance(&mut self, record: &mut ByteRecord) -> Result<bool, Stop> {
        let (begin, line) = (self.reader.position().byte(), self.reader.position().line());
        self.reader.get_mut().begin(begin);
        self.line_before = line;
        self.end = begin;
        let more = self.reader.read_byte_record(record);
        self.end = self.reader.position().byte();
        match more {
            Ok(false) => Ok(false),
            Ok(true) => self.check_quotes(line).map(|()| true),
            Err(error) => match error.into_kind() {
                csv::ErrorKind::Io(error) if error.kind() == std::io::ErrorKind::InvalidData => {
                    self.end = begin + 4096;
                    Err(Stop::OpenQuote(self.open_quote().unwrap_or(0)))
                }
                csv::ErrorKind::Io(error) => Err(Stop::Unreadable(error.kind())),
                _ => Err(Stop::Unreadable(std::io::ErrorKind::InvalidData)),
            },
        }
    }

    /// A record that spans many lines, or to the end of the file, may hide an open quote.
    fn check_quotes(&mut self, line: u64) -> Result<(), Stop> {
        let position = self.reader.position();
        let spans = position.line().saturating_sub(line);
        if spans <= 1 && !self.reader.get_ref().is_last(self.end) {
            return Ok(());
        }
        match self.open_quote() {
            Some(at) => Err(Stop::OpenQuote(at)),
            None if self.raw_text().matches('\n').count() as u64 > MOST_BREAKS => {
                let first = split(&self.raw_text(), char::from(self.delimiter)).begins.first().copied();
                Err(Stop::OpenQuote(first.unwrap_or(0)))
            }
            None => Ok(()),
        }
    }

    /// The character of a quote that the present record opens and does not close.
    fn open_quote(&self) -> Option<usize> {
        split(&self.raw_text(), char::from(self.delimiter)).open_quote
    }

    /// The present record's bytes, and how many lines of blanks and remarks lie before it.
    fn raw(&self) -> (&[u8], usize) {
        let mut raw = self.reader.get_ref().raw(self.end);
        let mut skipped = 0;
        while let [first @ (b'\n' | b'#'), ..] = raw {
            let end = if *first == b'\n' { Some(0) } else { raw.iter().position(|b| *b == b'\n') };
            let Some(end) = end else { break };
            raw = raw.get(end + 1..).unwrap_or_default();
            skipped += 1;
        }
        (raw.strip_suffix(b"\n").unwrap_or(raw), skipped)
    }

    /// The present record as it stands in the file.
    pub(super) fn raw_text(&self) -> String {
        text_of(self.raw().0).0
    }

    /// The physical line where the present record begins.
    pub(super) fn line(&self) -> usize {
        let line = usize::try_from(self.line_before).unwrap_or(usize::MAX);
        line.saturating_add(self.raw().1).saturating_add(self.lines_passed)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::input::decode::Decoded;

    fn again(text: &str) -> Again<&[u8]> {
        Decoded::new(Vec::new(), text.as_bytes()).after(Vec::new())
    }

    fn lines_of(text: &str) -> Vec<(usize, String)> {
        let dialect = Dialect::of(text.as_bytes());
        let mut source = TextSource::new(again(text), dialect);
        let mut record = ByteRecord::new();
        let mut lines = Vec::new();
        while source.advance(&mut record).unwrap() {
            lines.push((source.line(), source.raw_text()));
        }
        lines
    }

    #[test]
    fn physical_lines_whatever_the_line_ends() {
        let text = "a,b\n\n# remark\n1,\"x\ny\"\n\n\n2,3\n#\n4,5";
        for end in ["\n", "\r\n", "\r"] {
            let found = lines_of(&text.replace('\n', end));
            let lines: Vec<usize> = found.iter().map(|(line, _)| *line).collect();
            assert_eq!(lines, [1, 4, 8, 10], "{end:?}");
            assert_eq!(found[1].1, "1,\"x\ny\"");
            assert_eq!(found[3].1, "4,5");
        }
    }

    #[test]
    fn an_open_quote_stops_at_its_record() {
        let text = "a,b\n1,2\n3,\"x\n4,5\n6,7\n";
        let mut source = TextSource::new(again(text), Dialect::of(text.as_bytes()));
        let mut record = ByteRecord::new();
        assert!(source.advance(&mut record).unwrap());
        assert!(source.advance(&mut record).unwrap());
        assert!(matches!(source.advance(&mut record), Err(Stop::OpenQuote(2))));
        assert_eq!(source.line(), 3);
    }

    #[test]
    fn an_open_quote_on_the_last_line_is_found() {
        for text in ["a,b\n1,\"x\n", "a,b\n1,\"x"] {
            let mut source = TextSource::new(again(text), Dialect::of(text.as_bytes()));
            let mut record = ByteRecord::new();
            assert!(source.advance(&mut record).unwrap());
            assert!(matches!(source.advance(&mut record), Err(Stop::OpenQuote(2))), "{text:?}");
        }
    }
}
