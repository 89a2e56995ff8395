//! The end of the sheet: the job's record to sign, and the slip that stays in the chassis.

use crate::documents::block::{Block, Field};
use crate::documents::describe::{fitting_at, old_part};
use crate::documents::terms::Terms;
use crate::model::finding::How;
use crate::model::part::Reading;
use crate::sheet::Sheet;
use crate::sheet::slip::{Change, OffValue};

/// The record and the slip.
pub(super) fn blocks(sheet: &Sheet, terms: Terms) -> Vec<Block> {
    vec![
        Block::Heading("Job record".to_owned()),
        Block::Fields(vec![
            Field::known("Set", sheet.chassis.clone()),
            Field::blank("Make, model, serial number"),
            Field::blank("Booked in"),
            Field::blank("Fault reported"),
            Field::blank("Hours worked"),
            Field::blank("Old parts returned or kept"),
            Field::blank("Tested by, date"),
            Field::blank("Ready, collected"),
        ]),
        Block::Heading("Slip to stay in the chassis".to_owned()),
        Block::CutOut(slip(sheet, terms)),
    ]
}

/// What the next one at this chassis must know.
pub(in crate::documents) fn slip(sheet: &Sheet, terms: Terms) -> Vec<Block> {
    let slip = &sheet.slip;
    let year = sheet.year.map(|y| format!(", {y}")).unwrap_or_default();
    let pairs = |list: &[(String, String)]| list.iter().map(|(r, d)| format!("{r} {d}")).collect::<Vec<_>>().join(", ");
    let known =
        |label: &str, text: String| if text.is_empty() { Field::blank(label) } else { Field::known(label, text) };
    let valves = super::super::quote::capital(terms.valves);
    let mut blocks = vec![Block::Fields(vec![
        Field::known("Set", format!("{}{year}", sheet.chassis)),
        Field::blank("Date, worked on by"),
        known("Mains tapping", slip.tapping.map(|v| v.to_string()).unwrap_or_default()),
        known("Fuse", pairs(&slip.fuses)),
        known(&valves, pairs(&slip.valves)),
    ])];
    let changes: Vec<String> = slip.changes.iter().map(change).collect();
    if !changes.is_empty() {
        blocks.push(Block::List(changes));
    }
    let off: Vec<String> = slip.off_value.iter().map(off_value).collect();
    if !off.is_empty() {
        blocks.push(Block::List(off));
    }
    blocks
}

fn change(change: &Change) -> String {
    let old = old_part(&change.part);
    let reference = &change.part.reference;
    let how = match change.how {
        Some(How::Restuff) => ", RESTUFFED in the old case",
        Some(How::BesideDeadCan) => ", beside the old can, which is DISCONNECTED",
        _ => "",
    };
    match &change.now {
        Some(fit) if fitting_at(fit) == old => format!("{reference}: {old}, new{how}"),
        Some(fit) => format!("{reference}: was {old}, now {}{how}", fitting_at(fit)),
        None if change.left_in_place => format!("{reference}: {old} DISCONNECTED, left in place"),
        None => format!("{reference}: {old} taken out, not refitted"),
    }
}

fn off_value(kept: &OffValue) -> String {
    let reads = match kept.reads {
        Reading::Ohm(ohm) => ohm.to_string(),
        Reading::Farad(farad) => farad.to_string(),
        Reading::Open => "open".to_owned(),
        Reading::Short => "short".to_owned(),
    };
    format!("{}: {} kept, reads {reads}", kept.part.reference, old_part(&kept.part))
}
