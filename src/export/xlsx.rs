//! Spreadsheets: numbers as numbers, a frozen heading, fitting widths, totals as formulas.

use rust_xlsxwriter::{DocProperties, ExcelDateTime, Format, FormatAlign, Formula, Workbook, Worksheet, XlsxError};

use super::safe::for_terminal;
use crate::documents::block::{Align, Cell, Table};

/// One sheet of a workbook.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// Its name; shortened and cleaned to what a spreadsheet allows.
    pub name: String,
    /// Its table.
    pub table: Table,
}

/// The widest that a column gets, in characters; longer text wraps.
const WIDEST: usize = 48;
/// Where a spreadsheet's sheet name must end.
const LONGEST_NAME: usize = 31;

/// Writes a workbook with these sheets; the first says in its properties who wrote it.
///
/// The same tables give the same bytes: the date of making is fixed.
///
/// # Errors
/// More rows or columns than a spreadsheet can hold.
pub fn write(made_by: &str, sheets: &[Sheet]) -> Result<Vec<u8>, XlsxError> {
    let mut book = Workbook::new();
    let date = ExcelDateTime::from_ymd(2000, 1, 1)?;
    book.set_properties(&DocProperties::new().set_author("capjob").set_comment(made_by).set_creation_datetime(&date));
    let mut taken: Vec<String> = Vec::new();
    for sheet in sheets {
        let name = free_name(&sheet.name, &taken);
        taken.push(name.to_lowercase());
        let page = book.add_worksheet();
        page.set_name(&name)?;
        fill(page, &sheet.table)?;
    }
    book.save_to_buffer()
}

/// A name that a spreadsheet allows and that no other sheet has.
fn free_name(wanted: &str, taken: &[String]) -> String {
    let plain: String =
        wanted.chars().map(|c| if c.is_control() || "[]:*?/\\'".contains(c) { '-' } else { c }).collect();
    let plain = if plain.trim().is_empty() { "list".to_owned() } else { plain.trim().to_owned() };
    let cut = |room: usize| plain.chars().take(LONGEST_NAME.saturating_sub(room)).collect::<String>();
    let numbered = (2_u32..).map(|n| format!("{} {n}", cut(n.to_string().len() + 1)));
    std::iter::once(cut(0)).chain(numbered).find(|n| !taken.contains(&n.to_lowercase())).unwrap_or(plain)
}

fn fill(page: &mut Worksheet, table: &Table) -> Result<(), XlsxError> {
    let head = Format::new().set_bold().set_text_wrap().set_align(FormatAlign::Top);
    for (column, heading) in (0_u16..).zip(&table.columns) {
        let head =
            if heading.align == Align::Right { head.clone().set_align(FormatAlign::Right) } else { head.clone() };
        page.write_string_with_format(0, column, for_terminal(&heading.head), &head)?;
        page.set_column_width(column, width(table, usize::from(column)))?;
    }
    page.set_freeze_panes(1, 0)?;
    page.set_repeat_rows(0, 0)?;
    page.set_landscape().set_print_fit_to_pages(1, 0);
    let mut line = 1;
    for row in &table.rows {
        for (column, cell) in (0_u16..).zip(row) {
            put(page, (line, column), cell, false)?;
        }
        line += 1;
    }
    if let Some(total) = &table.total {
        for (column, cell) in (0_u16..).zip(total) {
            sum(page, (line, column), cell)?;
        }
    }
    Ok(())
}

/// One cell: numbers with the decimals that people see, text as text (never a formula, never a link).
fn put(page: &mut Worksheet, at: (u32, u16), cell: &Cell, bold: bool) -> Result<(), XlsxError> {
    let format = if bold { Format::new().set_bold() } else { Format::new() };
    match number_of(cell) {
        Some((value, shown)) => {
            page.write_number_with_format(at.0, at.1, value, &format.set_num_format(decimals(shown)))?;
        }
        None if matches!(cell, Cell::Blank | Cell::Fill) => {}
        None => {
            let format = format.set_text_wrap().set_align(FormatAlign::Top);
            page.write_string_with_format(at.0, at.1, for_terminal(cell.shown()), &format)?;
        }
    }
    Ok(())
}

