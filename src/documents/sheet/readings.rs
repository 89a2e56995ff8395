//! The readings to take when the set runs: what is expected, between which limits, and room for the figure.

use crate::documents::block::{Block, Cell, Column, Field, Table, Tick};
use crate::documents::terms::Terms;
use crate::model::chassis::{Earth, Polarity};
use crate::sheet::Sheet;
use crate::units::{Ohm, Volt, Watt};
use crate::verify::{Expected, Sign, Unit, What};

/// Loads and watts for which the output voltage is printed.
const LOADS: [f64; 4] = [4.0, 8.0, 15.0, 16.0];
const POWERS: [f64; 8] = [1.0, 3.0, 5.0, 10.0, 15.0, 20.0, 30.0, 50.0];

/// Voltages, output, hum, touch current, running in.
pub(super) fn blocks(sheet: &Sheet, terms: Terms) -> Vec<Block> {
    let mut blocks = vec![
        Block::Heading("Readings, warm, everything in".to_owned()),
        Block::Text(
            "To the chassis unless it says otherwise. Limits are for the mains of the inspection and move with the mains."
                .to_owned(),
        ),
    ];
    let elsewhere = |w: &What| matches!(w, What::Power | What::Hum | What::Touch(_) | What::Cold | What::Reads(_));
    let in_table = |e: &&Expected| !elsewhere(&e.what);
    let rows: Vec<Vec<Cell>> = sheet.readings.iter().filter(in_table).map(row).collect();
    let columns = vec![
        Column::text("What"),
        Column::figures("Expected"),
        Column::figures("Limits"),
        Column::text("How known"),
        Column::text("Read"),
        Column::text("Done"),
    ];
    blocks.push(Block::Table(Table { columns, rows, total: None }));
    let shown: Vec<&Expected> = sheet.readings.iter().filter(in_table).collect();
    blocks.push(Block::Text(format!("Limits: {}.", limit_sources(&shown).join("; "))));
    blocks.extend(remarks(sheet, &shown).into_iter().map(Block::Text));
    if shown.iter().any(|e| matches!(e.what, What::Grid(_))) {
        blocks.push(Block::Text(format!(
            "DC on a grid: only what is above its rest is leakage. A grid leak of some megohms lets the {} hold its own grid \
             at -0.5 to -1 V (common practice, no source); in doubt read with the {} out.",
            terms.valve, terms.valve
        )));
    }
    blocks.extend(load_test(sheet));
    blocks.extend(touch(sheet, terms));
    blocks.push(Block::Heading("Running in".to_owned()));
    blocks.push(Block::Ticks(vec![
        Tick { what: format!("hours under load, then bias and {} read again", terms.ht), ..Tick::default() },
        Tick { what: "nothing warm that should not be; no smell; fuse whole".to_owned(), ..Tick::default() },
    ]));
    blocks.push(Block::Fields(vec![
        Field::blank("Hours run"),
        Field::blank("Bias after"),
        Field::blank("First node after"),
    ]));
    blocks
}

/// How far a measured voltage may be off the computed one before it is remarked, percent: what the computing is
/// expected to hold on real sets.
const REMARKED_PERCENT: f64 = 3.0;

/// What was measured before the work where another figure is expected, `HT1 412 V, 4 % less`.
fn as_found(sheet: &Sheet, expected: &Expected) -> Option<String> {
    let What::Node(name) = &expected.what else { return None };
    let found = sheet.drawn.iter().flat_map(|s| &s.nodes).filter(|n| n.name == *name).find_map(|n| n.measured)?.abs();
    let figure = expected.figure.map(f64::abs).filter(|_| expected.basis != "as found")?;
    let off = (found.get() / figure - 1.0) * 100.0;
    let way = match () {
        () if REMARKED_PERCENT < off => format!(", {off:.0} % more"),
        () if off < -REMARKED_PERCENT => format!(", {:.0} % less", -off),
        () => String::new(),
    };
    Some(format!("{name} {}{way}", if expected.sign == Sign::Below { -found } else { found }))
}

