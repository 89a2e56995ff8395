//! The blocks as the template sees them: one flat record a block, text made harmless, drawings as SVG.

use minijinja::Value;
use serde::Serialize;

use crate::documents::block::{Align, Block, Cell, Entry, Field, Table, Tick};
use crate::export::figures::held_together;
use crate::export::safe;
use crate::export::svg;

/// One piece of the page; `kind` says which of the others are of use.
#[derive(Debug, Serialize)]
pub(super) struct Piece {
    kind: &'static str,
    id: String,
    text: String,
    aside: String,
    items: Vec<String>,
    columns: Vec<Head>,
    rows: Vec<Vec<Shown>>,
    total: Vec<Shown>,
    entries: Vec<Record>,
    drawing: Value,
    inner: Vec<Piece>,
}

/// A column's heading.
#[derive(Debug, Serialize)]
struct Head {
    text: String,
    right: bool,
}

/// A cell; `kind` is `text`, `tick` for a box, `fill` for room to write, or `names` where it names its row.
#[derive(Debug, Serialize)]
struct Shown {
    kind: &'static str,
    text: String,
    right: bool,
}

/// An entry, a thing to do or a fact.
#[derive(Debug, Serialize)]
struct Record {
    about: String,
    text: String,
    cells: Vec<String>,
    mark: String,
    beneath: Vec<String>,
    margin: Vec<String>,
    fill: bool,
}

/// Harmless, and every figure on one line with its unit.
fn set(text: &str) -> String {
    held_together(&safe::for_terminal(text))
}

/// The blocks in their order.
pub(super) fn pieces(blocks: &[Block]) -> Vec<Piece> {
    let mut headings = 0;
    pieces_from(blocks, &mut headings)
}

fn pieces_from(blocks: &[Block], headings: &mut usize) -> Vec<Piece> {
    blocks.iter().map(|b| piece(b, headings)).collect()
}

fn piece(block: &Block, headings: &mut usize) -> Piece {
    match block {
        Block::Title(text, aside) => Piece { text: set(text), aside: set(aside), ..Piece::of("title") },
        Block::Heading(text) => {
            *headings += 1;
            Piece { text: set(text), id: format!("s{headings}"), ..Piece::of("heading") }
        }
        Block::Text(text) => Piece { text: set(text), ..Piece::of("text") },
        Block::Line(text) => Piece { text: set(text), ..Piece::of("line") },
        Block::List(items) => Piece { items: harmless(items), ..Piece::of("list") },
        // Lines to be copied keep their plain spaces.
        Block::Verbatim(items) => {
            Piece { items: items.iter().map(|i| safe::for_terminal(i)).collect(), ..Piece::of("verbatim") }
        }
        Block::Alert(items) => Piece { items: harmless(items), ..Piece::of("alert") },
        // A table is named by the heading above it.
        Block::Table(table) => Piece { id: format!("s{headings}"), ..grid(table) },
        Block::Entries(entries) => Piece { entries: entries.iter().map(entry).collect(), ..Piece::of("entries") },
        // A list of plain checks stays on one page.
        Block::Ticks(ticks) => Piece {
            entries: ticks.iter().map(tick).collect(),
            aside: if ticks.iter().all(|t| t.beneath.is_empty()) { " plain".to_owned() } else { String::new() },
            ..Piece::of("ticks")
        },
        Block::Fields(fields) => Piece { entries: fields.iter().map(field).collect(), ..Piece::of("fields") },
        Block::Drawing(drawing) => Piece {
            drawing: Value::from_safe_string(svg::inline(drawing)),
            text: set(&drawing.title),
            ..Piece::of("drawing")
        },
        Block::NewPage => Piece::of("page"),
        Block::CutOut(inner) => Piece { inner: pieces_from(inner, headings), ..Piece::of("cut") },
    }
}

impl Piece {
    fn of(kind: &'static str) -> Self {
        Self {
            kind,
            id: String::new(),
            text: String::new(),
            aside: String::new(),
            items: Vec::new(),
            columns: Vec::new(),
            rows: Vec::new(),
            total: Vec::new(),
            entries: Vec::new(),
            drawing: Value::from(""),
            inner: Vec::new(),
        }
    }
}

fn harmless(texts: &[String]) -> Vec<String> {
    texts.iter().map(|t| set(t)).collect()
}

fn grid(table: &Table) -> Piece {
    let right = |column: usize| table.columns.get(column).is_some_and(|c| c.align == Align::Right);
    let cells = |row: &Vec<Cell>| row.iter().enumerate().map(|(n, c)| shown(c, (n, right(n)))).collect::<Vec<_>>();
    Piece {
        columns: table.columns.iter().map(|c| Head { text: set(&c.head), right: c.align == Align::Right }).collect(),
        rows: table.rows.iter().map(cells).collect(),
        total: table.total.as_ref().map(cells).unwrap_or_default(),
        ..Piece::of("table")
    }
}

fn shown(cell: &Cell, (column, right): (usize, bool)) -> Shown {
    let (kind, text) = match cell {
        Cell::Tick(what) => ("tick", set(what)),
        Cell::Fill => ("fill", String::new()),
        other if column == 0 && !right && !other.shown().is_empty() => ("names", set(other.shown())),
        other => ("text", set(other.shown())),
    };
    Shown { kind, text, right }
}

fn entry(entry: &Entry) -> Record {
    Record {
        cells: harmless(&entry.cells),
        mark: entry.mark.as_deref().map(set).unwrap_or_default(),
        beneath: harmless(&entry.beneath),
        ..Record::empty()
    }
}

fn tick(tick: &Tick) -> Record {
    Record {
        about: set(&tick.about),
        text: set(&tick.what),
        mark: tick.mark.as_deref().map(set).unwrap_or_default(),
        beneath: harmless(&tick.beneath),
        margin: harmless(&tick.margin),
        ..Record::empty()
    }
}

fn field(field: &Field) -> Record {
    Record {
        about: set(&field.label),
        text: field.value.as_deref().map(set).unwrap_or_default(),
        fill: field.value.is_none(),
        ..Record::empty()
    }
}

impl Record {
    const fn empty() -> Self {
        Self {
            about: String::new(),
            text: String::new(),
            cells: Vec::new(),
            mark: String::new(),
            beneath: Vec::new(),
            margin: Vec::new(),
            fill: false,
        }
    }
}
