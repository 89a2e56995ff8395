//! Cold checks and first power: step by step, with what to see at each, and when to stop.

use crate::documents::block::{Align, Block, Cell, Column, Field, Table, Tick};
use crate::documents::terms::Terms;
use crate::sheet::{Expect, PowerStage, PowerStep, Sheet};

/// Cold checks, then the steps, then the stop rules.
pub(super) fn blocks(sheet: &Sheet, terms: Terms) -> Vec<Block> {
    let mut blocks = vec![Block::Heading("Cold checks, before any power".to_owned()), Block::Ticks(cold(terms))];
    blocks.push(Block::Fields(vec![Field::blank("Cold checks signed, date")]));
    blocks.push(Block::Heading("First power".to_owned()));
    blocks.push(Block::Text(bring_up(terms)));
    blocks.push(Block::Alert(stop_rules(sheet, terms)));
    blocks.push(Block::Ticks(stages(sheet, terms)));
    blocks.push(Block::Table(table(sheet)));
    blocks
}

fn tick(what: String) -> Tick {
    Tick { what, ..Tick::default() }
}

fn cold(terms: Terms) -> Vec<Tick> {
    [
        "every step above is done and ticked; every joint and every polarity looked at again".to_owned(),
        format!("no short from {} to the chassis: resistance rises as the capacitors charge, and stays up", terms.ht),
        "insulation from both plug pins to metal, switch on: 1 M or more at 500 V (makers' service notes)".to_owned(),
        format!("{} continuity from the plug to the chassis, where there is an {}", terms.earth, terms.earth),
        "fuse of the right type and rating in the live side; mains tapping as the mains is".to_owned(),
        "LOAD ON BEFORE POWER: load resistor across the output".to_owned(),
    ]
    .into_iter()
    .map(tick)
    .collect()
}

fn bring_up(terms: Terms) -> String {
    format!(
        "LAMP LIMITER IN: a filament lamp of about the set's own wattage up to twice that, in series with the mains. \
         Or a variable transformer, behind an ISOLATING TRANSFORMER where the chassis is live. Write down which is in \
         use. Behind a lamp the set gets less than the full mains: read the mains at the set. Set off, discharged and \
         measured before any {} is moved.",
        terms.valve
    )
}

fn stop_rules(sheet: &Sheet, terms: Terms) -> Vec<String> {
    let mut rules = vec![
        format!("STOP if the {} does not follow the mains up: a capacitor is leaky or something is shorted.", terms.ht),
        "STOP if the lamp stays bright, the reservoir gets warm, anything hisses, smells or smokes.".to_owned(),
        format!("STOP if any {} glow red, or the {} passes the highest voltage on this sheet.", terms.anodes, terms.ht),
    ];
    if sheet.power_up.fixed_bias {
        let text = format!("STOP before the output {} go in if the bias is not there at their grids.", terms.valves);
        rules.push(text);
    }
    rules
}

/// What is put in before each part of the table.
fn stages(sheet: &Sheet, terms: Terms) -> Vec<Tick> {
    let mut seen = Vec::new();
    for step in &sheet.power_up.steps {
        if !seen.contains(&step.stage) {
            seen.push(step.stage);
        }
    }
    let words =
        |stage| Tick { about: stage_word(stage).to_owned(), what: stage_words(stage, terms), ..Tick::default() };
    seen.into_iter().map(words).collect()
}

fn table(sheet: &Sheet) -> Table {
    let mut columns = vec![Column::text("In the set"), Column::figures("Mains")];
    let names = sheet.power_up.steps.first().map(|s| s.nodes.iter().map(|(n, _)| n.to_string()).collect::<Vec<_>>());
    for name in names.unwrap_or_default() {
        columns.push(Column { head: format!("{name}, V"), align: Align::Right });
        columns.push(Column::text("read"));
    }
    columns.push(Column::text("Done"));
    Table { columns, rows: sheet.power_up.steps.iter().map(row).collect(), total: None }
}

fn row(step: &PowerStep) -> Vec<Cell> {
    let what = stage_word(step.stage);
    let mains = step.mains.map_or_else(|| format!("{} %", step.percent), |v| format!("{:.0} V", v.get()));
    let mut row = vec![Cell::text(what), Cell::text(mains.clone())];
    for (_, expect) in &step.nodes {
        row.push(Cell::text(expect_words(expect)));
        row.push(Cell::Fill);
    }
    row.push(Cell::Tick(format!("stage {what} at {mains} done")));
    row
}

/// The stage as a letter, for the table.
const fn stage_word(stage: PowerStage) -> &'static str {
    match stage {
        PowerStage::NoValves => "A",
        PowerStage::RectifierIn => "B",
        PowerStage::SmallValvesIn => "C",
        PowerStage::AllIn => "D",
    }
}

fn stage_words(stage: PowerStage, terms: Terms) -> String {
    match stage {
        PowerStage::NoValves => format!(
            "OUTPUT VALVES OUT, no {v} in at all: {h} voltages, winding voltages, bias at the output grids. Write down the \
             mains at the set",
            v = terms.valves,
            h = terms.heaters
        ),
        PowerStage::RectifierIn => {
            format!(
                "rectifier {} in, no other: the {} follows the mains up and stays down when it is down",
                terms.valve, terms.ht
            )
        }
        PowerStage::SmallValvesIn => format!("small {} in, output {} still out", terms.valves, terms.valves),
        PowerStage::AllIn => {
            format!("bias seen at the output grids, LOAD ON BEFORE POWER; then the output {} in", terms.valves)
        }
    }
}

fn expect_words(expect: &Expect) -> String {
    match expect {
        Expect::Nothing => "0".to_owned(),
        Expect::About(v) => format!("{:.0}", v.get()),
        Expect::AtMost(v) => format!("≤ {:.0}", v.get()),
        Expect::Unknown => "not known".to_owned(),
    }
}
