//! Tables in every dialect.

use super::*;
use crate::input::bounds::{EQUIVALENTS, PARTS};

/// The cells that the parts table finds in the given columns, row by row.
fn cells(bytes: &[u8], columns: &[&str]) -> Vec<Vec<Option<String>>> {
    let mut table = Table::open("x.csv", bytes, Columns::plain(PARTS), None).unwrap();
    let mut rows = Vec::new();
    while table.advance().unwrap() {
        let row = table.row();
        rows.push(columns.iter().map(|column| row.text(column)).collect());
        assert!(!row.is_faulty());
    }
    rows
}

fn open_fault(bytes: &[u8]) -> Fault {
    let faults = Table::open("x.csv", bytes, Columns::plain(PARTS), None).map(|_| ()).unwrap_err();
    faults.iter().next().unwrap().clone()
}

#[test]
fn headings_only_is_a_valid_empty_table() {
    assert_eq!(cells(b"ref,part,marked\n", &["ref"]).len(), 0);
    assert_eq!(cells(b"ref,part,marked", &["ref"]).len(), 0);
    assert_eq!(cells(b"# a remark\n\nref,part,marked\r\n\r\n", &["ref"]).len(), 0);
}

#[test]
fn columns_in_any_order_and_unknown_ones_kept_aside() {
    let rows = cells(b"Marked,colour, PART ,Ref,,\n22uF,red,film,C1,,\n", &["ref", "part", "marked"]);
    assert_eq!(rows, [[Some("C1".into()), Some("film".into()), Some("22uF".into())]]);
    let table =
        Table::open("x.csv", b"ref,part,marked,raeds,colour\n".as_slice(), Columns::plain(PARTS), None).unwrap();
    assert_eq!(table.notes(), ["x.csv: columns not used: 'raeds' (the nearest known is 'reads'), 'colour'"]);
}

#[test]
fn what_is_not_known_is_none() {
    for unknown in ["", "-", "n/a", "N/A", "?", " \u{a0}", "\u{2014}"] {
        let text = format!("ref,part,marked,note\nC1,film,22uF,{unknown}\n");
        assert_eq!(cells(text.as_bytes(), &["note"]), [[None]], "{unknown}");
    }
    assert_eq!(cells(b"ref,part,marked,note\nC1,film\n", &["marked", "note"]), [[None, None]]);
}

#[test]
fn a_guard_against_formulas_is_taken_off() {
    let rows = cells(b"ref,part,marked,note\nC1,film,22uF,'=1+2\nC2,film,22uF,'tis\n", &["note"]);
    assert_eq!(rows, [[Some("=1+2".to_owned())], [Some("'tis".to_owned())]]);
}

#[test]
fn headings_that_are_missing_or_twice() {
    let missing = open_fault(b"reff,part,marked\n");
    assert_eq!((missing.kind, missing.line, missing.column), (FaultKind::MissingField, 1, 1));
    assert_eq!(missing.help.as_deref(), Some("is it the column 'reff'? then name it 'ref'"));
    let twice = open_fault(b"# x\nref,part,marked,Part\n");
    assert_eq!((twice.kind, twice.line, twice.column), (FaultKind::TwiceField, 2, 17));
    assert_eq!(open_fault(b"").kind, FaultKind::EmptyFile);
    assert_eq!(open_fault(b"\n\n# only a remark\n").kind, FaultKind::EmptyFile);
}

#[test]
fn more_cells_than_headings_is_a_fault_unless_they_are_empty() {
    let bytes = b"ref,part,marked\nC1,film,22uF,,\nC2,film,2uF,x\n".as_slice();
    let mut table = Table::open("x.csv", bytes, Columns::plain(PARTS), None).unwrap();
    assert!(table.advance().unwrap());
    assert!(!table.row().is_faulty());
    assert!(table.advance().unwrap());
    let faults = table.row().into_faults();
    assert_eq!((faults[0].kind, faults[0].line, faults[0].column), (FaultKind::ExtraCells, 3, 13));
}

/// The kind, column, message and text as read of each fault of the first row.
fn row_faults(text: &str) -> Vec<(FaultKind, usize, String, Option<String>)> {
    let mut table = Table::open("x.csv", text.as_bytes(), Columns::plain(PARTS), None).unwrap();
    assert!(table.advance().unwrap());
    let mut row = table.row();
    for column in ["rated_v", "watts", "esr_ohm", "esr_hz", "leakage_ma", "leakage_v", "leakage_min"] {
        let _ = row.number(column);
    }
    let _ = (row.words::<crate::model::kind::Sight>("sight"), row.word::<crate::model::kind::PartKind>("part"));
    row.into_faults().into_iter().map(|f| (f.kind, f.column, f.message, f.got)).collect()
}