/// A cell of the last row: the sum of the column above as a formula, with its result for readers that do not reckon.
fn sum(page: &mut Worksheet, at: (u32, u16), cell: &Cell) -> Result<(), XlsxError> {
    let Some((value, shown)) = number_of(cell).filter(|_| at.0 > 1) else { return put(page, at, cell, true) };
    let column = rust_xlsxwriter::column_number_to_name(at.1);
    let formula = Formula::new(format!("=SUM({column}2:{column}{})", at.0)).set_result(value.to_string());
    page.write_formula_with_format(at.0, at.1, formula, &Format::new().set_bold().set_num_format(decimals(shown)))?;
    Ok(())
}

fn number_of(cell: &Cell) -> Option<(f64, &str)> {
    match cell {
        Cell::Number { value, shown } => Some((*value, shown)),
        Cell::Money(shown) => shown.parse().ok().map(|value| (value, shown.as_str())),
        Cell::Blank | Cell::Text(_) | Cell::Tick(_) | Cell::Fill => None,
    }
}

/// A number format with as many decimals as the text shows.
fn decimals(shown: &str) -> String {
    let digits = shown.split_once('.').map_or(0, |(_, d)| d.bytes().take_while(u8::is_ascii_digit).count());
    if digits == 0 { "0".to_owned() } else { format!("0.{}", "0".repeat(digits)) }
}

/// Wide enough for the column's texts, within reason.
fn width(table: &Table, column: usize) -> f64 {
    let texts = table.rows.iter().chain(&table.total).filter_map(|r| r.get(column)).map(|c| c.shown().chars().count());
    let head = table.columns.get(column).map_or(0, |c| c.head.chars().count());
    let widest = texts.chain([head]).max().unwrap_or(0).clamp(6, WIDEST);
    f64::from(u32::try_from(widest).unwrap_or(0)) + 2.0
}

#[cfg(test)]
mod tests {
    use std::io::Cursor;

    use calamine::{Data, Reader as _, Xlsx};

    use super::*;
    use crate::documents::block::Column;
    use crate::money::Money;

    fn lines() -> Table {
        let amount = |text: &str| Cell::amount(Money::parse(text).unwrap(), 2);
        Table {
            columns: vec![Column::text("number"), Column::figures("line EUR")],
            rows: vec![vec![Cell::text("=HYPERLINK(\"x\")"), amount("0.0795")], vec![Cell::Blank, amount("4.95")]],
            total: Some(vec![Cell::text("total"), amount("5.0295")]),
        }
    }

    // Read back by another crate than the one that wrote it.
    #[test]
    fn numbers_are_numbers_and_totals_are_formulas() {
        let sheets = [Sheet { name: "Moor/End".to_owned(), table: lines() }];
        let bytes = write("written by capjob 1", &sheets).unwrap();
        assert_eq!(bytes, write("written by capjob 1", &sheets).unwrap());
        let mut book = Xlsx::new(Cursor::new(bytes)).unwrap();
        let page = book.worksheet_range("Moor-End").unwrap();
        assert_eq!(page.get((1, 0)), Some(&Data::String("=HYPERLINK(\"x\")".to_owned())));
        assert_eq!(page.get((1, 1)), Some(&Data::Float(0.0795)));
        let formulas = book.worksheet_formula("Moor-End").unwrap();
        assert_eq!(formulas.get_value((3, 1)).map(String::as_str), Some("SUM(B2:B3)"));
        assert_eq!(formulas.get_value((1, 0)).map(String::as_str).unwrap_or_default(), "");
    }

    #[test]
    fn sheet_names_are_legal_and_apart() {
        let taken = vec!["a".repeat(31)];
        assert_eq!(free_name(&"A".repeat(40), &taken), format!("{} 2", "A".repeat(29)));
        assert_eq!(free_name("'x:[y]'", &[]), "-x--y--");
        assert_eq!(free_name(" ", &[]), "list");
    }
}
