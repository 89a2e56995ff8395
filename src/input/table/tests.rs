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
    let bytes = b"ref,part,marked\nC1,film,22uF,,\nC2,film,2,2\n".as_slice();
    let mut table = Table::open("x.csv", bytes, Columns::plain(PARTS), None).unwrap();
    assert!(table.advance().unwrap());
    assert!(!table.row().is_faulty());
    assert!(table.advance().unwrap());
    let faults = table.row().into_faults();
    assert_eq!((faults[0].kind, faults[0].line, faults[0].column), (FaultKind::ExtraCells, 3, 11));
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
