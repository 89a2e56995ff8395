//! `rules`: the list of rules, or the page of one.

use super::args::RulesArgs;
use super::exit::{Failure, Outcome};
use super::screen;
use crate::documents::rule_pages::{RulesDocument, list, page};
use crate::export::{json, text};
use crate::rules::{FITTING, pages};
use crate::units::parse::nearest;

/// Prints them.
pub(super) fn run(args: &RulesArgs) -> anyhow::Result<Outcome> {
    let one = match &args.id {
        None => None,
        Some(id) => Some(pages().chain(FITTING).find(|m| m.id == id).ok_or_else(|| unknown(id))?),
    };
    let result = if args.telling.json {
        match one {
            Some(meta) => json::write(&RulesDocument::new([meta]))?,
            None => json::write(&RulesDocument::new(pages().chain(FITTING)))?,
        }
    } else {
        text::write(&one.map_or_else(list, page), screen::setting(&args.telling))
    };
    screen::result(&result)?;
    Ok(Outcome::Done)
}

fn unknown(id: &str) -> Failure {
    let ids: Vec<&str> = pages().chain(FITTING).map(|m| m.id).collect();
    let similar = nearest(id, &ids).map(|n| format!("a similar rule exists: {n}; ")).unwrap_or_default();
    Failure::input(format!("error: no rule `{id}`\n  help: {similar}`capjob rules` lists all"))
}
