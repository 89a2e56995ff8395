//! Does this article do here, and where does it fail: one point after the other, in a fixed order.

mod age;
mod body;
mod designated;
mod fit;
mod mains;
mod rating;
mod resistor;
mod ripple;
mod rules;
mod tally;
mod value;

pub(super) use designated::is_wanted;
pub use fit::expected_life;
pub(super) use resistor::limiting_volts;
pub use rules::{RectifierDuty, Rules};
pub(super) use tally::{Count, Far};
pub(super) use value::{above_is_own_point, more_is_allowed};

use crate::model::need::{Need, Verdict};
use crate::model::shop::Article;
use tally::{Full, Tally};

/// One article held against one need.
#[derive(Clone, Copy)]
struct Held<'a> {
    /// What is needed.
    need: &'a Need,
    /// What is offered.
    article: &'a Article,
    /// The shop's rules and the day.
    rules: &'a Rules<'a>,
}

/// Holds an article against a need, with every point in words.
pub fn check(need: &Need, article: &Article, rules: &Rules<'_>) -> Verdict {
    let mut full = Full::default();
    run(Held { need, article, rules }, &mut full);
    Verdict::of(full.points)
}

/// Holds an article against a need without words: how many points fail, and how far it is off.
pub(super) fn count(need: &Need, article: &Article, rules: &Rules<'_>) -> Count {
    let mut count = Count::default();
    run(Held { need, article, rules }, &mut count);
    count
}

/// Every point, in the order of [`PointKind`](crate::model::need::PointKind).
fn run(held: Held<'_>, tally: &mut impl Tally) {
    value::kind(held, tally);
    value::value(held, tally);
    rating::voltage(held, tally);
    mains::ac_voltage(held, tally);
    mains::class(held, tally);
    ripple::ripple(held, tally);
    rating::temperature(held, tally);
    resistor::watts(held, tally);
    body::size(held, tally);
    body::style(held, tally);
    body::polarity(held, tally);
    fit::life(held, tally);
    value::limit_first(held, tally);
    designated::heater(held, tally);
    mains::touch(held, tally);
    resistor::flameproof(held, tally);
    age::age(held, tally);
}
