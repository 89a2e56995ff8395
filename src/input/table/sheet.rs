//! The first sheet of an `.xlsx` or `.ods` file as records.

use csv::ByteRecord;

#[cfg(feature = "xlsx")]
mod archive;
#[cfg(feature = "xlsx")]
mod inflate;
#[cfg(feature = "xlsx")]
mod load;
#[cfg(feature = "xlsx")]
mod vet;

/// Whether a panic of this thread would be caught while a spreadsheet is being read.
pub(in crate::input) fn panics_are_caught() -> bool {
    #[cfg(feature = "xlsx")]
    return load::panics_are_caught();
    #[cfg(not(feature = "xlsx"))]
    false
}

/// The rows of a sheet, kept as bytes in one piece.
#[derive(Default)]
pub(super) struct SheetSource {
    bytes: Vec<u8>,
    /// Where each cell ends in `bytes`.
    ends: Vec<usize>,
    /// Of each row: its number in the sheet and how many cells end before it.
    rows: Vec<(usize, usize)>,
    next: usize,
}

impl SheetSource {
    /// Adds an empty row of this number, from 1.
    #[cfg(feature = "xlsx")]
    fn begin_row(&mut self, number: usize) {
        self.rows.push((number, self.ends.len()));
    }

    /// Adds a cell to the last row.
    #[cfg(feature = "xlsx")]
    fn push_cell(&mut self, text: &str) {
        self.bytes.extend_from_slice(text.as_bytes());
        self.ends.push(self.bytes.len());
    }

    /// Reads the next row that is no remark; `false` at the end.
    pub(super) fn advance(&mut self, record: &mut ByteRecord) -> bool {
        while let Some((_, from)) = self.rows.get(self.next).copied() {
            self.next += 1;
            let to = self.rows.get(self.next).map_or(self.ends.len(), |(_, from)| *from);
            record.clear();
            let mut begin = if from == 0 { 0 } else { self.ends.get(from - 1).copied().unwrap_or(0) };
            for end in self.ends.get(from..to).unwrap_or_default() {
                record.push_field(self.bytes.get(begin..*end).unwrap_or_default());
                begin = *end;
            }
            if !record.get(0).is_some_and(|cell| cell.starts_with(b"#")) {
                return true;
            }
        }
        false
    }

    /// The present row's number, from 1.
    pub(super) fn line(&self) -> usize {
        self.next.checked_sub(1).and_then(|row| self.rows.get(row)).map_or(1, |(number, _)| *number)
    }
}

#[cfg(not(feature = "xlsx"))]
impl SheetSource {
    /// Spreadsheets are not built in.
    pub(super) fn open<R: std::io::Read>(file: &str, _source: &mut R) -> Result<Self, Box<super::Fault>> {
        Err(Box::new(super::Fault::of_file(
            file,
            super::FaultKind::WrongKind,
            "spreadsheets are not read by this build",
            "save it as CSV, or build with the feature xlsx",
        )))
    }
}

/// What stands between the cells of a row in a fault.
const BETWEEN: &str = " | ";

/// A row as the text of a fault.
pub(super) fn joined(record: &ByteRecord) -> String {
    let cells: Vec<_> = record.iter().map(String::from_utf8_lossy).collect();
    cells.join(BETWEEN)
}

/// The character of [`joined`] at which a cell begins; the end of the text for one that the row does not have.
pub(super) fn caret(record: &ByteRecord, cell: usize) -> usize {
    let before = record.iter().take(cell);
    let begin: usize = before.map(|text| String::from_utf8_lossy(text).chars().count() + BETWEEN.len()).sum();
    if cell < record.len() { begin } else { begin.saturating_sub(BETWEEN.len()) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_caret_of_a_cell_that_a_short_row_lacks_stands_at_its_end() {
        let record = ByteRecord::from(vec!["C1", "22µF"]);
        assert_eq!(joined(&record), "C1 | 22µF");
        assert_eq!([0, 1, 2, 7].map(|cell| caret(&record, cell)), [0, 5, 9, 9]);
        assert_eq!(caret(&ByteRecord::new(), 3), 0);
    }
}
