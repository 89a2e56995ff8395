//! `order`: the shopping list of each supplier.

use super::args::PlanArgs;
use super::exit::Outcome;
use super::plan::{MADE_BY, bills, outcome, planned_in, table_files, write};
use super::screen::{self, Reporter};
use super::write::OutFile;
use crate::documents::machine::order::OrderDocument;
use crate::documents::words::Words;
use crate::documents::{order_screen, shopping_list};
use crate::export::{json, markdown, text};
use crate::model::plan::Plan;

/// Prints the lists; while a job is on hold there are no lines, and it is not met.
pub(super) fn run(args: &PlanArgs) -> anyhow::Result<Outcome> {
    let (jobs, shop, plan) = planned_in(args)?;
    let words = Words::new(&shop, &jobs).with_plan(&plan);
    let result = if args.telling.json {
        json::write(&OrderDocument::new(&plan))?
    } else {
        text::write(&words.of(order_screen::blocks(&plan)), screen::setting(&args.telling))
    };
    if (args.folders.out.is_some() || args.folders.dry_run) && !plan.on_hold() {
        write(&args.folders, &files(&plan, &words)?, Reporter::new(&args.telling))?;
    }
    screen::result(&result)?;
    Ok(outcome(&plan))
}

/// One list for each supplier, in every form.
fn files(plan: &Plan, words: &Words) -> anyhow::Result<Vec<OutFile>> {
    let mut files = Vec::new();
    for (bill, stem) in bills(plan) {
        let list = words.table(shopping_list::table(plan, bill));
        files.extend(table_files(&format!("order-{stem}"), &bill.supplier, &list)?);
        // The page for people tells more than the table: what is missing to free carriage, lines to paste.
        let page = markdown::write(MADE_BY, &words.of(order_screen::supplier_blocks(plan, bill)));
        files.retain(|f| f.name != format!("order-{stem}.md"));
        files.push(OutFile::text(&format!("order-{stem}.md"), page));
    }
    Ok(files)
}
