//! What each job costs of a common order, and what ordering together saves, for people.

use super::block::{Block, Cell, Column, Table};
use super::machine::plan::Digits;
use crate::model::plan::{Alone, Plan, Together};
use crate::money::Money;

/// One line: what ordering together saves against ordering each job for itself; `None` with one job.
pub fn line(plan: &Plan) -> Option<String> {
    let together = plan.together.as_ref()?;
    let digits = Digits(plan.currency.minor_digits());
    let text = |money: Money| digits.text(money);
    let alone = text(together.alone);
    if !together.comparable() {
        let gains: Vec<&str> = together.jobs.iter().flat_map(|j| &j.gains).map(String::as_str).collect();
        return Some(format!("each job alone {alone}, with {}: not to be compared", gains.join(" ")));
    }
    let lacks: Vec<&str> = together.lacks().collect();
    let without = if lacks.is_empty() { String::new() } else { format!(", without {}", lacks.join(" ")) };
    let least = together.saves_least;
    Some(if together.proven() {
        match together.saves {
            saves if Money::ZERO < saves => format!("ordering together saves {}: each job alone {alone}", text(saves)),
            saves if saves < Money::ZERO => {
                format!("ordering together costs {} more: each job alone {alone}", text(-saves))
            }
            _ => format!("ordering together saves nothing: each job alone {alone}"),
        }
    } else if Money::ZERO < least {
        let bound = text(together.bound);
        format!("ordering together saves at least {}: each job alone at least {bound}{without}", text(least))
    } else {
        let range = format!("{} to {alone}", text(together.bound));
        format!("whether ordering together saves is not proven: each job alone {range}{without}")
    })
}

/// What each job costs, in a table with what the figures mean; nothing with one job.
pub fn blocks(plan: &Plan) -> Vec<Block> {
    let Some(together) = &plan.together else { return Vec::new() };
    let mut blocks = vec![
        Block::Heading(format!("WHAT EACH JOB COSTS, {}", plan.currency)),
        Block::Table(table(plan, together)),
        Block::Text("share: its goods, and by them its part of carriage, fees and spare pieces".to_owned()),
        Block::Text(
            "alone: ordered for itself, one after another in this order; shelf and stock serve once, what is left \
             over serves the next"
                .to_owned(),
        ),
    ];
    if together.lacks().next().is_some() {
        let lacks: Vec<&str> = together.lacks().collect();
        blocks.push(Block::Text(format!("met only together: {}", lacks.join(" "))));
    }
    blocks
}

fn table(plan: &Plan, together: &Together) -> Table {
    let digits = Digits(plan.currency.minor_digits());
    let columns =
        vec![Column::text("Job"), Column::figures("Share"), Column::figures("Alone"), Column::figures("Saves")];
    let row = |((inspection, share), alone): ((&crate::model::plan::Inspection, &Money), &Alone)| {
        vec![
            Cell::text(inspection.job.clone()),
            Cell::Money(digits.text(*share)),
            Cell::Money(own(alone, digits)),
            Cell::Money(digits.text(alone.landed - *share)),
        ]
    };
    let rows = plan.inspections.iter().zip(&plan.job_shares).zip(&together.jobs).map(row).collect();
    let total = vec![
        Cell::text("all"),
        Cell::Money(digits.text(plan.totals.landed)),
        Cell::Money(digits.text(together.alone)),
        Cell::Money(digits.text(together.saves)),
    ];
    Table { columns, rows, total: Some(total) }
}

/// What one job costs alone, with how far that is proven.
fn own(alone: &Alone, digits: Digits) -> String {
    let cost = digits.text(alone.landed);
    if alone.bound < alone.landed { format!("{} to {cost}", digits.text(alone.bound)) } else { cost }
}
