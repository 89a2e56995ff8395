//! How parts are put together: alone, in pairs with their resistors, in cans; and what just misses.

pub mod balance;
mod build;
pub mod can;
mod group;
pub mod inside;
mod made_up;
mod missed_can;
mod mounting;
mod nearest;
pub mod notes;
pub mod pair;
mod position;
mod restuff;
mod ways;

pub use build::positions;
pub use can::check_can;
pub use missed_can::MissedCans;
pub use position::{Alternative, Choice, Demand, Position, SectionNeed};
pub use ways::{Ways, can_ways};
