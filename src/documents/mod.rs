//! What stands in each document: neutral tables, text blocks, drawings and machine rows. Nothing is decided here.

pub mod block;
mod caution_words;
pub mod describe;
pub mod drawing;
pub mod drawings;
pub mod inspect_screen;
pub mod machine;
mod owner_words;
pub mod parts_list;
pub mod plan_screen;
pub mod quote;
pub mod record;
pub mod sheet;
pub mod shopping_list;
pub mod terms;
