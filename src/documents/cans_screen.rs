//! Cans with the ways of renewing them side by side: what goods each takes, what it does to the order.

use super::block::{Block, Entry};
use super::describe::{by_job, pieces};
use super::machine::plan::Digits;
use crate::model::plan::{CanOption, CanWay, CanWays};
use crate::money::Money;

/// The cans of a plan; nothing where there are none.
pub fn blocks(cans: &[CanWays], digits: Digits) -> Vec<Block> {
    if cans.is_empty() {
        return Vec::new();
    }
    let entries = cans.iter().flat_map(|can| {
        let named = format!("can {} {}", can.can, by_job(&can.refs));
        can.options.iter().enumerate().map(move |(i, option)| entry(if i == 0 { &named } else { "" }, option, digits))
    });
    vec![
        Block::Heading("CANS (each way: its goods, and what the whole order would cost more)".to_owned()),
        Block::Entries(entries.collect()),
    ]
}

/// The way in a technician's words.
pub const fn way_words(way: CanWay) -> &'static str {
    match way {
        CanWay::NewCan => "new can",
        CanWay::Beside => "single parts beside it",
        CanWay::Inside => "restuffed",
    }
}

fn entry(named: &str, option: &CanOption, digits: Digits) -> Entry {
    let goods = option.goods.map_or_else(|| "-".to_owned(), |m| digits.text(m));
    let cells = vec![named.to_owned(), way_words(option.way).to_owned(), goods, change(option, digits)];
    let mut beneath: Vec<String> = option.why_not.iter().map(|why| format!("not possible: {why}")).collect();
    if !option.parts.is_empty() {
        beneath.push(pieces(&option.parts, &option.extras));
    }
    Entry { cells, mark: None, beneath }
}

/// `taken`, `4.20 more`, or nothing where the order was not solved again.
fn change(option: &CanOption, digits: Digits) -> String {
    match option.difference {
        _ if option.taken => "taken".to_owned(),
        Some(d) if d < Money::ZERO => format!("{} less", digits.text(-d)),
        Some(d) if d > Money::ZERO => format!("at most {} more", digits.text(d)),
        Some(_) => "no dearer".to_owned(),
        None => String::new(),
    }
}
