//! `order`: the shopping list of each supplier.

use super::args::PlanArgs;
use super::exit::Outcome;
use super::plan::{MADE_BY, outcome, planned, write};
use super::screen::{self, Reporter};
use super::write::{OutFile, distinct_stems};
use crate::documents::machine::order::OrderDocument;
use crate::documents::{order_screen, shopping_list};
use crate::export::{csv, json, text};
use crate::model::plan::Plan;

/// Prints the lists; while a job is on hold there are no lines, and it is not met.
pub(super) fn run(args: &PlanArgs) -> anyhow::Result<Outcome> {
    let (_jobs, plan) = planned(args)?;
    let result = if args.telling.json {
        json::write(&OrderDocument::new(&plan))?
    } else {
        text::write(&order_screen::blocks(&plan), screen::setting(&args.telling))
    };
    if (args.folders.out.is_some() || args.folders.dry_run) && !plan.on_hold() {
        write(&args.folders, &files(&plan)?, Reporter::new(&args.telling))?;
    }
    screen::result(&result)?;
    Ok(outcome(&plan))
}

/// One list for each supplier.
fn files(plan: &Plan) -> anyhow::Result<Vec<OutFile>> {
    let stems = distinct_stems(plan.bills.iter().map(|b| b.supplier.as_str()));
    plan.bills
        .iter()
        .zip(stems)
        .map(|(bill, stem)| {
            let list = csv::write(MADE_BY, &shopping_list::table(plan, bill))?;
            Ok(OutFile::text(&format!("order-{stem}.csv"), list))
        })
        .collect()
}
