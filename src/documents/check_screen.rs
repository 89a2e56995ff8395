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

/// Writes one verdict.
pub fn blocks(reference: &str, offered: &str, need: &Need, verdict: &Verdict) -> Vec<Block> {
    let mut blocks = vec![Block::Title(answer_words(verdict.answer).to_owned(), format!("{offered} at {reference}"))];
    let telling: Vec<String> = verdict
        .points
        .iter()
        .filter(|p| p.answer != Answer::Fit)
        .map(|p| format!("{}: {}", p.point.word().replace('_', " "), p.says))
        .collect();
    if !telling.is_empty() {
        blocks.push(Block::List(telling));
    }
    blocks.push(Block::Table(points(&verdict.points)));
    let why: Vec<String> =
        need.why.iter().map(|w| format!("{}: {}; {}", w.point.word().replace('_', " "), w.says, w.source)).collect();
    if !why.is_empty() {
        blocks.push(Block::Heading("WHY IT MUST BE SO".to_owned()));
        blocks.push(Block::List(why));
    }
    blocks
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
                Answer::Fit => "ok",
                Answer::Caution => "care",
                Answer::Unsuitable => "NO",
                Answer::Barred => "BARRED",
            }),
        ]
    };
    Table { columns, rows: points.iter().map(row).collect(), total: None }
}
