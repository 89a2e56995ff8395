//! `reform`: how to bring up what is kept, with a log to fill in.

use super::args::JobArgs;
use super::exit::{Failure, Outcome};
use super::files::{Loaded, load};
use super::screen;
use crate::documents::machine::reform::ReformDocument;
use crate::documents::reform;
use crate::documents::words::Words;
use crate::export::{json, text};
use crate::rules::reform_plans;
use crate::workflow;

/// Prints the steps of every part that is kept for reforming.
pub(super) fn run(args: &JobArgs) -> anyhow::Result<Outcome> {
    let Loaded { jobs, shop, .. } = load(std::slice::from_ref(&args.job), &args.folders, &args.telling)?;
    let Some(job) = jobs.first() else { return Err(Failure::internal("no job was read").into()) };
    let inspection = workflow::inspect(job, &shop);
    let plans = reform_plans(job, &inspection.judgements, &shop.margins);
    let result = if args.telling.json {
        json::write(&ReformDocument::new(&inspection, &plans))?
    } else {
        text::write(&Words::new(&shop, &jobs).of(reform::blocks(&inspection, &plans)), screen::setting(&args.telling))
    };
    screen::result(&result)?;
    Ok(Outcome::Done)
}
