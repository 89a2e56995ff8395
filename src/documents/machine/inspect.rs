//! `parts[]`, `measure_next[]`, `hold[]` and `can_wait[]` of the machine output.

use serde::Serialize;

use super::{Common, label};
use crate::model::finding::{Finding, Hold, Judgement, NextReading, Stress};
use crate::model::plan::{CanWait, Inspection};

/// The whole document of `inspect`.
#[derive(Debug, Clone, Serialize)]
pub struct InspectDocument {
    /// Common keys.
    #[serde(flatten)]
    pub common: Common,
    /// Judged parts and holds.
    #[serde(flatten)]
    pub judged: Judged,
}

/// What `inspect` and `plan` share.
#[derive(Debug, Clone, Serialize)]
pub struct Judged {
    /// One for each part.
    pub parts: Vec<PartRow>,
    /// What to measure next over all parts, in the order in which it is taken.
    pub measure_next: Vec<NextRow>,
    /// Why nothing may be ordered yet.
    pub hold: Vec<HoldRow>,
    /// What can wait when money is short.
    pub can_wait: Vec<WaitRow>,
}

/// One judged part.
#[derive(Debug, Clone, Serialize)]
pub struct PartRow {
    #[serde(rename = "ref")]
    reference: String,
    decision: &'static str,
    how: Option<&'static str>,
    urgent: bool,
    must: bool,
    findings: Vec<FindingRow>,
    stress: StressRow,
    assumed: Vec<String>,
    measure_next: Vec<String>,
}

/// One finding.
#[derive(Debug, Clone, Serialize)]
pub struct FindingRow {
    rule: &'static str,
    says: String,
    value: Option<f64>,
    limit: Option<f64>,
    unit: &'static str,
    source: String,
    limit_from: &'static str,
}

/// What the part sees.
#[derive(Debug, Clone, Serialize)]
pub struct StressRow {
    working_v: Option<f64>,
    highest_v: Option<f64>,
    ripple_ma: Option<f64>,
    heat_c: Option<f64>,
    basis: BasisRow,
}

/// How each figure is known.
#[derive(Debug, Clone, Serialize)]
pub struct BasisRow {
    working_v: Option<&'static str>,
    highest_v: Option<&'static str>,
    ripple_ma: Option<&'static str>,
    heat_c: Option<&'static str>,
}

/// One reason to order nothing yet.
#[derive(Debug, Clone, Serialize)]
pub struct HoldRow {
    job: String,
    reason: &'static str,
    says: String,
}

/// One reading to take.
#[derive(Debug, Clone, Serialize)]
pub struct NextRow {
    measure: String,
    stage: &'static str,
    refs: Vec<String>,
    changes: usize,
}

/// One part that can wait.
#[derive(Debug, Clone, Serialize)]
pub struct WaitRow {
    #[serde(rename = "ref")]
    reference: String,
    together: Vec<String>,
    money: Option<String>,
    trouble_per_million_h: f64,
    says: String,
}

impl InspectDocument {
    /// From the inspections, in their order, and what can wait of them (of which nothing is priced).
    pub fn new(inspections: &[Inspection], can_wait: &[CanWait]) -> Self {
        let can_wait = can_wait.iter().map(|w| WaitRow::new(w, None)).collect();
        Self { common: Common::new("inspect", inspections, &[], 0), judged: Judged::new(inspections, can_wait) }
    }
}

impl Judged {
    /// From the inspections, in their order.
    pub fn new(inspections: &[Inspection], can_wait: Vec<WaitRow>) -> Self {
        let rows = |i: &Inspection| -> Vec<PartRow> {
            i.judgements.iter().map(|j| PartRow::new(j, label(inspections, &i.job, &j.reference))).collect()
        };
        Self {
            parts: inspections.iter().flat_map(rows).collect(),
            measure_next: inspections
                .iter()
                .flat_map(|i| i.measure_next.iter().map(|n| NextRow::new(n, inspections, &i.job)))
                .collect(),
            hold: HoldRow::of(inspections),
            can_wait,
        }
    }
}

impl PartRow {
    fn new(judgement: &Judgement, reference: String) -> Self {
        Self {
            reference,
            decision: judgement.decision.word(),
            how: judgement.how.map(crate::model::finding::How::word),
            urgent: judgement.urgent,
            must: judgement.must,
            findings: judgement.findings.iter().map(FindingRow::new).collect(),
            stress: StressRow::new(&judgement.stress),
            assumed: judgement.assumed.clone(),
            measure_next: judgement.measure_next.iter().map(|m| m.what.clone()).collect(),
        }
    }
}

impl FindingRow {
    fn new(finding: &Finding) -> Self {
        Self {
            rule: finding.rule,
            says: finding.says.clone(),
            value: finding.value,
            limit: finding.limit,
            unit: finding.unit,
            source: finding.source.to_string(),
            limit_from: if finding.limit_from_shop { "shop" } else { "built-in" },
        }
    }
}

impl StressRow {
    fn new(stress: &Stress) -> Self {
        Self {
            working_v: stress.working.map(|k| k.value.get()),
            highest_v: stress.highest.map(|k| k.value.get()),
            ripple_ma: stress.ripple.map(|k| k.value.total.milli()),
            heat_c: stress.heat.map(|k| k.value.get()),
            basis: BasisRow {
                working_v: stress.working.map(|k| k.basis.word()),
                highest_v: stress.highest.map(|k| k.basis.word()),
                ripple_ma: stress.ripple.map(|k| k.basis.word()),
                heat_c: stress.heat.map(|k| k.basis.word()),
            },
        }
    }
}

impl NextRow {
    fn new(next: &NextReading, inspections: &[Inspection], job: &str) -> Self {
        Self {
            measure: next.measure.what.clone(),
            stage: next.measure.stage.word(),
            refs: next.refs.iter().map(|r| label(inspections, job, r)).collect(),
            changes: next.changes,
        }
    }
}

impl WaitRow {
    /// From the model; `digits` are those of the currency that it is priced in.
    pub fn new(wait: &CanWait, digits: Option<u8>) -> Self {
        Self {
            reference: wait.reference.clone(),
            together: wait.together.clone(),
            money: wait.money.zip(digits).map(|(money, digits)| money.text(digits)),
            trouble_per_million_h: wait.trouble,
            says: wait.says.clone(),
        }
    }
}

impl HoldRow {
    /// Every reason of these jobs.
    pub(super) fn of(inspections: &[Inspection]) -> Vec<Self> {
        inspections.iter().flat_map(|i| i.holds.iter().map(|h| Self::new(&i.job, h))).collect()
    }

    fn new(job: &str, hold: &Hold) -> Self {
        Self { job: job.to_owned(), reason: hold.reason.word(), says: hold.says.clone() }
    }
}
