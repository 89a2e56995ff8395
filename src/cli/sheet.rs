//! `sheet`: the bench sheet, as text on the screen and as one HTML file to print.

use super::args::JobArgs;
use super::exit::{Failure, Outcome};
use super::files::date;
use super::plan::{MADE_BY, planned_job, write};
use super::screen::{self, Reporter};
use super::write::OutFile;
use crate::documents::after_blank;
use crate::documents::machine::sheet::SheetDocument;
use crate::documents::sheet::{blocks, title};
use crate::documents::words::Words;
use crate::export::{csv, html, json, text};
use crate::rules::reform_plans;
use crate::sheet::sheet;

/// Prints the sheet.
pub(super) fn run(args: &JobArgs) -> anyhow::Result<Outcome> {
    let date = date(&args.folders)?;
    let (job, shop, plan) = planned_job(args)?;
    let sheet = sheet(&job, &plan, date).map_err(|e| Failure::internal(format!("internal fault: {e}")))?;
    let words = Words::new(&shop, std::slice::from_ref(&job)).with_plan(&plan);
    let own = plan.inspections.iter().find(|i| i.job == job.name);
    let reforms = own.map(|i| reform_plans(&job, &i.judgements, &shop.margins)).unwrap_or_default();
    let blocks = words.of(blocks(&sheet, &reforms, shop.words));
    if args.folders.out.is_some() || args.folders.dry_run {
        let files = [
            OutFile::text("sheet.html", html::write(MADE_BY, &title(&sheet), &blocks)?),
            // Not by the name of the readings themselves, so that it is never written over them.
            OutFile::text("after-blank.csv", csv::write(MADE_BY, &after_blank::table(&sheet, &plan))?),
        ];
        write(&args.folders, &files, Reporter::new(&args.telling))?;
    }
    let result = if args.telling.json {
        json::write(&SheetDocument::new((&job, &plan), &sheet, &reforms))?
    } else {
        text::write(&blocks, screen::setting(&args.telling))
    };
    screen::result(&result)?;
    Ok(super::plan::outcome(&plan))
}
