//! One record of a block as cells, without copying.

use super::seek::find;

/// Cells of a record that can be told apart; records with more are read the ordinary way.
pub(super) const MOST_CELLS: usize = 64;

/// The cells of a record.
pub(super) struct Record<'b> {
    bytes: &'b [u8],
    /// Where each cell ends, for as many as can be told apart.
    ends: [u32; MOST_CELLS],
    /// How many cells there are.
    pub(super) count: usize,
    /// A bit for each cell that stands between quotes.
    quoted: u64,
    /// A bit for each cell with quotes written twice.
    doubled: u64,
    /// Whether a cell must be read the ordinary way: text after its quotes, or too many cells.
    pub(super) odd: bool,
}

impl<'b> Record<'b> {
    /// Reads the record at the beginning of `bytes`, where records are whole; it ends in a line feed.
    pub(super) fn at(bytes: &'b [u8], delimiter: u8) -> Self {
        let mut record = Self { bytes, ends: [0; MOST_CELLS], count: 1, quoted: 0, doubled: 0, odd: false };
        let (mut quotes, mut cell, mut length) = (false, 0_usize, 0_u32);
        for byte in bytes {
            if *byte == b'\n' {
                break;
            }
            // Written for every byte, so that the end of a cell is no branch to be guessed.
            if let Some(end) = record.ends.get_mut(cell % MOST_CELLS) {
                *end = length;
            }
            cell += usize::from(*byte == delimiter);
            quotes |= *byte == b'"';
            length += 1;
        }
        if quotes {
            return Self::quoted(bytes, delimiter);
        }
        let length = length as usize;
        record.bytes = bytes.get(..length).unwrap_or_default();
        record.count = cell + 1;
        record.end(cell, length);
        record.odd = MOST_CELLS < record.count;
        record
    }

    /// A remark at the beginning of `bytes`, which is one line whatever is in it.
    pub(super) fn remark(bytes: &'b [u8]) -> Self {
        let line = bytes.get(..find(bytes, 0, b'\n').unwrap_or(bytes.len())).unwrap_or_default();
        Self { bytes: line, ends: [0; MOST_CELLS], count: 0, quoted: 0, doubled: 0, odd: true }
    }

    /// How many lines it takes.
    pub(super) fn lines(&self) -> usize {
        if self.quoted == 0 && !self.odd { 1 } else { self.bytes.split(|b| *b == b'\n').count() }
    }

    /// A record with quotes in it.
    fn quoted(bytes: &'b [u8], delimiter: u8) -> Self {
        let mut record = Self { bytes, ends: [0; MOST_CELLS], count: 0, quoted: 0, doubled: 0, odd: false };
        let mut at = 0;
        loop {
            let quoted = bytes.get(at) == Some(&b'"');
            if quoted {
                at = record.close(at + 1);
            }
            let rest = bytes.get(at..).unwrap_or_default();
            let length = rest.iter().position(|b| *b == delimiter || *b == b'\n').unwrap_or(rest.len());
            // Text after the quotes belongs to the cell.
            record.odd |= quoted && length > 0;
            at += length;
            if quoted && record.count < MOST_CELLS {
                record.quoted |= 1 << record.count;
            }
            record.end(record.count, at);
            record.count += 1;
            if bytes.get(at) != Some(&delimiter) {
                break;
            }
            at += 1;
        }
        record.bytes = bytes.get(..at).unwrap_or_default();
        record.odd |= MOST_CELLS < record.count;
        record
    }

    /// The place after the quote that closes a cell whose text begins at `from`.
    fn close(&mut self, mut from: usize) -> usize {
        loop {
            let Some(quote) = find(self.bytes, from, b'"') else { return self.bytes.len() };
            if self.bytes.get(quote + 1) != Some(&b'"') {
                return quote + 1;
            }
            if self.count < MOST_CELLS {
                self.doubled |= 1 << self.count;
            }
            from = quote + 2;
        }
    }

