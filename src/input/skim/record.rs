//! Where the cells of one record of a block stand.

use super::seek::find;

/// Cells of a record that can be told apart; records with more are read the ordinary way.
pub(super) const MOST_CELLS: usize = 64;

/// The cells of the record that was looked at last. Places are those of the block.
pub(super) struct Record {
    /// The stops before and after each cell: one more than there are cells.
    stops: [u32; MOST_CELLS + 1],
    /// How many cells there are.
    count: usize,
    /// Where the record begins, and where its line feed stands.
    begin: usize,
    end: usize,
    /// A bit for each cell with anything in it, quotes left out.
    written: u64,
    /// A bit for each cell that stands between quotes, and for each with quotes written twice.
    quoted: u64,
    doubled: u64,
    /// Whether a cell must be read the ordinary way: text after its quotes, or too many cells.
    odd: bool,
}

impl Record {
    /// No record yet.
    pub(super) const fn new() -> Self {
        let stops = [0; MOST_CELLS + 1];
        Self { stops, count: 0, begin: 0, end: 0, written: 0, quoted: 0, doubled: 0, odd: false }
    }

    /// Nothing known yet of the record that begins here.
    fn start(&mut self, begin: usize) {
        (self.begin, self.end, self.count) = (begin, begin, 0);
        (self.written, self.quoted, self.doubled, self.odd) = (0, 0, 0, false);
        if let Some(first) = self.stops.first_mut() {
            // The first cell begins after the byte before, also where there is none.
            *first = u32::try_from(begin).unwrap_or(u32::MAX).wrapping_sub(1);
        }
    }

    /// Takes the line that begins at `begin`, whose cells end at the stops; whether that could be done. `quotes` is
    /// whether there are any: then only cells that stand within quotes and have none inside are taken.
    pub(super) fn take(&mut self, block: &[u8], begin: usize, (stops, quotes): (&[u32], bool)) -> bool {
        self.start(begin);
        let (Some(end), Some(own)) = (stops.last(), self.stops.get_mut(1..=stops.len())) else { return false };
        own.copy_from_slice(stops);
        (self.count, self.end) = (stops.len(), *end as usize);
        // The first cell goes into the highest bit, and on from there.
        let mut written = 0_u64;
        for (before, after) in self.stops.iter().zip(stops) {
            written = written >> 1 | u64::from(before.wrapping_add(1) != *after) << (MOST_CELLS - 1);
        }
        self.written = written >> MOST_CELLS.saturating_sub(stops.len());
        !quotes || self.unquote(block)
    }

    /// Leaves out the quotes of every cell; whether there are none but around whole cells.
    fn unquote(&mut self, block: &[u8]) -> bool {
        for number in 0..self.count {
            match self.cell(block, number) {
                [b'"', inner @ .., b'"'] if !inner.contains(&b'"') => {
                    self.quoted |= 1 << number;
                    self.written &= !(u64::from(inner.is_empty()) << number);
                }
                plain if !plain.contains(&b'"') => {}
                _ => return false,
            }
        }
        true
    }

    /// Reads the record at `begin`, which may take several lines; it ends in a line feed.
    pub(super) fn scan(&mut self, block: &[u8], begin: usize, delimiter: u8) {
        self.start(begin);
        let mut at = begin;
        loop {
            let quoted = block.get(at) == Some(&b'"');
            if quoted {
                at = self.close(block, at + 1);
            }
            let rest = block.get(at..).unwrap_or_default();
            let length = memchr::memchr2(delimiter, b'\n', rest).unwrap_or(rest.len());
            // Text after the quotes belongs to the cell.
            self.odd |= quoted && length > 0;
            at += length;
            self.add(at, quoted);
            if block.get(at) != Some(&delimiter) {
                break;
            }
            at += 1;
        }
        self.end = at;
        self.odd |= MOST_CELLS < self.count;
    }

    /// The place after the quote that closes a cell whose text begins at `from`.
    fn close(&mut self, block: &[u8], mut from: usize) -> usize {
        loop {
            let Some(quote) = find(block, from, b'"') else { return block.len() };
            if block.get(quote + 1) != Some(&b'"') {
                return quote + 1;
            }
            if self.count < MOST_CELLS {
                self.doubled |= 1 << self.count;
            }
            from = quote + 2;
        }
    }

    /// Adds the cell that ends at a stop.
    fn add(&mut self, stop: usize, quoted: bool) {
        if self.count < MOST_CELLS
            && let (Some(slot), Ok(stop)) = (self.stops.get_mut(self.count + 1), u32::try_from(stop))
        {
            *slot = stop;
            self.quoted |= u64::from(quoted) << self.count;
            let (begin, end) = self.place_of_written(self.count);
            self.written |= u64::from(begin < end) << self.count;
        }
        self.count += 1;
    }

