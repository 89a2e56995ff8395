//! Readings of a marking, for people and machines.

use serde::Serialize;

use super::block::{Block, Cell, Column, Table};
use super::machine::DiagnosticRow;
use crate::marking::{Decoded, DecodedKind};
use crate::units::print::significant;

/// Writes every reading of a mark; the reasons where there is none.
pub fn blocks(text: &str, readings: &[Decoded], refused: &[String]) -> Vec<Block> {
    let found = super::describe::counted(readings.len(), "reading", "readings");
    let mut blocks = vec![Block::Title(text.to_owned(), found)];
    if readings.is_empty() {
        blocks.push(Block::List(refused.to_vec()));
        return blocks;
    }
    let columns = vec![
        Column::text("Read as"),
        Column::text("Value"),
        Column::text("Tolerance"),
        Column::text("Year"),
        Column::text("Week"),
        Column::text("Month"),
        Column::text("Nearest E24"),
    ];
    let rows = readings.iter().map(row).collect();
    blocks.push(Block::Table(Table { columns, rows, total: None }));
    if readings.iter().any(|r| !r.years.is_empty()) {
        blocks.push(Block::Text("A date code dates the part, not the set.".to_owned()));
    }
    if readings.iter().any(|r| r.kind == DecodedKind::PossibleDate) {
        blocks.push(Block::Text("A possible date is one reading of the digits, not a finding.".to_owned()));
    }
    blocks
}

fn row(reading: &Decoded) -> Vec<Cell> {
    let years: Vec<String> = reading.years.iter().map(ToString::to_string).collect();
    vec![
        Cell::text(reading.kind.words()),
        Cell::text(reading.value.map(|v| v.to_string()).unwrap_or_default()),
        Cell::text(reading.tolerance.map(|t| t.to_string()).unwrap_or_default()),
        Cell::text(years.join(", ")),
        Cell::text(reading.week.map(|w| w.to_string()).unwrap_or_default()),
        Cell::text(reading.month.map(|m| m.to_string()).unwrap_or_default()),
        Cell::text(
            reading
                .value
                .and_then(crate::marking::DecodedValue::nearest_e24)
                .map(|v| v.to_string())
                .unwrap_or_default(),
        ),
    ]
}

/// The machine output of `decode`.
#[derive(Debug, Clone, Serialize)]
pub struct DecodeDocument {
    schema: &'static str,
    tool_version: &'static str,
    job: Option<String>,
    assumed: Vec<String>,
    cautions: Vec<String>,
    set_aside: usize,
    diagnostics: Vec<DiagnosticRow>,
    text: String,
    readings: Vec<ReadingRow>,
    refused: Vec<String>,
}

#[derive(Debug, Clone, Serialize)]
struct ReadingRow {
    kind: &'static str,
    value: Option<f64>,
    unit: Option<&'static str>,
    tolerance: Option<String>,
    years: Vec<u16>,
    week: Option<u8>,
    month: Option<u8>,
}

impl DecodeDocument {
    /// From the readings of one mark.
    pub fn new(text: &str, readings: &[Decoded], refused: &[String]) -> Self {
        Self {
            schema: "capjob.decode/1",
            tool_version: env!("CARGO_PKG_VERSION"),
            job: None,
            assumed: Vec::new(),
            cautions: Vec::new(),
            set_aside: 0,
            diagnostics: Vec::new(),
            text: text.to_owned(),
            readings: readings.iter().map(ReadingRow::new).collect(),
            refused: if readings.is_empty() { refused.to_vec() } else { Vec::new() },
        }
    }
}

impl ReadingRow {
    fn new(reading: &Decoded) -> Self {
        let percent = |v: f64| significant(v, 3);
        Self {
            kind: reading.kind.words(),
            value: reading.value.map(crate::marking::DecodedValue::si),
            unit: reading.value.map(crate::marking::DecodedValue::unit),
            tolerance: reading
                .tolerance
                .map(|t| format!("-{}/+{} %", percent(t.minus_percent), percent(t.plus_percent))),
            years: reading.years.clone(),
            week: reading.week,
            month: reading.month,
        }
    }
}
