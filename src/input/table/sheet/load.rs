//! Loading the first sheet through calamine.

use std::io::{Cursor, Read};
use std::panic::{AssertUnwindSafe, catch_unwind};

use calamine::{Data, Ods, Reader, Xlsx};

use super::SheetSource;
use super::archive::{Entry, Trouble, pack, unpack};
use super::vet;
use crate::input::fault::{Fault, FaultKind};
use crate::input::sniff::{FileKind, file_kind, not_text, unreadable};

/// Largest spreadsheet file.
const MOST_BYTES: u64 = 64 * 1024 * 1024;
/// Most that the archive may unpack to: ten times a price list of 50 000 lines.
const MOST_UNPACKED: usize = 192 * 1024 * 1024;
/// Most text of one sheet; cells may refer to one text many times.
const MOST_TEXT: usize = 64 * 1024 * 1024;
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
        let loaded =
            harmless(&bytes, is_xlsx).and_then(|bytes| drop_panics(|| if is_xlsx { xlsx(bytes) } else { ods(bytes) }));
        loaded.map_err(|why| broken(file, &why))
    }

    /// Adds a cell at its place, with empty ones before it where some are left out.
    fn place(&mut self, row: usize, column: usize, text: &str) -> Result<(), String> {
        if column >= MOST_COLUMNS || text.is_empty() {
            return Ok(());
        }
        if self.rows.last().is_none_or(|(number, _)| *number < row) {
            self.begin_row(row);
        }
        let (last, first) = self.rows.last().copied().unwrap_or_default();
        if last != row || self.ends.len() - first > column {
            return Err("the cells of the sheet are out of order".to_owned());
        }
        while self.ends.len() - first < column {
            self.push_cell("");
        }
        self.push_cell(text);
        if self.bytes.len() + self.ends.len() * size_of::<usize>() > MOST_TEXT {
            return Err("the sheet holds more than 64 MB of text".to_owned());
        }
        Ok(())
    }
}

/// The fault of a spreadsheet that cannot be read.
fn broken(file: &str, why: &str) -> Box<Fault> {
    Box::new(Fault::of_file(file, FaultKind::WrongKind, why, "save it again, or save the sheet as CSV"))
}

/// The parts of the archive that its reader looks at, looked through and packed anew.
fn harmless(bytes: &[u8], is_xlsx: bool) -> Result<Vec<u8>, String> {
    // Pictures, drawings and what is kept for printing or pivoting are not read.
    let wanted = |name: &str| {
        let path = name.to_lowercase();
        let xml = path.rsplit_once('.').is_some_and(|(_, end)| matches!(end, "xml" | "rels"));
        let aside = ["drawings", "media", "printersettings", "pivotcache", "externallinks", "customxml", "charts"];
        if is_xlsx {
            xml && !aside.iter().any(|folder| path.contains(&format!("/{folder}")))
        } else {
            matches!(name, "mimetype" | "META-INF/manifest.xml" | "content.xml")
        }
    };
    let mut entries: Vec<Entry> = unpack(bytes, wanted, MOST_UNPACKED).map_err(|trouble| match trouble {
        Trouble::Broken => "the spreadsheet cannot be read (its archive is broken)".to_owned(),
        Trouble::TooLarge => "the spreadsheet unpacks to more than 192 MB".to_owned(),
        Trouble::Locked => "the spreadsheet is locked with a password".to_owned(),
    })?;
    for entry in &mut entries {
        let looked = match entry.name.as_str() {
            "mimetype" => Ok(()),
            "content.xml" if !is_xlsx => vet::open_document(&entry.bytes),
            _ => vet::workbook_part(&mut entry.bytes),
        };
        looked.map_err(|why| format!("the spreadsheet cannot be read ({why})"))?;
    }
    Ok(pack(entries))
}

thread_local! {
    static CAUGHT: std::cell::Cell<bool> = const { std::cell::Cell::new(false) };
}

/// Whether a panic of this thread would be caught here: then it is a fault of a file, and a hook
/// that tells of panics has nothing to tell.
pub(in crate::input::table) fn panics_are_caught() -> bool {
    CAUGHT.get()
}

/// Runs the spreadsheets' reader. It is not ours and slices and counts by what a file says in many
/// places, so a hostile file that passes what we look at can still make it panic; that is caught,
/// since the alternative would be to bring all of its reading into this crate.
fn drop_panics<T>(read: impl FnOnce() -> Result<T, String>) -> Result<T, String> {
    CAUGHT.set(true);
    // Nothing of the reader outlives this, so nothing can be seen half-changed.
    let done = catch_unwind(AssertUnwindSafe(read));
    CAUGHT.set(false);
    done.unwrap_or_else(|_panic| Err("the spreadsheet cannot be read (its reader gave up)".to_owned()))
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
mod tests;
