//! The bench sheet: state of the set, cautions, charge, order of work, first power, readings, record and slip.

mod power;
mod readings;
mod record;
mod state;
mod work;

use super::block::Block;
use super::drawing::Drawing;
use super::drawings::{bars, ladder, wave};
use super::notes::Notes;
use super::reform;
use super::terms::Terms;
use crate::model::shop::WordSet;
use crate::rules::ReformPlan;
use crate::sheet::{Action, Sheet};

pub(super) use readings::{expected_words, limit_sources, limit_words, what_words};
pub(super) use record::slip;
pub(super) use state::extent;
pub use work::{do_words, polarity_words};

/// Title of the document, for a page's head.
pub fn title(sheet: &Sheet) -> String {
    format!("Bench sheet: {}", sheet.chassis)
}

/// Writes the sheet; `reforms` are the plans of the parts that are reformed and kept.
pub fn blocks(sheet: &Sheet, reforms: &[ReformPlan], words: WordSet) -> Vec<Block> {
    let terms = Terms::of(words);
    let mut notes = Notes::default();
    let mut blocks = state::blocks(sheet, terms, &mut notes);
    blocks.extend(state::charge(sheet));
    blocks.extend(work::blocks(sheet));
    blocks.extend(reform::bench_blocks(&to_reform(sheet), reforms, &mut notes));
    blocks.extend(supply(sheet, terms));
    blocks.extend(power::blocks(sheet, terms));
    blocks.extend(readings::blocks(sheet, terms));
    blocks.push(Block::NewPage);
    blocks.extend(record::blocks(sheet, terms));
    blocks.extend(notes.blocks());
    blocks
}

/// References of the parts that are reformed and kept.
fn to_reform(sheet: &Sheet) -> Vec<&str> {
    let reformed = sheet.steps.iter().filter(|s| s.action == Action::Reform);
    reformed.map(|s| s.part.reference.as_str()).collect()
}

/// The drawings of the supplies and of the ratings.
pub fn drawings(sheet: &Sheet) -> Vec<Drawing> {
    let computed = || sheet.supplies.iter().filter_map(|s| s.as_ref().ok());
    let mut drawings = Vec::new();
    for supply in &sheet.drawn {
        if let Some(figures) = computed().find(|s| s.name == supply.name) {
            drawings.push(ladder::drawing(sheet, supply, figures));
        }
    }
    drawings.extend(bars::drawing(&sheet.bars));
    drawings.extend(computed().filter_map(wave::drawing));
    drawings
}

/// The supplies alone, ladder and waveform, as one drawing; `None` where none was computed.
pub fn supply_drawing(sheet: &Sheet) -> Option<Drawing> {
    let computed = || sheet.supplies.iter().filter_map(|s| s.as_ref().ok());
    let mut drawings = Vec::new();
    for supply in &sheet.drawn {
        if let Some(figures) = computed().find(|s| s.name == supply.name) {
            drawings.push(ladder::drawing(sheet, supply, figures));
            drawings.extend(wave::drawing(figures));
        }
    }
    Drawing::stacked("supply", &format!("The supply of {}", sheet.chassis), drawings)
}

fn supply(sheet: &Sheet, terms: Terms) -> Vec<Block> {
    let mut blocks = vec![Block::Heading(format!("The {} supply", terms.ht))];
    let unproved = sheet.supplies.iter().filter_map(|s| s.as_ref().err());
    let unproved: Vec<String> = unproved.map(|u| format!("{}: not computed; {}", u.name, u.says)).collect();
    if !unproved.is_empty() {
        blocks.push(Block::Alert(unproved));
    }
    let drawings = drawings(sheet);
    if drawings.is_empty() {
        blocks.push(Block::Text("No voltages are known to draw.".to_owned()));
    }
    blocks.extend(drawings.into_iter().map(Block::Drawing));
    blocks
}
