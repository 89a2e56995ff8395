//! The same table in every encoding and dialect gives the same model.

use super::*;

/// The cells of the sample, remarks left out.
fn cells() -> Vec<Vec<String>> {
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).has_headers(false).from_reader(PARTS.as_bytes());
    reader.records().map(|record| record.unwrap().iter().map(str::to_owned).collect()).collect()
}

/// The cells written with a delimiter, decimals with a mark, and a line end.
fn written(delimiter: u8, mark: char, end: csv::Terminator) -> String {
    let mut writer = csv::WriterBuilder::new().delimiter(delimiter).terminator(end).from_writer(Vec::new());
    for row in cells() {
        writer.write_record(row.iter().map(|cell| decimals(cell, mark))).unwrap();
    }
    String::from_utf8(writer.into_inner().unwrap()).unwrap()
}

/// Points between or before digits as the mark.
fn decimals(cell: &str, mark: char) -> String {
    let chars: Vec<char> = cell.chars().collect();
    let digit = |at: Option<usize>| at.and_then(|at| chars.get(at)).is_some_and(char::is_ascii_digit);
    let swap = |at: usize, c: char| if c == '.' && digit(Some(at + 1)) { mark } else { c };
    chars.iter().enumerate().map(|(at, c)| swap(at, *c)).collect()
}

fn utf16(text: &str, big: bool) -> Vec<u8> {
    let units = std::iter::once(0xfeff).chain(text.encode_utf16());
    units.flat_map(|u: u16| if big { u.to_be_bytes() } else { u.to_le_bytes() }).collect()
}

/// Windows-1252 has no Ω; the word stands for it, as people write it there.
fn windows_1252(text: &str) -> Vec<u8> {
    let text = text.replace('Ω', "ohm");
    text.chars().map(|c| u8::try_from(u32::from(c)).unwrap()).collect()
}

fn parts_of(name: &str, bytes: &[u8]) -> Vec<crate::model::part::Part> {
    let read = job_of(CHASSIS, name, bytes).unwrap_or_else(|faults| panic!("{faults}"));
    // Lines differ where remarks are left out; the marking as written differs by the mark itself.
    let plain =
        |text: &str| text.replace(',', ".").replace("ohm", "Ω").replace('\u{3bc}', "µ").replace('\u{2126}', "Ω");
    read.value
        .parts
        .into_iter()
        .map(|part| crate::model::part::Part { line: 0, marked: plain(&part.marked), ..part })
        .collect()
}

#[test]
fn every_dialect_gives_the_same_model() {
    use csv::Terminator::{Any, CRLF};
    let expected = parts_of("parts.csv", PARTS.as_bytes());
    assert_eq!(expected.len(), 8);
    let (comma, semicolon) = (written(b',', '.', Any(b'\n')), written(b';', ',', CRLF));
    let shouting =
        comma.replacen("esr_ohm,esr_hz", "ESR Ohm,\u{a0}Esr-Hz ", 1).replacen("ref,part", "\"REF\", Part", 1);
    let dialects: Vec<(&str, Vec<u8>)> = vec![
        ("UTF-8", comma.clone().into_bytes()),
        ("UTF-8 with mark, CR LF", [b"\xef\xbb\xbf", written(b',', '.', CRLF).as_bytes()].concat()),
        ("CR alone", written(b',', '.', Any(b'\r')).into_bytes()),
        ("semicolon, decimal comma", semicolon.clone().into_bytes()),
        ("semicolon, decimal point", written(b';', '.', CRLF).into_bytes()),
        ("tab, decimal comma", written(b'\t', ',', CRLF).into_bytes()),
        ("UTF-16 LE, tab", utf16(&written(b'\t', ',', CRLF), false)),
        ("UTF-16 BE, semicolon", utf16(&semicolon, true)),
        ("Windows-1252, semicolon", windows_1252(&semicolon)),
        ("Windows-1252, comma", windows_1252(&comma)),
        ("sep= line", format!("sep=;\r\n{semicolon}").into_bytes()),
        ("headings in any case", shouting.into_bytes()),
        ("Greek mu and ohm sign", comma.replace('µ', "\u{3bc}").replace('Ω', "\u{2126}").into_bytes()),
        ("trailing empty columns", comma.replace("note\n", "note,,\n").replace("KT66,", "KT66,,,").into_bytes()),
        ("ctrl-Z at the end", [comma.as_bytes(), b"\x1a"].concat()),
    ];
    for (name, bytes) in dialects {
        assert_eq!(parts_of("parts.csv", &bytes), expected, "{name}");
    }
}

/// Windows-1252 is said in a note, with the first line that needs it.
#[test]
fn an_encoding_that_was_guessed_is_noted() {
    let read = job_of(CHASSIS, "parts.csv", &windows_1252(&written(b',', '.', csv::Terminator::CRLF))).unwrap();
    assert_eq!(read.notes, ["parts.csv: line 2 is not UTF-8: read as Windows-1252"]);
    assert!(job_of(CHASSIS, "parts.csv", PARTS.as_bytes()).unwrap().notes.is_empty());
}

#[cfg(feature = "xlsx")]
#[test]
fn spreadsheets_give_the_same_model() {
    let mut book = rust_xlsxwriter::Workbook::new();
    let sheet = book.add_worksheet();
    for (row, cells) in (0..).zip(cells()) {
        for (column, cell) in (0..).zip(cells) {
            match cell.parse::<f64>() {
                Ok(number) => sheet.write_number(row, column, number).unwrap(),
                Err(_) => sheet.write_string(row, column, &cell).unwrap(),
            };
        }
    }
    let bytes = book.save_to_buffer().unwrap();
    let expected = parts_of("parts.csv", PARTS.as_bytes());
    assert_eq!(parts_of("parts.xlsx", &bytes), expected);
    assert_eq!(parts_of("PARTS.ODS", include_bytes!("parts.ods")), expected);
}

#[cfg(feature = "xlsx")]
#[test]
fn faults_in_a_spreadsheet_name_row_and_column() {
    let mut book = rust_xlsxwriter::Workbook::new();
    let sheet = book.add_worksheet();
    for (row, cells) in [(1, ["ref", "part", "marked"]), (4, ["C1", "papre", "22uF"])] {
        for (column, cell) in (0..).zip(cells) {
            sheet.write_string(row, column, cell).unwrap();
        }
    }
    let faults = job_of(CHASSIS, "parts.xlsx", &book.save_to_buffer().unwrap()).unwrap_err();
    let fault = faults.iter().find(|fault| fault.file == "parts.xlsx").unwrap();
    assert_eq!((fault.line, fault.column, fault.text.as_str(), fault.caret), (5, 2, "C1 | papre | 22uF", 5));
}
