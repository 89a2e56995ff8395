//! Records that another reader has found, one at a time.

use std::io::Read;

use csv::ByteRecord;

/// The present record: its line and its text as it stands in the file.
pub(super) struct Given {
    pub(super) line: usize,
    reader: csv::Reader<Feed>,
}

/// The bytes of one record after the other; the record reader never comes to an end.
#[derive(Default)]
struct Feed {
    bytes: Vec<u8>,
    read: usize,
}

impl Read for Feed {
    fn read(&mut self, buffer: &mut [u8]) -> std::io::Result<usize> {
        let count = self.bytes.get(self.read..).unwrap_or_default().read(buffer)?;
        self.read += count;
        Ok(count)
    }
}

impl Given {
    /// A reader of records with this byte between their cells. Making one costs more than reading
    /// many a record, so that it is kept.
    pub(super) fn new(delimiter: u8) -> Self {
        let mut builder = csv::ReaderBuilder::new();
        builder.has_headers(false).flexible(true).delimiter(delimiter);
        Self { line: 0, reader: builder.from_reader(Feed::default()) }
    }

    /// Takes a whole record without its line end, and reads its cells.
    pub(super) fn take(&mut self, (raw, line): (&[u8], usize), record: &mut ByteRecord) {
        self.line = line;
        let feed = self.reader.get_mut();
        feed.read = 0;
        feed.bytes.clear();
        feed.bytes.extend_from_slice(raw);
        feed.bytes.push(b'\n');
        // Reading from memory cannot fail; a record that could not be read would be one without cells.
        if !matches!(self.reader.read_byte_record(record), Ok(true)) {
            record.clear();
        }
    }

    /// The record as it stands in the file.
    pub(super) fn raw_text(&self) -> String {
        let bytes = &self.reader.get_ref().bytes;
        crate::input::decode::text_of(bytes.strip_suffix(b"\n").unwrap_or(bytes)).0
    }
}
