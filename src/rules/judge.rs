//! From findings to exactly one decision for each part.
//!
//! Order of weight, first match wins:
//! 1. a finding about safety that asks for leaving out, finding out or replacing: nothing overrides it;
//! 2. the technician's wish for the part (printed as a finding of its own, the overridden one stays);
//! 3. leave out, then find out (what has no value or place cannot be ordered), then replace;
//! 4. replacing advised by age or kind, unless the policy `faulty` or a museum piece sets it aside
//!    (also printed); it outweighs a missing reading, which could not change it;
//! 5. test, then reform, then keep.
//!
//! A part that no rule speaks for is to be tested: missing is never good. Pairs and the sections of
//! a can are looked at together afterwards.

mod added;
mod groups;
mod next;
#[cfg(test)]
mod tests;
mod weigh;

pub use added::{ADDED, can_wait_finding};

use super::{RULES, Subject};
use crate::model::chassis::Job;
use crate::model::finding::{Finding, Judgement, Stress};
use crate::model::shop::Margins;
use crate::model::supply::SupplyOutcome;

/// Judges every part of the job, in the order of its parts.
///
/// `stresses` are those of the parts, in the same order; a part beyond their end is judged as one
/// of which nothing is known.
pub fn judge(job: &Job, stresses: &[Stress], margins: &Margins, supplies: &[SupplyOutcome]) -> Vec<Judgement> {
    let unknown = Stress::default();
    let stress_of = |at: usize| stresses.get(at).unwrap_or(&unknown);
    let judged = job.parts.iter().enumerate().map(|(at, part)| {
        let subject = Subject { part, job, stress: stress_of(at), margins, supplies };
        weigh::weigh(&subject, findings(&subject))
    });
    let mut judgements: Vec<Judgement> = judged.collect();
    groups::cans(job, &mut judgements);
    groups::pairs(job, &mut judgements);
    groups::how(job, &mut judgements);
    next::measures(job, &mut judgements);
    judgements
}

/// What every rule finds on one part, in the order of the rules.
pub fn findings(subject: &Subject<'_>) -> Vec<Finding> {
    let mut found = Vec::new();
    for rule in RULES {
        rule.check(subject, &mut found);
    }
    found
}
