//! What stands in each document: neutral tables, text blocks, drawings and machine rows. Nothing is decided here.

pub mod after_blank;
pub mod block;
pub mod cans_screen;
pub mod caution_words;
pub mod check_screen;
pub mod decoded;
pub mod describe;
pub mod drawing;
pub mod drawings;
pub mod inspect_screen;
pub mod machine;
mod notes;
pub mod order_screen;
pub mod owner_words;
pub mod parts_list;
pub mod plan_screen;
pub mod quote;
pub mod record;
pub mod reform;
pub mod rule_pages;
pub mod sheet;
pub mod shopping_list;
pub mod supply_screen;
pub mod terms;
pub mod together;
pub mod why_screen;
pub mod words;
