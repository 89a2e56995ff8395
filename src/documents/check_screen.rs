//! The answer to "will this do here?": the answer in the first word, then needs against has.

use super::block::{Block, Cell, Column, Table};
use crate::model::need::{Answer, Need, Point, Verdict};

/// The answer in a technician's words.
pub const fn answer_words(answer: Answer) -> &'static str {
    match answer {
        Answer::Fit => "fits",
        Answer::Caution => "fits with caution",
        Answer::Unsuitable => "does not suit",
        Answer::Barred => "not allowed (safety)",
    }
}

/// What is told besides the verdict.
#[derive(Debug, Clone, Copy)]
pub struct Told<'a> {
    /// What was assumed about the part.
    pub assumed: &'a [String],
    /// Polarity, place and mounting; shown where the part may be used.
    pub notes: &'a [String],
}

/// Writes one verdict.
pub fn blocks((reference, offered): (&str, &str), need: &Need, verdict: &Verdict, told: &Told<'_>) -> Vec<Block> {
    let mut blocks = vec![Block::Title(answer_words(verdict.answer).to_owned(), format!("{offered} at {reference}"))];
    let mut telling: Vec<String> = verdict.points.iter().filter(|p| p.answer != Answer::Fit).map(telling).collect();
    telling.extend(told.assumed.iter().cloned());
    if !telling.is_empty() {
        blocks.push(Block::List(telling));
    }
    blocks.push(Block::Table(points(&verdict.points)));
    if verdict.usable() && !told.notes.is_empty() {
        blocks.push(Block::Heading("HOW IT IS FITTED".to_owned()));
        blocks.push(Block::List(told.notes.to_vec()));
    }
    let why: Vec<String> =
        need.why.iter().map(|w| format!("{}: {}; {}", w.point.word().replace('_', " "), w.says, w.source)).collect();
    if !why.is_empty() {
        blocks.push(Block::Heading("WHY IT MUST BE SO".to_owned()));
        blocks.push(Block::List(why));
    }
    blocks
}

/// A point that is not simply met, with its name unless it begins with it.
fn telling(point: &Point) -> String {
    let name = point.point.word().replace('_', " ");
    if point.says.starts_with(&name) { point.says.clone() } else { format!("{name}: {}", point.says) }
}

/// Whether the point could not be held against anything.
fn is_unchecked(point: &Point) -> bool {
    point.answer == Answer::Fit && point.says.contains("not checked")
}

/// Every point: needs against has.
fn points(points: &[Point]) -> Table {
    let columns = vec![Column::text("Point"), Column::text("Needs"), Column::text("Has"), Column::text("")];
    let row = |p: &Point| {
        vec![
            Cell::text(p.point.word().replace('_', " ")),
            Cell::text(p.needs.clone()),
            Cell::text(p.has.clone()),
            Cell::text(match p.answer {
                Answer::Fit if is_unchecked(p) => "not checked",
                Answer::Fit => "ok",
                Answer::Caution => "care",
                Answer::Unsuitable => "NO",
                Answer::Barred => "BARRED",
            }),
        ]
    };
    Table { columns, rows: points.iter().map(row).collect(), total: None }
}
