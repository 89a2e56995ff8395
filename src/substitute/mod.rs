//! What a new part must be, whether an offer will do there and where it fails, and how parts are put together.
//!
//! [`need_of`] turns one judged part into a [`Need`](crate::model::need::Need) with a reason for every
//! figure; [`check`] holds an article against it, point by point.

pub mod arrange;
pub mod candidates;
pub mod designation;
pub mod margins;
pub mod need;
#[cfg(test)]
pub(crate) mod testing;
pub mod verdict;

pub use arrange::{Alternative, Choice, Demand, MissedCans, Position, Ways, can_ways, check_can, positions};
pub use candidates::{Ask, Found, Search, Source, SourceKey, Target};
pub use margins::{MARGINS, Margin};
pub use need::{NeedContext, NoNeed, need_of, need_text};
pub use verdict::{RectifierDuty, Rules, check, expected_life};
