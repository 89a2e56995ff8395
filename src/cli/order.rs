//! `order`: the shopping list of each supplier.

use super::args::PlanArgs;
use super::exit::Outcome;
use super::plan::{MADE_BY, bills, outcome, planned_in, write};
use super::screen::{self, Reporter};
use super::write::OutFile;
#[cfg(feature = "xlsx")]
use crate::documents::block::Table;
use crate::documents::machine::order::OrderDocument;
use crate::documents::words::Words;
use crate::documents::{order_screen, shopping_list};
#[cfg(feature = "xlsx")]
use crate::export::xlsx;
use crate::export::{csv, json, markdown, text};
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

/// One list for each supplier, in every form, and what is taken from the shelf.
fn files(plan: &Plan, words: &Words) -> anyhow::Result<Vec<OutFile>> {
    let mut files = Vec::new();
    let shelf = order_screen::shelf_table(plan).map(|table| words.table(table));
    for (bill, stem) in bills(plan) {
        let list = words.table(shopping_list::table(plan, bill));
        files.push(OutFile::text(&format!("order-{stem}.csv"), csv::write(MADE_BY, &list)?));
        #[cfg(feature = "xlsx")]
        files.push(OutFile {
            name: format!("order-{stem}.xlsx"),
            bytes: xlsx::write(MADE_BY, &sheets(&bill.supplier, list, shelf.clone()))?,
        });
        let page = markdown::write(MADE_BY, &words.of(order_screen::supplier_blocks(plan, bill)));
        files.push(OutFile::text(&format!("order-{stem}.md"), page));
    }
    if let Some(shelf) = shelf {
        files.push(OutFile::text("from-shelf.csv", csv::write(MADE_BY, &shelf)?));
    }
    Ok(files)
}

/// The workbook of one supplier: what is ordered, and what is taken from the shelf besides.
#[cfg(feature = "xlsx")]
fn sheets(supplier: &str, list: Table, shelf: Option<Table>) -> Vec<xlsx::Sheet> {
    let ordered = xlsx::Sheet { name: supplier.to_owned(), table: list };
    let taken = shelf.map(|table| xlsx::Sheet { name: "From the shelf".to_owned(), table });
    std::iter::once(ordered).chain(taken).collect()
}