#[test]
fn a_value_parted_by_its_decimal_comma_is_explained() {
    let comma = |column: usize, name: &str, got: &str| {
        let message = format!("{name} '{got}' has a decimal comma, which a comma file cannot have");
        (FaultKind::DecimalMark, column, message, Some(got.to_owned()))
    };
    let head = "ref,part,marked,rated_v,esr_ohm,esr_hz,sight";
    for (line, expected) in [
        ("C1,film,0,47uF,400,,,ok", vec![comma(9, "marked", "0,47uF")]),
        ("C1,film,47uF,400,0,3,120,ok", vec![comma(18, "esr_ohm", "0,3")]),
        // Two of them, and a trailing comma as spreadsheets leave it.
        ("C1,film,0,47uF,400,0,5,120,ok,", vec![comma(9, "marked", "0,47uF"), comma(20, "esr_ohm", "0,5")]),
        // The second may be 400.1 V or 1.5 ohm; the first is certain.
        ("C1,film,0,47uF,400,1,5,120,ok", vec![comma(9, "marked", "0,47uF")]),
        ("C1,film,4,7uF,400,,,ok,", vec![comma(9, "marked", "4,7uF")]),
        // The line has no more cells than headings, but 7uF is no voltage.
        ("C1,film,4,7uF,,,", vec![comma(9, "marked", "4,7uF")]),
    ] {
        assert_eq!(row_faults(&format!("{head}\n{line}\n")), expected, "{line}");
    }
}

#[test]
fn a_fault_before_a_parted_value_is_told_too() {
    let faults = row_faults("ref,part,marked,rated_v,sight\nC1,flim,0,47uF,400,ok\n");
    let kinds: Vec<FaultKind> = faults.iter().map(|f| f.0).collect();
    assert_eq!(kinds, [FaultKind::UnknownWord, FaultKind::DecimalMark]);
}

#[test]
fn what_may_be_several_things_is_not_called_a_decimal_comma() {
    for (text, kind) in [
        // 3.1 mA at 300 V, 3 mA at 1.3 kV and more.
        ("ref,part,marked,leakage_ma,leakage_v,leakage_min\nC1,film,1uF,3,1,300,5\n", FaultKind::ExtraCells),
        // In quotes the comma is not what parts them; a blank after it is no decimal.
        ("ref,part,marked\nC1,film,\"0\",\"47uF\"\n", FaultKind::ExtraCells),
        ("ref,part,marked\nC1,film,0, 47uF\n", FaultKind::ExtraCells),
        // One cell too many, but none that a comma could have parted.
        ("ref,part,marked,note\nC1,film,1uF,a,b\n", FaultKind::ExtraCells),
    ] {
        let faults = row_faults(text);
        assert_eq!(faults.iter().map(|f| f.0).collect::<Vec<_>>(), [kind], "{text}");
    }
    assert_eq!(row_faults("ref,part,marked,leakage_ma,leakage_v\nC1,film,1uF,3,300\n"), []);
}

#[test]
fn an_unclosed_quote_is_a_fault_and_not_a_swallowed_file() {
    let mut text = "designation,equivalent\n".to_owned();
    text.push_str("KT66,\"6L6GC\n");
    text.push_str(
        &"X,Y
"
        .repeat(100),
    );
    for end in ["", "\"\n"] {
        let text = format!("{text}{end}");
        let mut table = Table::open("e.csv", text.as_bytes(), Columns::plain(EQUIVALENTS), None).unwrap();
        let fault = table.advance().unwrap_err();
        assert_eq!((fault.kind, fault.line), (FaultKind::Quote, 2), "{end:?}");
        assert!(!table.advance().unwrap());
    }
}

#[test]
fn a_record_beyond_the_bound_is_a_fault() {
    let text = format!("designation,equivalent\nKT66,\"{}\n", "x".repeat(2_000_000));
    let mut table = Table::open("e.csv", text.as_bytes(), Columns::plain(EQUIVALENTS), None).unwrap();
    assert_eq!(table.advance().unwrap_err().kind, FaultKind::Quote);
}

proptest::proptest! {
    #[test]
    fn any_bytes_end_without_a_panic(bytes in proptest::collection::vec(proptest::num::u8::ANY, 0..400)) {
        for head in [b"".as_slice(), b"ref,part,marked\n", b"\xff\xfe", b"ref;part;marked\r\n\""] {
            let bytes = [head, &bytes].concat();
            if let Ok(mut table) = Table::open("x.csv", bytes.as_slice(), Columns::plain(PARTS), None) {
                while table.advance().unwrap_or(false) {
                    let mut row = table.row();
                    let _ = (row.number("rated_v"), row.words::<crate::model::kind::Sight>("sight"));
                    for fault in row.into_faults() {
                        let _ = fault.to_string();
                    }
                }
            }
        }
    }
}
