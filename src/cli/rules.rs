//! `rules`: the list of rules, or the page of one.

use std::path::PathBuf;

use super::args::{RulesArgs, Telling};
use super::exit::{Failure, Outcome};
use super::files::{load_shop, shop_beside};
use super::screen::{self, Reporter};
use crate::documents::block::{Block, Cell, Table};
use crate::documents::rule_pages::{RulesDocument, list, page};
use crate::documents::words::Words;
use crate::export::{json, text};
use crate::model::shop::WordSet;
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
        let blocks = in_words(&words(&args.telling), &one.map_or_else(list, page));
        text::write(&blocks, screen::setting(&args.telling))
    };
    screen::result(&result)?;
    Ok(Outcome::Done)
}

/// The pages in these words; a rule's name is the same in all.
fn in_words(words: &Words, blocks: &[Block]) -> Vec<Block> {
    let name = |row: &[Cell], said: Vec<Cell>| row.iter().take(1).cloned().chain(said.into_iter().skip(1)).collect();
    let said = words.of(blocks.to_vec());
    let with_name = |(block, said): (&Block, Block)| match (block, said) {
        (Block::Title(id, _), Block::Title(_, title)) => Block::Title(id.clone(), title),
        (Block::Table(table), Block::Table(said)) => {
            let rows = table.rows.iter().zip(said.rows).map(|(row, said)| name(row, said)).collect();
            Block::Table(Table { rows, ..said })
        }
        (_, said) => said,
    };
    blocks.iter().zip(said).map(with_name).collect()
}

/// The words of the shop that is at hand: that of the environment, else a folder `shop` here or above; without
/// one those of the UK.
pub(super) fn words(telling: &Telling) -> Words {
    let named = std::env::var_os("CAPJOB_SHOP").map(PathBuf::from);
    let here = || std::env::current_dir().ok().and_then(|here| shop_beside(&here.join("job")));
    let Some(folder) = named.or_else(here) else { return Words::ours(WordSet::Uk) };
    match load_shop(&folder) {
        Ok(read) => Words::ours(read.value.shop.words),
        Err(_told_by_the_commands_that_need_the_shop) => {
            let place = folder.display();
            Reporter::new(telling).note(&format!("the shop in {place} cannot be read: UK words are used"));
            Words::ours(WordSet::Uk)
        }
    }
}

fn unknown(id: &str) -> Failure {
    let ids: Vec<&str> = pages().chain(FITTING).map(|m| m.id).collect();
    let similar = nearest(id, &ids).map(|n| format!("a similar rule exists: {n}; ")).unwrap_or_default();
    Failure::input(format!("error: no rule `{id}`\n  help: {similar}`capjob rules` lists all"))
}
