//! Cold checks and first power: step by step, with what to see at each, and when to stop.

use crate::documents::block::{Align, Block, Cell, Column, Field, Table, Tick};
use crate::documents::terms::Terms;
use crate::model::chassis::{Earth, SupplyKind};
use crate::sheet::{BiasKind, Expect, PowerStage, PowerStep, Sheet};
use crate::verify::{Expected, What};

use super::readings::{expected_words, limit_words};

/// Cold checks, then the steps, then the stop rules.
pub(super) fn blocks(sheet: &Sheet, terms: Terms) -> Vec<Block> {
    let mut blocks = vec![Block::Heading("Cold checks, before any power".to_owned()), Block::Ticks(cold(sheet, terms))];
    blocks.push(Block::Fields(vec![Field::blank("Cold checks signed, date")]));
    blocks.push(Block::Heading("First power".to_owned()));
    blocks.push(Block::Text(bring_up(sheet, terms)));
    blocks.push(Block::Alert(stop_rules(sheet, terms)));
    blocks.push(Block::Ticks(stages(sheet, terms)));
    blocks.extend(held_back(sheet, terms).map(Block::Text));
    blocks.push(Block::Table(table(sheet)));
    if bias_reading(sheet).is_some() {
        let last = stages_of(sheet).last().map(|s| letter(&stages_of(sheet), *s)).unwrap_or_default();
        blocks.push(Block::Fields(vec![Field::blank(&format!("Bias at stage {last}, V"))]));
    }
    blocks
}

/// Whether the chassis must be taken as live.
pub(super) fn is_live(sheet: &Sheet) -> bool {
    sheet.supply != SupplyKind::Transformer
}

fn tick(what: String) -> Tick {
    Tick { what, ..Tick::default() }
}

fn cold(sheet: &Sheet, terms: Terms) -> Vec<Tick> {
    let insulation = if is_live(sheet) {
        "insulation from both plug pins to every metal that can be touched (screws, spindles, sockets), not to the live \
         chassis; switch on: 1 M or more at 500 V"
    } else {
        "insulation from both plug pins to the chassis and every bare metal part, switch on: 1 M or more at 500 V"
    };
    let earth = match (is_live(sheet), sheet.mains.earth) {
        (true, _) => Some(format!("no {} on the chassis; no screw or spindle touches it", terms.earth)),
        (false, Some(Earth::ThreeCore)) => Some(format!("{} continuity from the plug to the chassis", terms.earth)),
        (false, Some(Earth::TwoCore)) => None,
        (false, _) => {
            Some(format!("{} continuity from the plug to the chassis, where the lead has three cores", terms.earth))
        }
    };
    let mut checks = vec![
        "every step above is done and ticked; every joint and every polarity looked at again".to_owned(),
        format!("no short from {} to the chassis: resistance rises as the capacitors charge, and stays up", terms.ht),
        insulation.to_owned(),
    ];
    checks.extend(earth);
    checks.push("fuse of the right type and rating in the live side".to_owned());
    if !is_live(sheet) {
        checks.push("mains tapping as the mains is".to_owned());
    }
    checks.push("LOAD ON BEFORE POWER: load resistor across the output".to_owned());
    checks.into_iter().map(tick).collect()
}

fn bring_up(sheet: &Sheet, terms: Terms) -> String {
    let isolated = if is_live(sheet) { "ISOLATING TRANSFORMER first, for the chassis is live. Then " } else { "" };
    format!(
        "{isolated}LAMP LIMITER IN: a filament lamp of about the set's own wattage up to twice that, in series with the \
         mains. Then a variable transformer for the steps; without one the lamp alone holds the current, and the row \
         nearest to the mains read at the set counts. In use: lamp of ...... W, variable transformer yes / no. Set off, \
         discharged and measured before any {} is moved.",
        terms.valve
    )
}

/// Why the mains is not raised all the way at first.
fn held_back(sheet: &Sheet, terms: Terms) -> Option<String> {
    let percent = sheet.power_up.held_at?;
    Some(format!(
        "Only up to {percent} % of the mains before everything is in: without its load the {} would pass the highest \
         voltage that the parts are chosen for. The full mains comes with the load on, from cold.",
        terms.ht
    ))
}

fn stop_rules(sheet: &Sheet, terms: Terms) -> Vec<String> {
    // A valve rectifier passes little while its heater is cool.
    let from = if sheet.power_up.valve_rectifier {
        format!(
            ", from about two thirds of the mains on: below that the rectifier's {} is too cool (common practice, no \
             source)",
            terms.heater
        )
    } else {
        String::new()
    };
    let mut rules = vec![
        format!(
            "STOP if the {} does not follow the mains up{from}: a capacitor is leaky or something is shorted.",
            terms.ht
        ),
        "STOP if the lamp stays bright, a capacitor gets warm, anything hisses, smells or smokes.".to_owned(),
        format!("STOP if any {} glow red, or the {} passes the highest voltage on this sheet.", terms.anodes, terms.ht),
    ];
    rules.push(match sheet.power_up.bias {
        BiasKind::Fixed => {
            format!("STOP before the output {} go in if the bias is not there at their grids.", terms.valves)
        }
        BiasKind::Back | BiasKind::Cathode => {
            "STOP if the bias has not come within the first seconds of current.".to_owned()
        }
    });
    rules
}

