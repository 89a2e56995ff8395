//! The neutral pieces that documents are built of; how they are written is the export room's business.

use super::drawing::Drawing;
use crate::money::Money;

/// How a column is set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Align {
    /// Text.
    Left,
    /// Figures.
    Right,
}

/// One column of a table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Column {
    /// Heading, with its unit where it has one.
    pub head: String,
    /// Setting.
    pub align: Align,
}

impl Column {
    /// A text column.
    pub fn text(head: &str) -> Self {
        Self { head: head.to_owned(), align: Align::Left }
    }

    /// A column of figures.
    pub fn figures(head: &str) -> Self {
        Self { head: head.to_owned(), align: Align::Right }
    }
}

/// One cell.
#[derive(Debug, Clone, PartialEq)]
pub enum Cell {
    /// Not known or not applicable.
    Blank,
    /// Text.
    Text(String),
    /// A number for spreadsheets, and how people read it.
    Number {
        /// The number.
        value: f64,
        /// As shown.
        shown: String,
    },
    /// An amount: its decimal text.
    Money(String),
    /// A box to tick by hand; the text tells a screen reader what for.
    Tick(String),
    /// Room to write in by hand.
    Fill,
}

impl Cell {
    /// A text cell; blank when there is none.
    pub fn text(text: impl Into<String>) -> Self {
        let text = text.into();
        if text.is_empty() { Self::Blank } else { Self::Text(text) }
    }

    /// A whole number.
    pub fn count(n: u32) -> Self {
        Self::Number { value: f64::from(n), shown: n.to_string() }
    }

    /// An amount for spreadsheets: exact as a number, rounded to `digits` decimals as shown.
    pub fn amount(money: Money, digits: u8) -> Self {
        Self::exactly(money, money.text(digits))
    }

    /// A unit price for spreadsheets, with the decimals that it has.
    pub fn unit_price(money: Money, digits: u8) -> Self {
        Self::exactly(money, money.exact_text(digits))
    }

    #[expect(clippy::cast_precision_loss, reason = "amounts are bounded far below 2^53 ten-thousandths")]
    fn exactly(money: Money, shown: String) -> Self {
        Self::Number { value: money.ten_thousandths() as f64 / 10_000.0, shown }
    }

    /// How people read it.
    pub fn shown(&self) -> &str {
        match self {
            Self::Blank => "",
            Self::Tick(_) => "[ ]",
            Self::Fill => "....",
            Self::Text(text) | Self::Money(text) | Self::Number { shown: text, .. } => text,
        }
    }
}

/// A table with one record a row.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Table {
    /// Columns.
    pub columns: Vec<Column>,
    /// Rows, each with a cell for every column.
    pub rows: Vec<Vec<Cell>>,
    /// A last row of totals, if any.
    pub total: Option<Vec<Cell>>,
}

/// A record whose first line is set in columns and whose reasons stand beneath.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Entry {
    /// The columns, such as reference, place, old, new.
    pub cells: Vec<String>,
    /// A mark at the end of the first line, such as `URGENT`.
    pub mark: Option<String>,
    /// The lines beneath.
    pub beneath: Vec<String>,
}

/// Something to do, with a box to tick when it is done.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Tick {
    /// What it is about, such as a reference; short.
    pub about: String,
    /// What to do.
    pub what: String,
    /// What must not be overlooked about it; set out.
    pub mark: Option<String>,
    /// Lines beneath: how, and what to mind.
    pub beneath: Vec<String>,
    /// What stands in the margin: what was assumed, and whose the limits are.
    pub margin: Vec<String>,
}

/// A labelled fact.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Field {
    /// Label.
    pub label: String,
    /// The fact; `None`: room to write it in by hand.
    pub value: Option<String>,
}

impl Field {
    /// A fact that is known.
    pub fn known(label: &str, value: impl Into<String>) -> Self {
        Self { label: label.to_owned(), value: Some(value.into()) }
    }

    /// A fact to be written in.
    pub fn blank(label: &str) -> Self {
        Self { label: label.to_owned(), value: None }
    }
}

/// One piece of a document.
#[derive(Debug, Clone, PartialEq)]
pub enum Block {
    /// The document's first line: what it is about, and a remark set to the right.
    Title(String, String),
    /// A heading.
    Heading(String),
    /// A paragraph.
    Text(String),
    /// A line that must not be wrapped away: kept whole where it fits.
    Line(String),
    /// A table.
    Table(Table),
    /// Records with their reasons.
    Entries(Vec<Entry>),
    /// A list.
    List(Vec<String>),
    /// Lines to be copied as they are.
    Verbatim(Vec<String>),
    /// Things to do, each with a box to tick.
    Ticks(Vec<Tick>),
    /// Facts with their labels, or room for them.
    Fields(Vec<Field>),
    /// What must not be overlooked: framed where frames can be drawn.
    Alert(Vec<String>),
    /// A drawing.
    Drawing(Drawing),
    /// What follows begins a new page, where there are pages.
    NewPage,
    /// A part of the page to be cut out along its frame.
    CutOut(Vec<Block>),
}
