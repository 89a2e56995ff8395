//! The quote: what the work on the planned jobs costs the owner, exact to the minor unit.
//!
//! Rounding: labour once from all minutes, flat sums as they are, parts once after the mark-up, tax and
//! allowance once each from the net sum; each half away from zero. Everything else is a sum of these.

pub mod owner;
pub mod sums;
pub mod works;

use jiff::civil::Date;

use crate::model::chassis::{Job, OwnerWish, Policy};
use crate::model::finding::{Decision, HoldReason};
use crate::model::plan::{BuyLine, Plan, ShelfTake};
use crate::model::shop::QuoteSettings;
use crate::money::{Currency, Money};

pub use owner::{OwnerClass, OwnerLine, Waiting};
pub use sums::{Charges, Sums};
pub use works::{Work, WorkKind};

/// Days that a quote holds when the shop has not said (two shops' terms; a usual figure).
pub const USUAL_VALID_DAYS: u32 = 14;

/// Why no quote can be made.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum QuoteError {
    /// The shop has neither an hourly rate nor any price for labour.
    #[error("no labour is set: give [labour] rate_per_hour and [labour.minutes], or [labour.money], in shop.toml")]
    NoLabour,
    /// Minutes without an hourly rate.
    #[error("minutes are set for {kinds}, but no hourly rate: give [labour] rate_per_hour in shop.toml")]
    NoRate {
        /// The kinds of work with minutes.
        kinds: String,
    },
    /// Minutes that are negative or not a number.
    #[error("the minutes for {kind} are not a time")]
    BadMinutes {
        /// The kind of work.
        kind: &'static str,
    },
    /// A job that the plan does not hold.
    #[error("job '{job}' is not in the plan")]
    NotPlanned {
        /// The job.
        job: String,
    },
}

/// How the price is offered.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// A firm price for the work listed: nothing is left to find out.
    Firm,
    /// A range from the total to the ceiling, for something is still to be settled.
    Range,
}

/// What the owner must be told about the price.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Warning {
    /// More than the set is worth.
    OverValue {
        /// What it is worth.
        value: Money,
    },
    /// More than the owner has authorised.
    OverAuthorised {
        /// What was authorised.
        authorised: Money,
    },
    /// Nothing is ordered yet.
    OnHold(HoldReason),
}

/// One set on the quote.
#[derive(Debug, Clone, PartialEq)]
pub struct QuotedSet {
    /// The job's name.
    pub job: String,
    /// Name of the set.
    pub chassis: String,
    /// Year of the set.
    pub year: Option<i32>,
    /// How far to renew.
    pub policy: Policy,
    /// What the owner wants.
    pub wish: OwnerWish,
    /// Parts looked at.
    pub looked_at: usize,
    /// Parts that stay.
    pub sound: usize,
    /// Parts where one more reading, or finding something out, is due.
    pub unsettled: usize,
}

/// The whole quote.
#[derive(Debug, Clone, PartialEq)]
pub struct Quote {
    /// Currency of every amount.
    pub currency: Currency,
    /// The sets.
    pub sets: Vec<QuotedSet>,
    /// Why each part is worked on, in the owner's terms.
    pub findings: Vec<OwnerLine>,
    /// What could be left for now, and about what that saves.
    pub waiting: Vec<Waiting>,
    /// The works by kind.
    pub works: Vec<Work>,
    /// Parts to be bought.
    pub new_parts: Vec<BuyLine>,
    /// Parts from the workshop's shelf.
    pub shelf_parts: Vec<ShelfTake>,
    /// Needs that nothing meets, by reference.
    pub unmet: Vec<String>,
    /// All amounts.
    pub sums: Sums,
    /// Firm or a range.
    pub form: Form,
    /// What the owner has authorised so far.
    pub authorised: Option<Money>,
    /// Day of the quote.
    pub date: Option<Date>,
    /// Last day that it holds.
    pub valid_until: Option<Date>,
    /// Days promised.
    pub promised_days: Option<u32>,
    /// The longest delivery of the parts, where known.
    pub longest_lead_days: Option<u32>,
    /// Days of warranty on the work done.
    pub warranty_days: Option<u32>,
    /// What the owner must be told.
    pub warnings: Vec<Warning>,
    /// What the shop has not set, and what was taken instead.
    pub assumed: Vec<String>,
}

