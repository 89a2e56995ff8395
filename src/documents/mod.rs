//! What stands in each document: neutral tables, text blocks and machine rows. Nothing is decided here.

pub mod block;
pub mod check_screen;
pub mod decoded;
pub mod describe;
pub mod inspect_screen;
pub mod machine;
pub mod order_screen;
pub mod parts_list;
pub mod plan_screen;
pub mod reform;
pub mod rule_pages;
pub mod shopping_list;
pub mod supply_screen;
pub mod why_screen;
