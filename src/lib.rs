//! Decides, part by part, what to do with the capacitors and resistors of a valve chassis,
//! finds what will do in their places, and buys it at the least landed cost.

pub mod documents;
pub mod export;
pub mod limits;
pub mod model;
pub mod money;
pub mod physics;
pub mod quote;
pub mod rules;
pub mod sheet;
pub mod sources;
pub mod units;
pub mod verify;