/// Makes the quote for these jobs; `date` wins over the day of inspection.
///
/// # Errors
/// See [`QuoteError`]: labour that is not set, or a job that is not in the plan.
pub fn quote(jobs: &[Job], plan: &Plan, settings: &QuoteSettings, date: Option<Date>) -> Result<Quote, QuoteError> {
    let counted = works::count(jobs, plan)?;
    let works = works::price(&counted, settings)?;
    let sums = sums::sums(&charges(&works, plan, settings), settings, plan.currency.minor_digits());
    let date = date.or_else(|| plan.inspections.iter().filter_map(|i| i.inspected).max());
    let valid_days = settings.valid_days.unwrap_or(USUAL_VALID_DAYS);
    let sets = sets(jobs, plan);
    let settled = plan.unmet.is_empty() && sets.iter().all(|s| s.unsettled == 0) && !plan.on_hold();
    let authorised = jobs.iter().map(|j| j.chassis.ceiling).sum::<Option<Money>>();
    let value = jobs.iter().map(|j| j.chassis.value).sum::<Option<Money>>();
    Ok(Quote {
        currency: plan.currency.clone(),
        findings: owner::lines(jobs, plan),
        waiting: owner::waiting(jobs, plan, &works, settings),
        sets,
        new_parts: plan.buy.iter().filter(|b| 0 < b.needed).map(needed_only).collect(),
        shelf_parts: plan.shelf.clone(),
        unmet: plan.unmet.iter().map(|u| u.reference.clone()).collect(),
        form: if settled { Form::Firm } else { Form::Range },
        authorised,
        date,
        valid_until: date.and_then(|d| d.checked_add(jiff::Span::new().days(valid_days.min(36_500))).ok()),
        promised_days: jobs.iter().filter_map(|j| j.chassis.promised_days).max(),
        longest_lead_days: plan.buy.iter().filter_map(|b| b.lead_days).max(),
        warranty_days: settings.warranty_days,
        warnings: warnings(plan, &sums, authorised, value),
        assumed: assumed(&works, settings),
        works,
        sums,
    })
}

/// What one of the jobs of a plan comes to for its owner: its own work, `goods` and `delivery` (its part of
/// carriage and fees).
///
/// # Errors
/// As [`quote`].
pub fn total_of_one(
    job: &Job,
    plan: &Plan,
    settings: &QuoteSettings,
    (goods, delivery): (Money, Money),
) -> Result<Money, QuoteError> {
    let counted = works::count(std::slice::from_ref(job), plan)?;
    let works = works::price(&counted, settings)?;
    let charges = Charges { goods, carriage: delivery, fees: Money::ZERO, ..charges(&works, plan, settings) };
    Ok(sums::sums(&charges, settings, plan.currency.minor_digits()).total)
}

fn charges(works: &[Work], plan: &Plan, settings: &QuoteSettings) -> Charges {
    Charges {
        hundredths_of_minute: works.iter().filter_map(|w| w.hundredths_of_minute).sum(),
        flat: works.iter().filter_map(|w| w.flat).sum(),
        rate_per_hour: settings.rate_per_hour,
        goods: goods_for_the_owner(plan),
        carriage: plan.totals.carriage,
        fees: plan.totals.fees,
    }
}

/// A line of the order without the pieces beyond the need.
fn needed_only(line: &BuyLine) -> BuyLine {
    BuyLine { quantity: line.needed, spare: 0, spare_why: None, line: line.each.times(line.needed), ..line.clone() }
}

/// The pieces needed, at the order's prices, and what the shelf charges. Pieces bought beyond the need
/// become the workshop's stock and are not charged.
fn goods_for_the_owner(plan: &Plan) -> Money {
    let bought: Money = plan.buy.iter().map(|line| line.each.times(line.needed)).sum();
    bought + plan.shelf.iter().map(|take| take.line).sum::<Money>()
}

fn sets(jobs: &[Job], plan: &Plan) -> Vec<QuotedSet> {
    let of = |job: &Job| plan.inspections.iter().find(|i| i.job == job.name);
    let set = |job: &Job| {
        let judged = of(job).map(|i| i.judgements.as_slice()).unwrap_or_default();
        let count = |wanted: &[Decision]| judged.iter().filter(|j| wanted.contains(&j.decision)).count();
        QuotedSet {
            job: job.name.clone(),
            chassis: job.chassis.name.clone(),
            year: job.chassis.year,
            policy: job.chassis.policy,
            wish: job.chassis.wish,
            looked_at: judged.len(),
            sound: count(&[Decision::Keep, Decision::Reform]),
            unsettled: count(&[Decision::Test, Decision::FindOut]),
        }
    };
    jobs.iter().map(set).collect()
}

fn warnings(plan: &Plan, sums: &Sums, authorised: Option<Money>, value: Option<Money>) -> Vec<Warning> {
    let mut warnings = Vec::new();
    warnings.extend(value.filter(|v| *v < sums.total).map(|value| Warning::OverValue { value }));
    warnings.extend(authorised.filter(|a| *a < sums.total).map(|authorised| Warning::OverAuthorised { authorised }));
    let mut reasons: Vec<HoldReason> = plan.inspections.iter().flat_map(|i| &i.holds).map(|h| h.reason).collect();
    reasons.sort();
    reasons.dedup();
    warnings.extend(reasons.into_iter().map(Warning::OnHold));
    warnings
}

fn assumed(works: &[Work], settings: &QuoteSettings) -> Vec<String> {
    let mut assumed = works::assumed(works, settings);
    let mut missing = |absent: bool, text: String| {
        if absent {
            assumed.push(text);
        }
    };
    missing(settings.markup.is_none(), "mark-up not set: parts at cost".to_owned());
    missing(settings.tax.is_none(), "tax not set: none reckoned".to_owned());
    missing(
        settings.allowance.is_none(),
        format!("allowance for faults not yet seen not set: {} % taken", sums::USUAL_ALLOWANCE_PERCENT),
    );
    missing(settings.valid_days.is_none(), format!("validity not set: {USUAL_VALID_DAYS} days taken"));
    missing(settings.warranty_days.is_none(), "warranty not set: to be agreed".to_owned());
    assumed
}
