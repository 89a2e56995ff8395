//! Spreadsheets that mean ill or are broken: each is a fault, within a bound of memory and time.

use super::*;

fn entry(name: &str, text: &str) -> Entry {
    Entry { name: name.to_owned(), bytes: text.as_bytes().to_vec() }
}

/// An `.xlsx` file of these texts and this sheet.
fn xlsx_of(texts: &str, sheet: &str) -> Vec<u8> {
    let main = "xmlns=\"http://schemas.openxmlformats.org/spreadsheetml/2006/main\"";
    let office = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";
    let package = "http://schemas.openxmlformats.org/package/2006/relationships";
    let relation = |kind: &str, target: &str| {
        format!(
            "<Relationships xmlns=\"{package}\"><Relationship Id=\"rId1\" Type=\"{office}/{kind}\" Target=\"{target}\"/></Relationships>"
        )
    };
    pack(vec![
        entry("[Content_Types].xml", "<Types/>"),
        entry("_rels/.rels", &relation("officeDocument", "xl/workbook.xml")),
        entry(
            "xl/workbook.xml",
            &format!(
                "<workbook {main} xmlns:r=\"{office}\"><sheets><sheet name=\"S\" sheetId=\"1\" r:id=\"rId1\"/></sheets></workbook>"
            ),
        ),
        entry("xl/_rels/workbook.xml.rels", &relation("worksheet", "worksheets/sheet1.xml")),
        entry("xl/sharedStrings.xml", &format!("<sst {main} uniqueCount=\"9999999999999\">{texts}</sst>")),
        entry("xl/worksheets/sheet1.xml", &format!("<worksheet {main}>{sheet}</worksheet>")),
    ])
}

/// An `.ods` file with these rows; `end` closes what is open.
fn ods_of(rows: &str, end: &str) -> Vec<u8> {
    let spaces =
        ["office", "table", "text"].map(|n| format!("xmlns:{n}=\"urn:oasis:names:tc:opendocument:xmlns:{n}:1.0\""));
    let content = format!(
        "<office:document-content {}><office:body><office:spreadsheet><table:table table:name=\"S\">{rows}{end}",
        spaces.join(" ")
    );
    pack(vec![
        entry("mimetype", "application/vnd.oasis.opendocument.spreadsheet"),
        entry("META-INF/manifest.xml", "<manifest:manifest/>"),
        entry("content.xml", &content),
    ])
}

const END: &str = "</table:table></office:spreadsheet></office:body></office:document-content>";

/// The rows as lines, or what is wrong.
fn rows(file: &str, bytes: &[u8]) -> Result<Vec<String>, String> {
    let mut source = SheetSource::open(file, &mut &*bytes).map_err(|fault| fault.message)?;
    let mut record = csv::ByteRecord::new();
    let mut lines = Vec::new();
    while source.advance(&mut record) {
        lines.push(format!("{} {}", source.line(), super::super::joined(&record)));
    }
    Ok(lines)
}

fn cell(text: &str) -> String {
    format!("<table:table-cell office:value-type=\"string\"><text:p>{text}</text:p></table:table-cell>")
}

#[test]
fn numbers_lose_their_noise() {
    assert_eq!(fifteen_digits(0.1 + 0.2), "0.3");
    assert_eq!(fifteen_digits(7.000_000_000_000_001), "7");
    assert_eq!(fifteen_digits(450.0), "450");
}

#[test]
fn a_count_of_texts_beyond_all_memory_sets_none_aside() {
    let sheet = "<sheetData><row r=\"1\"><c r=\"A1\" t=\"s\"><v>0</v></c><c r=\"C1\"><v>4.7</v></c></row></sheetData>";
    assert_eq!(rows("x.xlsx", &xlsx_of("<si><t>ref</t></si>", sheet)), Ok(vec!["1 ref |  | 4.7".to_owned()]));
}

#[test]
fn cells_out_of_order_are_told_and_not_put_elsewhere() {
    for cells in [
        "<row r=\"1\"><c r=\"B1\"><v>1</v></c><c r=\"A1\"><v>2</v></c></row>",
        "<row r=\"1\"><c r=\"A1\"><v>1</v></c><c r=\"A1\"><v>2</v></c></row>",
        "<row r=\"2\"><c r=\"A2\"><v>1</v></c></row><row r=\"1\"><c r=\"A1\"><v>2</v></c></row>",
    ] {
        let read = rows("x.xlsx", &xlsx_of("", &format!("<sheetData>{cells}</sheetData>")));
        assert_eq!(read, Err("the cells of the sheet are out of order".to_owned()), "{cells}");
    }
}

/// The reader of these files waits for ends that never come.
#[test]
fn an_open_document_that_breaks_off_is_told_and_not_waited_for() {
    let row = format!("<table:table-row>{}</table:table-row>", cell("ref"));
    assert_eq!(rows("x.ods", &ods_of(&row, END)), Ok(vec!["1 ref".to_owned()]));
    let note = row.replace("<text:p>", "<office:annotation><text:p>");
    let odd = ["\r\u{1}", " x", "x"].map(|tail| END.replace("</table:table>", &format!("</table:table{tail}>")));
    let [odd, behind, longer] = &odd;
    for (rows_of, end) in
        [(&row, ""), (&row, "</table:table>"), (&note, END), (&row, odd), (&row, behind), (&row, longer)]
    {
        let told = rows("x.ods", &ods_of(rows_of, end)).unwrap_err();
        assert!(told.starts_with("the spreadsheet cannot be read (its XML"), "{told}");
    }
}

#[test]
fn blanks_and_cells_beyond_all_reason_are_told() {
    let blanks = cell("a<text:s text:c=\"99999999999999\"/>b");
    let across = cell("a").replace("<table:table-cell", "<table:table-cell table:number-columns-repeated=\"99999999\"");
    let down = format!("<table:table-row table:number-rows-repeated=\"99999999\">{}</table:table-row>", cell("a"));
    for rows_of in [
        format!("<table:table-row>{blanks}</table:table-row>"),
        format!("<table:table-row>{across}</table:table-row>"),
        down,
    ] {
        assert!(rows("x.ods", &ods_of(&rows_of, END)).is_err(), "{rows_of}");
    }
}

/// The empty rest of a sheet, as spreadsheets write it, is nothing.
#[test]
fn a_sheet_filled_up_with_empty_cells_is_read() {
    let rest = "<table:table-cell table:number-columns-repeated=\"16383\"/>";
    let rows_of = format!(
        "<table:table-row>{}{rest}</table:table-row><table:table-row table:number-rows-repeated=\"7\">{rest}</table:table-row>\
         <table:table-row>{}{rest}</table:table-row><table:table-row table:number-rows-repeated=\"1048567\">{rest}</table:table-row>",
        cell("ref"),
        cell("C1")
    );
    assert_eq!(rows("x.ods", &ods_of(&rows_of, END)), Ok(vec!["1 ref".to_owned(), "9 C1".to_owned()]));
}

#[test]
fn a_panic_of_the_reader_is_a_fault_and_told_as_one() {
    assert_eq!(drop_panics(|| Ok::<_, String>(panics_are_caught())), Ok(true));
    let usual = std::panic::take_hook();
    std::panic::set_hook(Box::new(move |info| {
        if !panics_are_caught() {
            usual(info);
        }
    }));
    let read: Result<(), String> = drop_panics(|| panic!("on purpose"));
    assert_eq!(read, Err("the spreadsheet cannot be read (its reader gave up)".to_owned()));
    assert!(!panics_are_caught());
}
