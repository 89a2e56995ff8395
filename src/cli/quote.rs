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

/// Why there is no quote; where the shop's file has the labour as a remark, the line to mend.
fn no_quote(error: &QuoteError, args: &PlanArgs) -> Failure {
    let settings = shop_folder(&args.jobs, &args.folders).ok().map(|shop| shop.join("shop.toml"));
    let text = settings.as_ref().and_then(|path| fs::read_to_string(path).ok()).unwrap_or_default();
    let remark = |line: &str| line.strip_prefix('#').is_some_and(|rest| rest.trim_start().starts_with("[labour]"));
    let line = text.lines().position(remark).filter(|_| *error == QuoteError::NoLabour);
    let help = match (settings, line) {
        (Some(path), Some(line)) => format!(
            "\n  help: {}:{}: take the # away there and in the lines below it, and put your own figures",
            path.display(),
            line + 1
        ),
        _ => String::new(),
    };
    Failure::input(format!("error: {error}{help}"))
}
