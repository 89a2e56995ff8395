//! CSV: UTF-8, comma, one record a line, formulas made harmless.

use super::safe::for_spreadsheet;
use crate::documents::block::{Cell, Table};

/// Writes a table under a first remark line that says who wrote the file.
///
/// # Errors
/// Only what writing to memory can fail with.
pub fn write(made_by: &str, table: &Table) -> Result<String, csv::Error> {
    let mut writer = csv::WriterBuilder::new().terminator(csv::Terminator::Any(b'\n')).from_writer(Vec::new());
    writer.write_record(table.columns.iter().map(|c| c.head.as_str()))?;
    for row in table.rows.iter().chain(&table.total) {
        writer.write_record(row.iter().map(field))?;
    }
    let bytes = writer.into_inner().map_err(csv::IntoInnerError::into_error)?;
    Ok(format!("# {made_by}\n{}", String::from_utf8_lossy(&bytes)))
}

/// A cell as it stands in the file: numbers plain, text harmless.
fn field(cell: &Cell) -> String {
    match cell {
        Cell::Blank | Cell::Tick(_) | Cell::Fill => String::new(),
        Cell::Text(text) => for_spreadsheet(text),
        Cell::Number { shown, .. } | Cell::Money(shown) => shown.clone(),
    }
}
