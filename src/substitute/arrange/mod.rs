//! How parts are put together: pairs, balancing resistors, cans.

pub mod balance;
pub mod pair;
