//! Reforming: how each electrolytic that is kept is brought up, and a log table to fill in at the bench.

use super::block::{Block, Cell, Column, Table};
use super::describe::counted;
use super::notes::Notes;
use crate::model::plan::Inspection;
use crate::rules::{ReformPlan, ReformStep};
use crate::units::Second;
use crate::units::print::significant;

/// Writes the plans of one job.
pub fn blocks(inspection: &Inspection, plans: &[ReformPlan]) -> Vec<Block> {
    let title = counted(plans.len(), "part to reform", "parts to reform");
    let mut blocks = vec![Block::Title(inspection.chassis.clone(), title)];
    if plans.is_empty() {
        blocks.push(Block::Text("No part of this job is kept for reforming.".to_owned()));
        return blocks;
    }
    blocks.push(Block::Heading("CAUTION".to_owned()));
    blocks.push(Block::List(cautions(plans)));
    blocks.extend(plans.iter().flat_map(part));
    blocks
}

/// The same on the bench sheet, after the order of work; `wanted` are the parts to be reformed.
pub(super) fn bench_blocks(wanted: &[&str], plans: &[ReformPlan], notes: &mut Notes) -> Vec<Block> {
    if wanted.is_empty() {
        return Vec::new();
    }
    let mut blocks = vec![Block::Heading("Reforming, out of the set".to_owned()), Block::Alert(cautions(plans))];
    let unplanned: Vec<&str> = wanted.iter().copied().filter(|w| plans.iter().all(|p| p.reference != *w)).collect();
    if !unplanned.is_empty() {
        let text = format!("{}: no voltage to end at is known; not to be reformed before it is.", unplanned.join(" "));
        blocks.push(Block::Text(text));
    }
    for plan in plans {
        blocks.push(Block::Line(heading(plan)));
        blocks.push(Block::Text(figures(plan, |source| notes.mark(&source)).join("; ")));
        blocks.push(Block::Table(log(plan, || Cell::Fill)));
    }
    blocks
}

/// The cautions, the same for every part, once.
fn cautions(plans: &[ReformPlan]) -> Vec<String> {
    let mut cautions: Vec<String> = Vec::new();
    for caution in plans.iter().flat_map(|p| p.cautions) {
        if !cautions.iter().any(|c| c == caution) {
            cautions.push((*caution).to_owned());
        }
    }
    cautions
}

fn heading(plan: &ReformPlan) -> String {
    format!("{}  {}, to {}", plan.reference, plan.farad, plan.target)
}

fn part(plan: &ReformPlan) -> Vec<Block> {
    vec![
        Block::Heading(heading(plan)),
        Block::List(figures(plan, |source| format!("({source})"))),
        Block::Table(log(plan, || Cell::text("_".repeat(7)))),
    ]
}

/// What it must pass, through what, and for how long.
fn figures(plan: &ReformPlan, mut cite: impl FnMut(String) -> String) -> Vec<String> {
    let measured =
        plan.measured.map_or_else(|| "leakage not measured yet".to_owned(), |m| format!("leaked {m} so far"));
    vec![
        format!(
            "{measured}; passes at {} or less, held steady at the end {}",
            plan.pass,
            cite(plan.pass_source.to_string())
        ),
        format!(
            "through {} rated {} ({} in it when the part is shorted)",
            plan.series, plan.series_watts, plan.shorted_watts
        ),
        format!(
            "at each step wait until the current has fallen, {} at most {}",
            clock(plan.step_time),
            cite(plan.source.to_string())
        ),
        format!("at the last step hold {} at least {}", clock(plan.hold), cite(plan.hold_source.to_string())),
    ]
}

/// A time as a clock on the wall tells it.
fn clock(time: Second) -> String {
    let minutes = time.get() / 60.0;
    if minutes < 60.0 {
        format!("{} min", significant(minutes, 3))
    } else {
        format!("{} h", significant(minutes / 60.0, 3))
    }
}

/// The steps with room to write in what was read.
fn log(plan: &ReformPlan, blank: impl Fn() -> Cell) -> Table {
    let columns = vec![
        Column::figures("Supply"),
        Column::figures("At switch-on, up to"),
        Column::figures(&format!("Stop if, after {}, above", clock(plan.step_time))),
        Column::text("Clock"),
        Column::text("Drop"),
        Column::text("Current"),
        Column::text("Can warm?"),
    ];
    let row = |step: &ReformStep| {
        vec![
            Cell::text(step.volts.to_string()),
            Cell::text(step.at_start.to_string()),
            Cell::text(step.stop_above.to_string()),
            blank(),
            blank(),
            blank(),
            blank(),
        ]
    };
    Table { columns, rows: plan.steps.iter().map(row).collect(), total: None }
}
