//! Decides, part by part, what to do with the capacitors and resistors of a valve chassis,
//! finds what will do in their places, and buys it at the least landed cost.

pub mod money;
pub mod purchase;
pub mod units;
