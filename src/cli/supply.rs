//! `supply`: the HT supply computed.

use super::args::JobArgs;
use super::exit::Outcome;
use super::files::{Loaded, load};
use super::screen;
use crate::documents::machine::supply::SupplyDocument;
use crate::documents::supply_screen;
use crate::documents::words::Words;
use crate::export::{json, text};
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
    screen::result(&result)?;
    let faulty = inspections.iter().flat_map(|i| &i.supplies).any(|s| s.as_ref().is_err_and(|u| u.fault));
    Ok(if faulty { Outcome::NotMet } else { Outcome::Done })
}
