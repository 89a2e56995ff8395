//! `supply`: the HT supply computed.

use super::args::JobArgs;
use super::exit::Outcome;
use super::files::{Loaded, load};
use super::plan::{MADE_BY, planned_job, write};
use super::screen::{self, Reporter};
use super::write::OutFile;
use crate::documents::machine::supply::SupplyDocument;
use crate::documents::sheet::supply_drawing;
use crate::documents::supply_screen;
use crate::documents::words::Words;
use crate::export::{json, svg, text};
use crate::sheet::sheet;
use crate::workflow;

/// Prints the figures of every supply; not met when one of them contradicts itself.
pub(super) fn run(args: &JobArgs) -> anyhow::Result<Outcome> {
    let Loaded { jobs, shop, .. } = load(std::slice::from_ref(&args.job), &args.folders, &args.telling)?;
    let inspections: Vec<_> = jobs.iter().map(|j| workflow::inspect(j, &shop)).collect();
    let result = if args.telling.json {
        json::write(&SupplyDocument::new(&inspections))?
    } else {
        let blocks: Vec<_> = inspections.iter().flat_map(supply_screen::blocks).collect();
        text::write(&Words::new(&shop, &jobs).of(blocks), screen::setting(&args.telling))
    };
    if args.folders.out.is_some() || args.folders.dry_run {
        write(&args.folders, &drawing(args)?, Reporter::new(&args.telling))?;
    }
    screen::result(&result)?;
    let faulty = inspections.iter().flat_map(|i| &i.supplies).any(|s| s.as_ref().is_err_and(|u| u.fault));
    Ok(if faulty { Outcome::NotMet } else { Outcome::Done })
}

/// The drawing of the supplies with ratings old and new, for which the plan is needed.
fn drawing(args: &JobArgs) -> anyhow::Result<Vec<OutFile>> {
    let (job, _, plan) = planned_job(args)?;
    let sheet = sheet(&job, &plan, None)?;
    let drawn = supply_drawing(&sheet);
    Ok(drawn.map(|d| OutFile::text("supply.svg", svg::file(MADE_BY, &d))).into_iter().collect())
}