/// What does not go into the table: where a figure is no plain one, and what was measured before the work.
fn remarks(sheet: &Sheet, shown: &[&Expected]) -> Vec<String> {
    let long = shown.iter().filter(|e| is_long(e)).map(|e| format!("{}: {}.", what_words(&e.what), e.basis));
    let mut lines: Vec<String> = long.collect();
    let found: Vec<String> = shown.iter().filter_map(|e| as_found(sheet, e)).collect();
    if !found.is_empty() {
        lines.push(format!("Measured before the work, against what is expected: {}.", found.join("; ")));
    }
    lines
}

/// Whether the basis is a sentence, for which the table has no room.
fn is_long(expected: &Expected) -> bool {
    LONGEST_BASIS < expected.basis.chars().count()
}

/// The longest basis that goes into the table, characters.
const LONGEST_BASIS: usize = 16;

fn row(expected: &Expected) -> Vec<Cell> {
    vec![
        Cell::text(what_words(&expected.what)),
        Cell::text(expected_words(expected)),
        Cell::text(limit_words(expected)),
        Cell::text(if is_long(expected) { "see below" } else { expected.basis.as_ref() }),
        Cell::Fill,
        Cell::Tick(format!("{} read", expected.what.key())),
    ]
}

/// What is read, in words.
pub(in crate::documents) fn what_words(what: &What) -> String {
    match what {
        What::Cold => "insulation, plug pins to metal, cold".to_owned(),
        What::Mains => "mains".to_owned(),
        What::Node(node) => node.to_string(),
        What::Ripple(node) => format!("ripple at {node}, rms"),
        What::Bias => "bias, output stage".to_owned(),
        What::Grid(part) => format!("DC on the grid behind {part}"),
        What::Reads(part) => format!("value of {part}"),
        What::Done(part) => format!("work on {part}"),
        What::Power => "output at the onset of clipping".to_owned(),
        What::Hum => "hum at the output, input shorted".to_owned(),
        What::Touch(1) => "touch current, plug one way".to_owned(),
        What::Touch(_) => "touch current, plug the other way".to_owned(),
    }
}

/// The figure expected, or what it lies between; empty where neither is known.
pub(in crate::documents) fn expected_words(expected: &Expected) -> String {
    match (expected.figure, expected.between) {
        (Some(figure), _) => expected.unit.shown(figure),
        (None, Some(between)) => range(expected, between),
        (None, None) => String::new(),
    }
}

/// A range, the unit once where both have it.
fn range(expected: &Expected, (low, high): (f64, f64)) -> String {
    let (low, high) = (expected.unit.shown(low), expected.unit.shown(high));
    match (low.split_once(' '), high.split_once(' ')) {
        (Some((number, unit)), Some((_, same))) if unit == same => format!("{number} to {high}"),
        _ => format!("{low} to {high}"),
    }
}

/// The limits as a range, a most or a least.
pub(in crate::documents) fn limit_words(expected: &Expected) -> String {
    let shown = |si: f64| expected.unit.shown(si);
    match (expected.low, expected.high) {
        (Some(low), Some(high)) => range(expected, (low, high)),
        (Some(low), None) => format!("at least {}", shown(low)),
        (None, Some(high)) => format!("at most {}", shown(high)),
        (None, None) => String::new(),
    }
}

/// Where the limits come from, readings of one source together: `HT1 HT2: our own rule (default)`.
pub(in crate::documents) fn limit_sources(readings: &[&Expected]) -> Vec<String> {
    let mut sources: Vec<(&str, Vec<&str>)> = Vec::new();
    for expected in readings.iter().filter(|e| !e.source.is_empty()) {
        let kind = match expected.what {
            What::Node(_) | What::Bias => "voltages",
            What::Ripple(_) => "ripple",
            What::Grid(_) => "DC on grids",
            What::Reads(_) | What::Done(_) => "values",
            What::Cold => "insulation",
            What::Touch(_) => "touch current",
            What::Power => "output",
            What::Hum => "hum",
            What::Mains => "mains",
        };
        match sources.iter_mut().find(|(source, _)| *source == expected.source) {
            Some((_, kinds)) if kinds.contains(&kind) => {}
            Some((_, kinds)) => kinds.push(kind),
            None => sources.push((expected.source, vec![kind])),
        }
    }
    sources.into_iter().map(|(source, kinds)| format!("{}: {source}", kinds.join(", "))).collect()
}

