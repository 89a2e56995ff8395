//! Plain data: chassis, part, offer, shop, finding, need, plan. No I/O and no decisions.

pub mod bias;
pub mod chassis;
pub mod diagnostic;
pub mod finding;
pub mod glance;
pub mod grid;
pub mod kind;
pub mod need;
pub mod part;
pub mod plan;
pub mod shop;
pub mod supply;
pub mod words;