    fn end(&mut self, cell: usize, at: usize) {
        if let (Some(end), Ok(at)) = (self.ends.get_mut(cell), u32::try_from(at)) {
            *end = at;
        }
    }

    /// The record as it stands in the file, without its line end.
    pub(super) const fn raw(&self) -> &'b [u8] {
        self.bytes
    }

    /// Whether a cell has quotes written twice.
    pub(super) const fn is_doubled(&self, number: usize) -> bool {
        number < MOST_CELLS && self.doubled >> number & 1 == 1
    }

    /// The cells in which something is written, with their numbers; those within quotes without them.
    pub(super) fn written(&self) -> impl Iterator<Item = (usize, &'b [u8])> {
        let mut begin = 0_u32;
        let ends = self.ends.get(..self.count.min(MOST_CELLS)).unwrap_or_default();
        ends.iter().enumerate().filter_map(move |(number, end)| {
            let from = std::mem::replace(&mut begin, end + 1);
            (from != *end).then(|| (number, self.within(number, from, *end)))
        })
    }

    /// The bytes of a cell without its quotes; empty where the record is short.
    pub(super) fn cell(&self, number: usize) -> &'b [u8] {
        if self.count.min(MOST_CELLS) <= number {
            return &[];
        }
        let begin = number.checked_sub(1).and_then(|before| self.ends.get(before)).map_or(0, |end| end + 1);
        let end = self.ends.get(number).copied().unwrap_or(begin);
        self.within(number, begin, end)
    }

    fn within(&self, number: usize, begin: u32, end: u32) -> &'b [u8] {
        let cell = self.bytes.get(begin as usize..end as usize).unwrap_or_default();
        match (self.quoted >> number & 1, cell) {
            (1, [_, inner @ .., _]) => inner,
            _ => cell,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn cells(text: &str) -> (Vec<String>, usize, bool) {
        let record = Record::at(text.as_bytes(), b',');
        let cells = (0..record.count).map(|c| String::from_utf8_lossy(record.cell(c)).into_owned()).collect();
        (cells, record.raw().len(), record.odd)
    }

    #[test]
    fn cells_are_told_apart() {
        assert_eq!(cells("a,,b\nnext"), (vec!["a".into(), String::new(), "b".into()], 4, false));
        assert_eq!(cells("\"a,b\",\"c\nd\",\n"), (vec!["a,b".into(), "c\nd".into(), String::new()], 12, false));
        assert_eq!(cells("3\" dia,x\n"), (vec!["3\" dia".into(), "x".into()], 8, false));
        assert!(Record::at(b"\"a\"\"b\",c\n", b',').is_doubled(0));
        assert!(cells("\"a\"b,c\n").2 && cells(&format!("{}\n", ",".repeat(64))).2);
    }

    proptest! {
        // The record reader is the judge of where a record ends and of what stands in its cells.
        #[test]
        fn as_the_record_reader_has_it(text in "[ab,\"\n]{1,24}") {
            prop_assume!(!text.starts_with('\n'));
            let text = format!("{text}\nz\n");
            let mut reader = csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(text.as_bytes());
            let mut judge = csv::ByteRecord::new();
            prop_assert!(reader.read_byte_record(&mut judge).unwrap());
            // Blocks hold whole records: a quote that is not closed is not met with here.
            prop_assume!(reader.position().byte() < text.len() as u64);
            let record = Record::at(text.as_bytes(), b',');
            prop_assert_eq!(record.count, judge.len());
            prop_assert_eq!(record.raw().len() as u64 + 1, reader.position().byte());
            for cell in (0..record.count).filter(|_| !record.odd) {
                let text = String::from_utf8_lossy(record.cell(cell)).into_owned();
                let text = if record.is_doubled(cell) { text.replace("\"\"", "\"") } else { text };
                prop_assert_eq!(text.as_bytes(), judge.get(cell).unwrap());
            }
        }
    }
}
