//! What a leakage reading on an electrolytic is worth, for every rule that leans on it.

use super::Subject;
use super::electrolytic_leakage::{ABOVE_RATING, FACTOR, NEAR, OLD_YEARS};
use super::say;
use crate::model::part::LeakageReading;
use crate::physics::leakage::{modern_limit, vintage_limit};
use crate::sources::SourceId;
use crate::units::{Ampere, Second, Volt};

/// The limit of one part.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct LeakLimit {
    /// Most current.
    pub(crate) most: Ampere,
    /// Time at voltage before a reading counts against the part.
    pub(crate) after: Second,
    /// Where it is from.
    pub(crate) source: SourceId,
    /// Whether the shop has changed it.
    pub(crate) from_shop: bool,
}

/// Outcome of a leakage reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Leak {
    /// No reading.
    Missing,
    /// Value or rating not known, so there is no limit.
    NoLimit,
    /// Within the limit, near enough to the working or rated voltage.
    Good(LeakLimit),
    /// Within the limit, but the test voltage was too low or was not written.
    TooLow(LeakLimit),
    /// Above the limit, after its minutes (or the minutes were not written).
    Over(LeakLimit),
    /// Above the limit, but read too early.
    Early(LeakLimit),
    /// Above the limit, but taken above the rating.
    AboveRating(LeakLimit),
    /// Between the limit of a new part and that of an old one, and the age is not known.
    AgeDecides(LeakLimit),
}

/// Weighs the leakage reading of an electrolytic.
pub(crate) fn assess(subject: &Subject<'_>) -> Leak {
    let Some(reading) = subject.part.found.leakage else { return Leak::Missing };
    let Some((strict, lax)) = limits(subject) else { return Leak::NoLimit };
    let current = reading.current.abs();
    if lax.most < current {
        return over(subject, reading, lax);
    }
    if strict.most < current {
        return Leak::AgeDecides(strict);
    }
    if near_enough(subject, reading) { Leak::Good(lax) } else { Leak::TooLow(lax) }
}

/// The limit for a part of this age; where the age is not known, the limit of an old part.
pub(crate) fn limit(subject: &Subject<'_>) -> Option<LeakLimit> {
    limits(subject).map(|(_, lax)| lax)
}

/// The strict and the lax limit: equal where the age is known.
fn limits(subject: &Subject<'_>) -> Option<(LeakLimit, LeakLimit)> {
    let (nominal, rated) = (subject.part.farad()?, subject.rated_or_working()?);
    let factor = subject.held(&FACTOR);
    let by = |limit: crate::physics::leakage::LeakageLimit| LeakLimit {
        most: limit.limit.value * factor.value,
        after: limit.after,
        source: limit.limit.source,
        from_shop: factor.from_shop,
    };
    let new = by(modern_limit(nominal, rated));
    let Some(old) = vintage_limit(nominal, rated).map(by) else { return Some((new, new)) };
    let old_years = subject.held(&OLD_YEARS).value;
    Some(match subject.age_years() {
        Some(age) if old_years < f64::from(age) => (old, old),
        Some(_) => (new, new),
        None => (if new.most < old.most { new } else { old }, old),
    })
}

/// Whether a reading over the limit condemns.
fn over(subject: &Subject<'_>, reading: LeakageReading, limit: LeakLimit) -> Leak {
    let most = subject.held(&ABOVE_RATING);
    let at_and_rated = reading.at.zip(subject.part.rating.volts);
    if at_and_rated.is_some_and(|(at, rated)| rated * (most.value / 100.0) < at) {
        return Leak::AboveRating(limit);
    }
    let above = at_and_rated.is_some_and(|(at, rated)| rated < at);
    let limit = LeakLimit { from_shop: limit.from_shop || (above && most.from_shop), ..limit };
    match reading.after {
        Some(after) if after < limit.after => Leak::Early(limit),
        _ => Leak::Over(limit),
    }
}

/// Whether the test voltage was near the rated or working voltage.
fn near_enough(subject: &Subject<'_>, reading: LeakageReading) -> bool {
    let near = subject.held(&NEAR).value / 100.0;
    match (reading.at.map(Volt::abs), subject.leakage_reference()) {
        (Some(at), Some(reference)) => reference * near <= at,
        _ => false,
    }
}

/// What was read, such as `3.2 mA at 400 V after 10 min`.
pub(crate) fn reading_text(reading: LeakageReading, limit: Ampere) -> String {
    let at = reading.at.map_or_else(|| " at an unknown voltage".to_owned(), |v| format!(" at {v}"));
    let after = reading.after.map_or_else(String::new, |t| format!(" after {}", minutes(t)));
    format!("{}{at}{after}", say::leakage(reading.current, limit))
}

/// A time in minutes, or in hours from two hours on.
pub(crate) fn minutes(time: Second) -> String {
    let hours = time.get() / 3600.0;
    if hours >= 2.0 {
        format!("{} h", crate::units::print::significant(hours, 3))
    } else {
        format!("{} min", crate::units::print::significant(time.get() / 60.0, 3))
    }
}
