//! Making a finding step by step, so that every rule file reads the same.

use super::RuleMeta;
use super::held::Held;
use crate::model::finding::{Call, Finding, Measure, MeasureStage};
use crate::sources::SourceId;

/// A finding in the making.
#[derive(Debug)]
pub(crate) struct Draft(Finding);

/// Starts a finding of this rule.
pub(crate) fn find(meta: &RuleMeta, source: SourceId, call: Call, says: impl Into<String>) -> Draft {
    Draft(Finding {
        rule: meta.id,
        says: says.into(),
        value: None,
        limit: None,
        unit: "",
        source,
        limit_from_shop: false,
        call,
        urgent: false,
        safety: false,
        owner: meta.owner,
        measure: None,
    })
}

impl Draft {
    /// The figure judged and the threshold it was held against.
    pub(crate) fn held(self, value: f64, held: &Held) -> Self {
        self.against(value, held.value, held.unit).shop(held.from_shop)
    }

    /// The figure judged and a limit worked out from thresholds, both in `unit`.
    pub(crate) fn against(mut self, value: f64, limit: f64, unit: &'static str) -> Self {
        self.0.value = Some(value);
        self.0.limit = Some(limit);
        self.0.unit = unit;
        self
    }

    /// Whether the limit was changed by the shop.
    pub(crate) fn shop(mut self, from_shop: bool) -> Self {
        self.0.limit_from_shop = from_shop;
        self
    }

    /// No power before it is dealt with.
    pub(crate) fn urgent(mut self) -> Self {
        self.0.urgent = true;
        self
    }

    /// About safety: nothing overrides it.
    pub(crate) fn safety(mut self) -> Self {
        self.0.safety = true;
        self
    }

    /// The reading that would settle it.
    pub(crate) fn measure(mut self, stage: MeasureStage, what: impl Into<String>) -> Self {
        self.0.measure = Some(Measure { stage, what: what.into() });
        self
    }

    /// The finding, finished.
    pub(crate) fn done(self) -> Finding {
        self.0
    }

    /// Hands the finding over.
    pub(crate) fn add_to(self, findings: &mut Vec<Finding>) {
        findings.push(self.0);
    }
}
