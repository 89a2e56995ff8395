//! Decides, part by part, what to do with the capacitors and resistors of a valve chassis,
//! finds what will do in their places, and buys it at the least landed cost.

pub mod cli;
pub mod documents;
pub mod export;
pub mod input;
pub mod limits;
pub mod marking;
pub mod model;
pub mod money;
pub mod physics;
pub mod purchase;
pub mod quote;
pub mod rules;
pub mod sheet;
pub mod sources;
pub mod stress;
pub mod substitute;
pub mod units;
pub mod verify;
pub mod workflow;
