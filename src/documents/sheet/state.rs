//! The head of the sheet: what state the set is in, what can hurt, what charge is in it.

use crate::documents::block::{Block, Cell, Column, Field, Table};
use crate::documents::caution_words;
use crate::documents::notes::Notes;
use crate::documents::terms::Terms;
use crate::model::chassis::{Earth, OwnerWish, Policy, SupplyKind};
use crate::sheet::{Drained, Sheet, Stored, stored};

/// Capacitors that hold less are counted and not listed one by one, J; our own.
const LISTED_FROM_J: f64 = 0.05;

/// State, cautions, what was assumed.
pub(super) fn blocks(sheet: &Sheet, terms: Terms, notes: &mut Notes) -> Vec<Block> {
    let year = sheet.year.map(|y| format!(", {y}")).unwrap_or_default();
    let date = sheet.date.map(|d| d.to_string()).unwrap_or_default();
    let mut blocks = vec![
        Block::Title(
            format!("Bench sheet: {}{year}", sheet.chassis),
            [sheet.job.clone(), date].join("  ").trim().to_owned(),
        ),
        Block::Alert(vec!["STATE: NOT TO BE PLUGGED IN until the cold checks below are signed".to_owned()]),
    ];
    let holds: Vec<String> = sheet.holds.iter().map(|h| format!("ON HOLD ({}): {}", h.reason, h.says)).collect();
    if !holds.is_empty() {
        blocks.push(Block::Alert(holds));
    }
    blocks.push(Block::Fields(facts(sheet, terms)));
    blocks.push(Block::Heading("Cautions".to_owned()));
    blocks.push(Block::Alert(cautions(sheet, terms, notes)));
    if !sheet.assumed.is_empty() {
        blocks.push(Block::Heading("Assumed for the whole set".to_owned()));
        blocks.push(Block::List(sheet.assumed.clone()));
    }
    blocks
}

/// The job's cautions and those of the bench, each with the number of the note that names its source.
fn cautions(sheet: &Sheet, terms: Terms, notes: &mut Notes) -> Vec<String> {
    let of_job = sheet.plan_cautions.iter().map(|c| match c.behind() {
        Some(source) => format!("{} {}", c.says, notes.mark(&source)),
        None => c.says.clone(),
    });
    let mut lines: Vec<String> = of_job.collect();
    for caution in &sheet.cautions {
        let mark = notes.mark(caution_words::source(*caution));
        lines.push(format!("{} {mark}", caution_words::caution(*caution, terms)));
    }
    lines
}

/// How far parts are renewed, and to what end.
pub(in crate::documents) fn extent(policy: Policy, wish: OwnerWish) -> String {
    let far = match policy {
        Policy::Full => "everything of the kinds that fail, besides what is faulty",
        Policy::Suspect => "what is faulty, and the kinds that are suspect by make or age",
        Policy::Faulty => "only what is faulty",
    };
    let end = match wish {
        OwnerWish::Working => "a working set",
        OwnerWish::Look => "a working set that looks as it was",
        OwnerWish::Museum => "a museum piece, changed as little as can be",
    };
    format!("{far}; wanted: {end}")
}

fn facts(sheet: &Sheet, terms: Terms) -> Vec<Field> {
    let fed = match sheet.supply {
        SupplyKind::Transformer => "mains transformer",
        SupplyKind::Live => "LIVE CHASSIS",
        SupplyKind::Unknown => "not known: LIVE CHASSIS until proved otherwise",
    };
    let earth = match sheet.mains.earth {
        Some(Earth::ThreeCore) if sheet.supply != SupplyKind::Transformer => {
            format!("three-core lead: TAKE THE {} OFF A LIVE CHASSIS before power", terms.earth.to_uppercase())
        }
        Some(Earth::ThreeCore) => format!("three-core lead, chassis to {}", terms.earth),
        Some(Earth::TwoCore) => format!("two-core lead, no {}", terms.earth),
        Some(Earth::Unknown) | None => "not known".to_owned(),
    };
    let volts = |v: Option<crate::units::Volt>| v.map_or_else(|| "not known".to_owned(), |v| v.to_string());
    let mains = format!(
        "tapping {}, measured {}, {}",
        volts(sheet.mains.tapping),
        volts(sheet.mains.measured),
        sheet.mains.frequency()
    );
    vec![
        Field::known("Fed by", fed),
        Field::known("Mains", mains),
        Field::known(&format!("Mains {}", terms.earth), earth),
        Field::known("Renewed", extent(sheet.policy, sheet.wish)),
        Field::blank("Serial number"),
    ]
}

/// What stays in the capacitors, and how long it takes to draw it off.
pub(super) fn charge(sheet: &Sheet) -> Vec<Block> {
    let stored = &sheet.stored;
    let mut blocks = vec![
        Block::Heading("Charge that stays after switching off".to_owned()),
        Block::Text(format!(
            "Through {} ({} at the first moment; use 5 W or more), clipped from the capacitor's plus to its minus, down to \
             {}. Then measure, leave the resistor clipped on, and measure again: an electrolytic left open can bring back \
             up to 15 % of its voltage.",
            stored.resistor, stored.heat, stored.safe
        )),
    ];
    let listed = |s: &&Stored| s.energy.get() >= LISTED_FROM_J;
    let rows: Vec<Vec<Cell>> = stored.parts.iter().filter(listed).map(row).collect();
    if !rows.is_empty() {
        let columns = vec![
            Column::text("Ref"),
            Column::figures("Capacitance"),
            Column::figures("Highest"),
            Column::figures("Energy"),
            Column::figures("At least, s"),
            Column::figures("Can come back"),
            Column::text("Measured under 10 V"),
        ];
        blocks.push(Block::Table(Table { columns, rows, total: None }));
    }
    blocks.push(Block::Text(format!(
        "At least: at the upper ends of the tolerances, the resistor's taken as {:.0} %; what hangs on one supply \
         drains together and is counted together.",
        stored::DISCHARGE_PLUS * 100.0
    )));
    let together: Vec<String> = stored.together.iter().map(together).collect();
    if !together.is_empty() {
        blocks.push(Block::List(together));
    }
    let small: Vec<&str> = stored.parts.iter().filter(|s| !listed(s)).map(|s| s.reference.as_str()).collect();
    if !small.is_empty() {
        blocks.push(Block::Text(format!(
            "Less than {LISTED_FROM_J} J each, discharged all the same: {}.",
            small.join(" ")
        )));
    }
    if !stored.unknown.is_empty() {
        let text = format!("Voltage or value not known, take as charged: {}.", stored.unknown.join(" "));
        blocks.push(Block::Text(text));
    }
    blocks
}

/// `HT: C30 C31 C1+C2 together up to 88 µF`; those joined by a plus are in series.
fn together(drained: &Drained) -> String {
    let series = if drained.counted.iter().any(|c| c.contains('+')) { " (a plus: in series)" } else { "" };
    format!("{}: {}{series}, together up to {}", drained.supply, drained.counted.join(" "), drained.farad)
}

fn row(stored: &Stored) -> Vec<Cell> {
    vec![
        Cell::text(stored.reference.clone()),
        Cell::text(stored.farad.to_string()),
        Cell::text(stored.volts.to_string()),
        Cell::text(format!("{}{}", stored.energy, if stored.hazardous { ", hazardous" } else { "" })),
        Cell::Number { value: stored.discharge.get(), shown: format!("{:.0}", stored.discharge.get().ceil()) },
        stored.back.map_or(Cell::Blank, |v| Cell::text(v.to_string())),
        Cell::Tick(format!("{} measured under 10 V", stored.reference)),
    ]
}
