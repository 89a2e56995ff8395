//! Pure functions of the physics that the rules stand on: no input, no output, no decisions.

pub mod supply;
