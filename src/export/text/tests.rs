//! The text as it is set at several widths.

use super::*;
use crate::documents::block::{Cell, Column, Table};

const NARROW: Setting = Setting { width: Some(40), colour: false };
const PIPE: Setting = Setting { width: None, colour: false };

#[test]
fn figures_stay_with_their_units() {
    let blocks = [Block::Text("the highest voltage that can be there is 548 V and more".to_owned())];
    let text = write(&blocks, NARROW);
    assert!(text.lines().all(|l| l.chars().count() <= 40), "{text}");
    assert!(text.contains("548 V"), "{text}");
}

#[test]
fn a_pipe_gets_one_record_a_line() {
    let entry = Entry {
        cells: vec!["C1".to_owned(), "reservoir".to_owned()],
        mark: Some("URGENT".to_owned()),
        beneath: vec!["bulged".to_owned()],
    };
    assert_eq!(write(&[Block::Entries(vec![entry])], PIPE), "  C1  reservoir  URGENT; bulged\n");
}

#[test]
fn reasons_stand_beside_their_record_where_there_is_room() {
    let entry = |reference: &str, mark: Option<&str>| Entry {
        cells: vec![reference.to_owned(), "reservoir".to_owned()],
        mark: mark.map(str::to_owned),
        beneath: vec!["bulged".to_owned(), "plus to HT1".to_owned()],
    };
    let blocks = [Block::Entries(vec![entry("C1", Some("URGENT")), entry("C10", None)])];
    let wide = write(&blocks, Setting { width: Some(100), colour: false });
    let due = [
        "  C1   reservoir  URGENT  bulged",
        "                          plus to HT1",
        "  C10  reservoir          bulged",
        "                          plus to HT1",
    ];
    assert_eq!(wide.lines().collect::<Vec<_>>(), due);
    let narrow = write(&blocks, Setting { width: Some(80), colour: false });
    assert_eq!(narrow.lines().next().map(|l| l.chars().count()), Some(80));
    assert_eq!(narrow.lines().nth(1), Some("       bulged"));
}

#[test]
fn running_text_keeps_to_a_measure() {
    let blocks = [Block::Text("word ".repeat(60))];
    let text = write(&blocks, Setting { width: Some(200), colour: false });
    assert!(text.lines().all(|l| l.chars().count() <= MEASURE + 2), "{text}");
}

#[test]
fn a_table_far_too_wide_becomes_records() {
    let columns = ["What", "As found", "Limits", "As left", "Remark"].map(Column::text).to_vec();
    let row = ["hum at the output", "", "at most 20 mV", "4 mV", "input shorted, into 15 ohm"].map(Cell::text);
    let table = Table { columns, rows: vec![row.to_vec()], total: None };
    let text = write(&[Block::Table(table.clone())], Setting { width: Some(60), colour: false });
    let due = [
        "  hum at the output",
        "       Limits: at most 20 mV; As left: 4 mV; Remark: input",
        "       shorted, into 15 ohm",
    ];
    assert_eq!(text.lines().collect::<Vec<_>>(), due);
    assert!(write(&[Block::Table(table)], PIPE).starts_with("  What "));
}

#[test]
fn what_people_wrote_is_escaped() {
    let blocks = [Block::List(vec!["\u{1b}[2J".to_owned()])];
    assert_eq!(write(&blocks, PIPE), "  \\u{1b}[2J\n");
}
