//! `quote`: what the owner is asked to authorise.

use std::fs;

use super::args::PlanArgs;
use super::exit::{Failure, Outcome};
use super::files::{date, shop_folder};
use super::plan::{MADE_BY, planned_in, write};
use super::screen::{self, Reporter};
use super::write::OutFile;
use crate::documents::machine::quote::QuoteDocument;
use crate::documents::quote::{blocks, title};
use crate::documents::words::Words;
use crate::export::{html, json, markdown, text};
use crate::quote::{QuoteError, quote};

/// Prints the quote; not met while something stands in the way of it.
pub(super) fn run(args: &PlanArgs) -> anyhow::Result<Outcome> {
    let date = date(&args.folders)?;
    one_owner(args)?;
    let (jobs, shop, plan) = planned_in(args)?;
    let quote = quote(&jobs, &plan, &shop.quote, date).map_err(|e| no_quote(&e, args))?;
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

/// A quote is one owner's: the bench fee, what was authorised and the signature are of one job.
fn one_owner(args: &PlanArgs) -> Result<(), Failure> {
    if args.jobs.len() < 2 {
        return Ok(());
    }
    let each: Vec<String> = args.jobs.iter().map(|job| format!("capjob quote {}", job.display())).collect();
    Err(Failure::input(format!(
        "error: a quote is for one job: bench fee, authority and signature are one owner's\n  help: make one for each: {}; \
         `capjob order` puts the parts of several jobs into one order",
        each.join("; ")
    )))
}

/// Why there is no quote; where the shop's labour is still a remark in its file, which line that is.
fn no_quote(error: &QuoteError, args: &PlanArgs) -> Failure {
    let help = match error {
        QuoteError::NoLabour | QuoteError::NoRate { .. } => remarked_labour(args),
        QuoteError::BadMinutes { .. } | QuoteError::NotPlanned { .. } => None,
    };
    let help = help.map(|help| format!("\n  help: {help}")).unwrap_or_default();
    Failure::input(format!("error: {error}{help}"))
}

fn remarked_labour(args: &PlanArgs) -> Option<String> {
    let file = shop_folder(&args.jobs, &args.folders).ok()?.join("shop.toml");
    // The shop was read already; what cannot be read now gives no help and hides no fault.
    let text = fs::read_to_string(&file).ok()?;
    let is_remark =
        |line: &str| line.trim_start().strip_prefix('#').is_some_and(|l| l.trim_start().starts_with("[labour]"));
    let line = text.lines().position(is_remark)? + 1;
    Some(format!(
        "take the # away from {}:{line} and the lines beneath it, and put your own figures there",
        file.display()
    ))
}
