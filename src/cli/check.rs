//! `check`: will this part do here, and exactly why or why not.

use super::args::CheckArgs;
use super::catalog::Named;
use super::exit::{Failure, Outcome};
use super::files::{Loaded, load};
use super::screen;
use crate::documents::check_screen;
use crate::documents::machine::Common;
use crate::documents::machine::check::CheckDocument;
use crate::documents::words::Words;
use crate::export::{json, text};
use crate::workflow::{self, CheckError};

/// Prints the answer; not met when the part will not do.
pub(super) fn run(args: &CheckArgs) -> anyhow::Result<Outcome> {
    let Loaded { jobs, shop, catalog } = load(std::slice::from_ref(&args.job), &args.folders, &args.telling)?;
    let Some(job) = jobs.first() else { return Err(Failure::internal("no job was read").into()) };
    let mut named = Named { name: &args.part, offers: Vec::new() };
    let set_aside = catalog.each(&shop.suppliers, &mut named)?;
    let checked = workflow::check(job, &shop, &args.reference, (&args.part, &named.offers)).map_err(|e| refused(&e))?;
    let result = if args.telling.json {
        let named = (checked.reference.as_str(), checked.offered.as_str());
        let common = Common::new("check", std::slice::from_ref(&checked.inspection), &checked.assumed, set_aside);
        let common = common.with_diagnostics(&catalog.diagnostics());
        json::write(&CheckDocument::new(named, &checked.verdict, &checked.notes, common))?
    } else {
        let told = check_screen::Told { assumed: &checked.assumed, notes: &checked.notes };
        let named = (checked.reference.as_str(), checked.offered.as_str());
        let blocks = check_screen::blocks(named, &checked.need, &checked.verdict, &told);
        let words = Words::new(&shop, &jobs).keep([checked.offered.as_str()]);
        text::write(&words.of(blocks), screen::setting(&args.telling))
    };
    screen::result(&result)?;
    Ok(if checked.verdict.usable() { Outcome::Done } else { Outcome::NotMet })
}

fn refused(error: &CheckError) -> Failure {
    Failure::input(format!("error: {error}"))
}