/// The bias to be read.
fn bias_reading(sheet: &Sheet) -> Option<&Expected> {
    sheet.readings.iter().find(|e| e.what == What::Bias)
}

/// What the bias should be, ` (-37.8 V; -41.6 to -34.1 V)`; empty where nothing tells it.
fn bias_words(sheet: &Sheet) -> String {
    let Some(expected) = bias_reading(sheet) else { return String::new() };
    let words: Vec<String> =
        [expected_words(expected), limit_words(expected)].into_iter().filter(|w| !w.is_empty()).collect();
    if words.is_empty() { String::new() } else { format!(" ({})", words.join("; ")) }
}

/// The stages that occur, in order.
fn stages_of(sheet: &Sheet) -> Vec<PowerStage> {
    let mut seen = Vec::new();
    for step in &sheet.power_up.steps {
        if !seen.contains(&step.stage) {
            seen.push(step.stage);
        }
    }
    seen
}

/// What is put in before each part of the table.
fn stages(sheet: &Sheet, terms: Terms) -> Vec<Tick> {
    let stages = stages_of(sheet);
    let words = |stage: &PowerStage| Tick {
        about: letter(&stages, *stage),
        what: stage_words(sheet, *stage, terms),
        ..Tick::default()
    };
    stages.iter().map(words).collect()
}

/// The stage as a letter for the table: A and on, without gaps.
fn letter(stages: &[PowerStage], stage: PowerStage) -> String {
    let place = stages.iter().position(|s| *s == stage).unwrap_or(0);
    ('A'..='Z').nth(place).unwrap_or('A').to_string()
}

fn table(sheet: &Sheet) -> Table {
    let known = sheet.power_up.steps.iter().all(|s| s.mains.is_some());
    let mut columns = vec![Column::text("Stage"), Column::figures(if known { "Mains, V" } else { "Mains, %" })];
    let names = sheet.power_up.steps.first().map(|s| s.nodes.iter().map(|(n, _)| n.clone()).collect::<Vec<_>>());
    for name in names.unwrap_or_default() {
        columns.push(Column { head: format!("{name}, V"), align: Align::Right });
        columns.push(Column::text("read"));
    }
    columns.push(Column::text("Done"));
    let stages = stages_of(sheet);
    Table { columns, rows: sheet.power_up.steps.iter().map(|s| row(sheet, s, &stages)).collect(), total: None }
}

fn row(sheet: &Sheet, step: &PowerStep, stages: &[PowerStage]) -> Vec<Cell> {
    let what = letter(stages, step.stage);
    let mains = step.mains.map_or_else(|| step.percent.to_string(), |v| format!("{:.0}", v.get()));
    let mut row = vec![Cell::text(what.clone()), Cell::text(mains.clone())];
    for (name, expect) in &step.nodes {
        row.push(Cell::text(expect_words(expect, sheet.power_up.negative.contains(name))));
        row.push(Cell::Fill);
    }
    row.push(Cell::Tick(format!("stage {what}, mains {mains}, done")));
    row
}

fn stage_words(sheet: &Sheet, stage: PowerStage, terms: Terms) -> String {
    let fixed = sheet.power_up.bias == BiasKind::Fixed;
    let (valve, valves) = (terms.valve, terms.valves);
    let chain = if sheet.supply == SupplyKind::Unknown {
        format!("; with the {}s in one chain none can be left out: then all stay in", terms.heater)
    } else {
        String::new()
    };
    match stage {
        PowerStage::NoValves => {
            let bias = if fixed { ", bias at the output grids" } else { "" };
            format!(
                "OUTPUT VALVES OUT, and all others out: {} voltages, winding voltages{bias}. Write down the mains at the \
                 set{chain}",
                terms.heater
            )
        }
        PowerStage::RectifierIn => {
            format!("rectifier {valve} in, no other: the {} follows the mains up and down", terms.ht)
        }
        PowerStage::SmallValvesIn => format!("small {valves} in, output {valves} still out"),
        PowerStage::AllIn if fixed => format!(
            "bias seen at the output grids{}, LOAD ON BEFORE POWER; then the output {valves} in",
            bias_words(sheet)
        ),
        PowerStage::AllIn => format!(
            "LOAD ON BEFORE POWER; then the output {valves} in, and the bias{} read within the first seconds: it comes with \
             the current",
            bias_words(sheet)
        ),
        PowerStage::AllInRising => format!(
            "LOAD ON BEFORE POWER; all {valves} in, for their {}s stand in one chain: the mains raised in steps, a minute \
             at each, the {} and the bias read at each; at the full mains the bias{} is due",
            terms.heater,
            terms.ht,
            bias_words(sheet)
        ),
    }
}

/// What a node shows, below zero where it is below the chassis.
fn expect_words(expect: &Expect, negative: bool) -> String {
    match expect {
        Expect::Nothing => "0".to_owned(),
        Expect::About(v) if negative => format!("{:.0}", -v.get()),
        Expect::About(v) => format!("{:.0}", v.get()),
        Expect::AtMost(v) if negative => format!("≥{:.0}", -v.get()),
        Expect::AtMost(v) => format!("≤{:.0}", v.get()),
        Expect::Unknown => "not known".to_owned(),
    }
}