    /// Where its line feed stands.
    pub(super) const fn end(&self) -> usize {
        self.end
    }

    /// The record as it stands in the block, without its line end.
    pub(super) fn raw<'b>(&self, block: &'b [u8]) -> &'b [u8] {
        block.get(self.begin..self.end).unwrap_or_default()
    }

    /// Whether it must be read the ordinary way.
    pub(super) const fn is_odd(&self) -> bool {
        self.odd
    }

    /// A bit for each cell in which something is written.
    pub(super) const fn written(&self) -> u64 {
        self.written
    }

    /// A bit for each cell with quotes written twice.
    pub(super) const fn doubled(&self) -> u64 {
        self.doubled
    }

    /// Where a cell begins and ends that is one of those [written](Self::written).
    pub(super) fn place_of_written(&self, number: usize) -> (usize, usize) {
        let at = number % MOST_CELLS;
        let stop = |at: usize| self.stops.get(at).copied().unwrap_or_default();
        let quote = self.quoted >> at & 1;
        let begin = stop(at).wrapping_add(1) as usize + usize::from(quote == 1);
        let end = stop(at + 1) as usize;
        (begin, end.saturating_sub(usize::from(quote == 1)))
    }

    /// Where a cell begins and ends; nowhere where the record is short.
    pub(super) fn place(&self, number: usize) -> (usize, usize) {
        if number < self.count.min(MOST_CELLS) { self.place_of_written(number) } else { (0, 0) }
    }

    /// The bytes of a cell without its quotes; empty where the record is short.
    pub(super) fn cell<'b>(&self, block: &'b [u8], number: usize) -> &'b [u8] {
        let (begin, end) = self.place(number);
        block.get(begin..end).unwrap_or_default()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::input::skim::stops::Stops;
    use proptest::prelude::*;

    fn scanned(text: &str) -> Record {
        let mut record = Record::new();
        record.scan(text.as_bytes(), 0, b',');
        record
    }

    fn texts(record: &Record, text: &str) -> Vec<String> {
        (0..record.count).map(|c| String::from_utf8_lossy(record.cell(text.as_bytes(), c)).into_owned()).collect()
    }

    fn cells(text: &str) -> (Vec<String>, usize, bool) {
        let record = scanned(text);
        (texts(&record, text), record.end, record.odd)
    }

    #[test]
    fn cells_are_told_apart() {
        assert_eq!(cells("a,,b\nnext"), (vec!["a".into(), String::new(), "b".into()], 4, false));
        assert_eq!(cells("\"a,b\",\"c\nd\",\n"), (vec!["a,b".into(), "c\nd".into(), String::new()], 12, false));
        assert_eq!(cells("3\" dia,x\n"), (vec!["3\" dia".into(), "x".into()], 8, false));
        assert_eq!(scanned("\"a\"\"b\",c\n").doubled, 1);
        assert_eq!(scanned("a,\"\",c,\"d\"\n").written, 0b1101);
        assert!(cells("\"a\"b,c\n").2 && cells(&format!("{}\n", ",".repeat(64))).2);
    }

    #[test]
    fn quotes_around_whole_cells_need_no_scan() {
        for (text, taken) in [
            ("a,\"b\",\"\",c", true),
            ("\"a,b\",c", false),
            ("\"a\"\"b\",c", false),
            ("\"\"\"\",c", false),
            ("a,\"", false),
            ("3\" dia,c", false),
            ("\"a\"b,c", false),
            ("a, \"b\"", false),
        ] {
            let text = format!("{text}\n");
            let (mut stops, mut record) = (Stops::new(b','), Record::new());
            let stops = stops.of_line(text.as_bytes(), (0, text.len() - 1), 4);
            assert_eq!(record.take(text.as_bytes(), 0, (stops, true)), taken, "{text}");
        }
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
            let mut record = scanned(&text);
            for taken in [false, true] {
                if taken {
                    let (mut stops, first) = (Stops::new(b','), text.find('\n').unwrap());
                    let stops = stops.of_line(text.as_bytes(), (0, first), judge.len());
                    if !record.take(text.as_bytes(), 0, (stops, text[..first].contains('"'))) {
                        continue;
                    }
                }
                prop_assert_eq!(record.count, judge.len());
                prop_assert_eq!(record.end as u64 + 1, reader.position().byte());
                for cell in (0..record.count).filter(|_| !record.odd) {
                    let shown = String::from_utf8_lossy(record.cell(text.as_bytes(), cell)).into_owned();
                    let shown = if record.doubled >> cell & 1 == 1 { shown.replace("\"\"", "\"") } else { shown };
                    prop_assert_eq!(shown.as_bytes(), judge.get(cell).unwrap());
                    prop_assert_eq!(record.written >> cell & 1 == 1, !shown.is_empty());
                }
            }
        }
    }
}