/// The powers of the table: none beyond the first that is more than the HT puts in, for no stage gives more.
fn powers(sheet: &Sheet) -> Vec<f64> {
    let supplies = sheet.drawn.iter().filter(|s| s.polarity == Polarity::Positive);
    let fed = supplies.flat_map(|s| &s.nodes).filter_map(|node| {
        let computed = sheet.supplies.iter().filter_map(|s| s.as_ref().ok()).flat_map(|s| &s.nodes);
        let volts = computed.filter(|n| n.name == node.name).map(|n| n.volts).next().or(node.measured).or(node.sheet)?;
        Some(volts.abs().get() * node.load?.get())
    });
    let put_in: f64 = fed.sum();
    let beyond = POWERS.iter().position(|w| put_in <= *w).map_or(POWERS.len(), |first| first + 1);
    POWERS.iter().take(if put_in > 0.0 { beyond } else { POWERS.len() }).copied().collect()
}

/// Output into a resistive load, and hum.
fn load_test(sheet: &Sheet) -> Vec<Block> {
    let powers = powers(sheet);
    let mut columns = vec![Column::text("Load")];
    columns.extend(powers.iter().map(|w| Column::figures(&Watt::new(*w).to_string())));
    let row = |ohm: &f64| {
        let volts = powers.iter().map(|w| Cell::text(Unit::Volt.shown((w * ohm).sqrt())));
        std::iter::once(Cell::text(Ohm::new(*ohm).to_string())).chain(volts).collect()
    };
    let small = Volt::new(40f64.sqrt() / 1e4);
    vec![
        Block::Heading("Load test and hum".to_owned()),
        Block::Text(
            "1 kHz into a resistive load, raised to the onset of clipping; output is V²/R. Volts rms for these watts:"
                .to_owned(),
        ),
        Block::Table(Table { columns, rows: LOADS.iter().map(row).collect(), total: None }),
        Block::Text(format!(
            "Hum: input shorted, volume down, then up. Passes at 60 dB below the output (a thousandth of its volts; our \
             own rule). For comparison, 80 dB below 10 W into 4 R is {small} rms."
        )),
        Block::Fields(vec![
            Field::blank("Rated: watts, load"),
            Field::blank("Volts at clipping, watts"),
            Field::blank("Hum, mV"),
        ]),
    ]
}

fn touch(sheet: &Sheet, terms: Terms) -> Vec<Block> {
    let live = super::power::is_live(sheet);
    let earthed = !live && sheet.mains.earth != Some(Earth::TwoCore);
    let closed = if live { " The set is in its cabinet, back and knobs on: the chassis itself is live." } else { "" };
    let lifted = if earthed {
        format!(
            " With a three-core lead the set's {} is lifted for this test only, and its continuity is checked again \
             afterwards.",
            terms.earth
        )
    } else {
        String::new()
    };
    let mut fields = vec![Field::blank("Plug one way, V"), Field::blank("Plug the other way, V")];
    if earthed {
        let after = format!("{} continuity after, ohm", super::super::quote::capital(terms.earth));
        fields.push(Field::blank(&after));
    }
    vec![
        Block::Heading("Touch current, before the set goes back".to_owned()),
        Block::Alert(vec![
            "Direct on the mains, WITHOUT the isolating transformer: ONE HAND, nothing else touched.".to_owned(),
        ]),
        Block::Text(format!(
            "1.5 k with 0.15 µF across it, from each bare metal part to {}.{closed}{lifted} At most 0.75 V (0.5 mA), the \
             plug both ways; one maker allows 0.35 V (makers' service notes).",
            terms.earth
        )),
        Block::Fields(fields),
    ]
}
