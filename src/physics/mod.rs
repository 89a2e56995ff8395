//! The handbook's formulas as pure functions: quantities in, quantities and sourced limits out.
//!
//! No function here sees a file or takes a decision for a part; rules do that with these figures.
//! A function gives `None` where its formula or table does not reach, never a guess.

pub mod derating;
pub mod discharge;
pub mod electrolytic;
pub mod end_of_life;
pub mod failure_rate;
pub mod fuse;
pub mod interpolate;
pub mod leakage;
pub mod life;
pub mod mains;
pub mod reform;
pub mod resistor;
pub mod ripple;
pub mod series_string;
pub mod supply;
pub mod verdict;

pub use verdict::{Verdict, within};
