//! `inspect`: every part judged.

use super::args::JobArgs;
use super::exit::Outcome;
use super::files::{Loaded, load};
use super::screen;
use crate::documents::inspect_screen;
use crate::documents::machine::inspect::InspectDocument;
use crate::documents::words::Words;
use crate::export::{json, text};
use crate::workflow;

/// Prints the judgement; not met when the job is on hold.
pub(super) fn run(args: &JobArgs) -> anyhow::Result<Outcome> {
    let Loaded { jobs, shop, .. } = load(std::slice::from_ref(&args.job), &args.folders, &args.telling)?;
    let inspections: Vec<_> = jobs.iter().map(|j| workflow::inspect(j, &shop)).collect();
    let result = if args.telling.json {
        json::write(&InspectDocument::new(&inspections, &workflow::can_wait(&jobs, &inspections, None)))?
    } else {
        let blocks: Vec<_> = jobs
            .iter()
            .zip(&inspections)
            .flat_map(|(job, inspection)| inspect_screen::blocks(job, inspection, 0 < args.telling.verbose))
            .collect();
        text::write(&Words::new(&shop, &jobs).of(blocks), screen::setting(&args.telling))
    };
    screen::result(&result)?;
    let held = inspections.iter().any(|i| !i.holds.is_empty() || workflow::wish_refused(i));
    Ok(if held { Outcome::NotMet } else { Outcome::Done })
}
