//! The rules of judging: one a file, each with what, why, where it does not apply, limit and source.
//!
//! [`RULES`] registers them; its order is the order of findings. `judge` runs all of
//! them over every part and weighs what they call for into one decision.

use crate::model::chassis::Job;
use crate::model::finding::{Finding, Stress};
use crate::model::part::Part;
use crate::model::shop::Margins;
use crate::model::supply::SupplyOutcome;
use crate::sources::SourceId;

/// One threshold of a rule, which the shop may set under `[margins]`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Threshold {
    /// Key under `[margins]`: the rule's id, or `id.name` where a rule has several.
    pub key: &'static str,
    /// The default.
    pub default: f64,
    /// Unit.
    pub unit: &'static str,
    /// What it limits, in words.
    pub what: &'static str,
    /// Where the default comes from.
    pub source: SourceId,
}

/// The page of one rule.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RuleMeta {
    /// Lower-case id with hyphens; never changed in meaning, never reused.
    pub id: &'static str,
    /// Title.
    pub title: &'static str,
    /// What it finds.
    pub what: &'static str,
    /// Why it matters.
    pub why: &'static str,
    /// Where it does not apply.
    pub not_where: &'static str,
    /// What to do about a finding.
    pub remedy: &'static str,
    /// Caution for the work it leads to; empty when there is none.
    pub safety: &'static str,
    /// Thresholds with their defaults.
    pub thresholds: &'static [Threshold],
    /// Sources.
    pub sources: &'static [SourceId],
}

/// One part with everything a rule may look at.
#[derive(Debug, Clone, Copy)]
pub struct Subject<'a> {
    /// The part.
    pub part: &'a Part,
    /// Its job, for the chassis and the neighbours.
    pub job: &'a Job,
    /// What the part sees.
    pub stress: &'a Stress,
    /// The shop's thresholds.
    pub margins: &'a Margins,
    /// The supplies, computed.
    pub supplies: &'a [SupplyOutcome],
}

/// A rule of judging.
pub trait Rule: Sync {
    /// Its page.
    fn meta(&self) -> &'static RuleMeta;
    /// Adds what it finds on this part; silent where it does not apply.
    fn check(&self, subject: &Subject<'_>, findings: &mut Vec<Finding>);
}

/// Every rule, in the order of reports.
pub static RULES: &[&dyn Rule] = &[];
