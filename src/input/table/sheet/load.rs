//! Loading the first sheet through calamine.

use std::io::{Cursor, Read};

use calamine::{Data, Ods, Reader, Xlsx};

use super::SheetSource;
use crate::input::fault::{Fault, FaultKind};
use crate::input::sniff::{FileKind, file_kind, not_text, unreadable};

/// Largest spreadsheet file.
const MOST_BYTES: u64 = 64 * 1024 * 1024;
/// Most text of one sheet, a guard against archives that unpack to no end.
const MOST_TEXT: usize = 256 * 1024 * 1024;
/// Most columns of a sheet that are looked at.
const MOST_COLUMNS: usize = 1_000;

impl SheetSource {
    /// Reads the first sheet.
    pub(in crate::input::table) fn open<R: Read>(file: &str, source: &mut R) -> Result<Self, Box<Fault>> {
        let mut bytes = Vec::new();
        let read = source.take(MOST_BYTES + 1).read_to_end(&mut bytes);
        read.map_err(|error| Box::new(unreadable(file, error.kind())))?;
        if bytes.len() as u64 > MOST_BYTES {
            return Err(broken(file, "the spreadsheet is larger than 64 MB"));
        }
        match file_kind(&bytes) {
            FileKind::Zip => {}
            FileKind::Text | FileKind::Utf16Little | FileKind::Utf16Big => {
                let message = "the file is text, not a spreadsheet";
                return Err(Box::new(Fault::of_file(file, FaultKind::WrongKind, message, "name it .csv")));
            }
            _ => {
                return Err(
                    not_text(file, &bytes).map_or_else(|| broken(file, "the file is not a spreadsheet"), Box::new)
                );
            }
        }
        let is_xlsx = file.len() >= 5 && file.to_lowercase().ends_with(".xlsx");
        let loaded = if is_xlsx { xlsx(bytes) } else { ods(bytes) };
        loaded.map_err(|why| broken(file, &why))
    }

    /// Adds a cell at its place, with empty ones before it where some are left out.
    fn place(&mut self, row: usize, column: usize, text: &str) -> Result<(), String> {
        if column >= MOST_COLUMNS || text.is_empty() {
            return Ok(());
        }
        if self.rows.last().is_none_or(|(number, _)| *number != row) {
            self.begin_row(row);
        }
        let first = self.rows.last().map_or(0, |(_, first)| *first);
        while self.ends.len() - first < column {
            self.push_cell("");
        }
        self.push_cell(text);
        if self.bytes.len() + self.ends.len() > MOST_TEXT {
            return Err("the sheet unpacks to more than 256 MB".to_owned());
        }
        Ok(())
    }
}

/// The fault of a spreadsheet that cannot be read.
fn broken(file: &str, why: &str) -> Box<Fault> {
    Box::new(Fault::of_file(file, FaultKind::WrongKind, why, "save it again, or save the sheet as CSV"))
}

/// The first sheet of an xlsx file, cell by cell so that only its text is held.
fn xlsx(bytes: Vec<u8>) -> Result<SheetSource, String> {
    let mut book: Xlsx<_> = Xlsx::new(Cursor::new(bytes)).map_err(|e| says(&e))?;
    let first = book.sheet_names().into_iter().next().ok_or("the spreadsheet has no sheet")?;
    let mut cells = book.worksheet_cells_reader(&first).map_err(|e| says(&e))?;
    let mut sheet = SheetSource::default();
    while let Some(cell) = cells.next_cell().map_err(|e| says(&e))? {
        let (row, column) = cell.get_position();
        let text = shown(&Data::from(cell.get_value().clone()));
        sheet.place(row as usize + 1, column as usize, &text)?;
    }
    Ok(sheet)
}

/// The first sheet of an ods file.
fn ods(bytes: Vec<u8>) -> Result<SheetSource, String> {
    let mut book: Ods<_> = Ods::new(Cursor::new(bytes)).map_err(|e| says(&e))?;
    let range = book.worksheet_range_at(0).ok_or("the spreadsheet has no sheet")?.map_err(|e| says(&e))?;
    let (top, left) = range.start().unwrap_or((0, 0));
    let mut sheet = SheetSource::default();
    for (row, column, value) in range.used_cells() {
        sheet.place(top as usize + row + 1, left as usize + column, &shown(value))?;
    }
    Ok(sheet)
}

/// An error of the spreadsheet's reader in our words.
fn says(error: &impl std::fmt::Display) -> String {
    format!("the spreadsheet cannot be read ({})", error.to_string().to_lowercase())
}

/// A cell's value as it would be written in a CSV file with decimal points.
fn shown(value: &Data) -> String {
    match value {
        Data::Empty => String::new(),
        Data::String(text) => text.clone(),
        Data::Float(number) => fifteen_digits(*number),
        Data::Bool(answer) => if *answer { "yes" } else { "no" }.to_owned(),
        Data::DateTime(date) if date.is_datetime() => {
            let (year, month, day, ..) = date.to_ymd_hms_milli();
            format!("{year:04}-{month:02}-{day:02}")
        }
        other => other.to_string(),
    }
}

/// A number rounded to the fifteen digits that a spreadsheet keeps.
fn fifteen_digits(number: f64) -> String {
    let rounded: f64 = format!("{number:.14e}").parse().unwrap_or(number);
    format!("{rounded}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_lose_their_noise() {
        assert_eq!(fifteen_digits(0.1 + 0.2), "0.3");
        assert_eq!(fifteen_digits(7.000_000_000_000_001), "7");
        assert_eq!(fifteen_digits(450.0), "450");
    }
}
