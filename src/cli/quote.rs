//! `quote`: what the owner is asked to authorise.

use super::args::PlanArgs;
use super::exit::{Failure, Outcome};
use super::files::date;
use super::plan::{MADE_BY, planned_in, write};
use super::screen::{self, Reporter};
use super::write::OutFile;
use crate::documents::machine::quote::QuoteDocument;
use crate::documents::quote::{blocks, title};
use crate::documents::words::Words;
use crate::export::{html, json, markdown, text};
use crate::quote::quote;

/// Prints the quote; not met while something stands in the way of it.
pub(super) fn run(args: &PlanArgs) -> anyhow::Result<Outcome> {
    let date = date(&args.folders)?;
    let (jobs, shop, plan) = planned_in(args)?;
    let quote = quote(&jobs, &plan, &shop.quote, date).map_err(|e| Failure::input(format!("error: {e}")))?;
    let document = json::write(&QuoteDocument::new(&plan, &quote))?;
    let blocks = Words::new(&shop, &jobs).with_plan(&plan).of(blocks(&quote, shop.words));
    if args.folders.out.is_some() || args.folders.dry_run {
        let files = [
            OutFile::text("quote.html", html::write(MADE_BY, &title(&quote), &blocks)?),
            OutFile::text("quote.md", markdown::write(MADE_BY, &blocks)),
            OutFile::text("quote.json", document.clone()),
        ];
        write(&args.folders, &files, Reporter::new(&args.telling))?;
    }
    screen::result(&if args.telling.json { document } else { text::write(&blocks, screen::setting(&args.telling)) })?;
    Ok(super::plan::outcome(&plan))
}
