//! `docs/files.md` says of every column and key what the reader holds it to.
#![expect(clippy::expect_used, reason = "a test that cannot read the page has failed")]

use std::fmt::Write as _;

use capjob::input::{FILES, Field, FileFields, Form};
use capjob::model::chassis::{Circuit, Earth, Iron, OwnerWish, Polarity, Policy, RectifierKind, SupplyKind};
use capjob::model::kind::{MainsClass, PartKind, Place, Sight, Style, Wish};

const PAGE: &str = "docs/files.md";

fn page() -> String {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(PAGE);
    std::fs::read_to_string(path).expect("the page is readable")
}

/// The form of a field as the page words it.
fn form(field: &Field) -> String {
    match field.form {
        Form::Text => "text".to_owned(),
        Form::Word => "word".to_owned(),
        Form::Number => field.bounds_text().unwrap_or_default(),
        Form::Mark => "quantity".to_owned(),
        Form::Money => "money".to_owned(),
        Form::List => "list".to_owned(),
        Form::YesNo => "yes or no".to_owned(),
        Form::Date => "date".to_owned(),
        Form::Table => "section".to_owned(),
    }
}

/// The heading of a file's table.
fn heading(file: &FileFields) -> String {
    let beside = if file.file == "shelf.csv" { " (besides the catalog's columns)" } else { "" };
    match file.section {
        "" => format!("### `{}`{beside}\n", file.file),
        section @ ("ht" | "ht.node") => format!("### `{}`, `[[{section}]]`\n", file.file),
        section => format!("### `{}`, `[{section}]`\n", file.file),
    }
}

/// The whole table of a file.
fn table(file: &FileFields) -> String {
    let mut text = heading(file);
    text.push_str("\n| name | form | needed | meaning |\n|---|---|---|---|\n");
    for field in file.fields {
        let needed = if field.needed { "yes" } else { "" };
        writeln!(text, "| `{}` | {} | {needed} | {} |", field.name, form(field), field.meaning).expect("a text grows");
    }
    text
}

/// The words of an enum on one line.
fn words(name: &str, words: &[&str]) -> String {
    let listed: Vec<String> = words.iter().map(|word| format!("`{word}`")).collect();
    format!("- {name}: {}\n", listed.join(" "))
}

fn all_words() -> String {
    macro_rules! of {
        ($name:literal, $kind:ident) => {
            words($name, &$kind::ALL.iter().map(|value| value.word()).collect::<Vec<_>>())
        };
    }
    [
        of!("`part`", PartKind),
        of!("`place`", Place),
        of!("`class`, `accept_class`", MainsClass),
        of!("`sight`", Sight),
        of!("`style`", Style),
        of!("`wish` of a part", Wish),
        of!("`supply`", SupplyKind),
        of!("`wish` of the owner", OwnerWish),
        of!("`policy`", Policy),
        of!("`mains_transformer`, `output_transformer`, `choke`", Iron),
        of!("`earth`", Earth),
        of!("`circuit`", Circuit),
        of!("`rectifier`, `kind`", RectifierKind),
        of!("`polarity`", Polarity),
    ]
    .concat()
}

#[test]
fn every_table_of_the_page_is_the_readers() {
    let page = page();
    for file in FILES {
        let table = table(file);
        assert!(page.contains(&table), "{PAGE} should have this table:\n{table}");
    }
}

#[test]
fn every_word_of_the_page_is_the_models() {
    let listed = all_words();
    assert!(page().contains(&listed), "{PAGE} should have these words:\n{listed}");
}

#[test]
fn the_page_has_no_table_of_its_own() {
    let rows = page().lines().filter(|line| line.starts_with("| `")).count();
    assert_eq!(rows, FILES.iter().map(|file| file.fields.len()).sum::<usize>());
}
