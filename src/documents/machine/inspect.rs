//! `parts[]`, `hold[]` and `can_wait[]` of the machine output.

use serde::Serialize;

use super::{Common, label};
use crate::model::finding::{Finding, Hold, Judgement, Stress};
use crate::model::plan::Inspection;

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

/// One part that can wait.
#[derive(Debug, Clone, Serialize)]
pub struct WaitRow {
    /// Reference.
    #[serde(rename = "ref")]
    pub reference: String,
    /// What leaving it saves.
    pub money: String,
    /// In words.
    pub says: String,
}

impl InspectDocument {
    /// From the inspections, in their order.
    pub fn new(inspections: &[Inspection]) -> Self {
        Self { common: Common::new("inspect", inspections, &[], 0), judged: Judged::new(inspections, Vec::new()) }
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
            hold: inspections.iter().flat_map(|i| i.holds.iter().map(|h| HoldRow::new(&i.job, h))).collect(),
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

impl HoldRow {
    fn new(job: &str, hold: &Hold) -> Self {
        Self { job: job.to_owned(), reason: hold.reason.word(), says: hold.says.clone() }
    }
}
