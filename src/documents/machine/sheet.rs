//! The machine output of `sheet`.

use serde::Serialize;

use super::Common;
use super::reform::ReformRow;
use crate::documents::sheet::{do_words, polarity_words};
use crate::model::chassis::Job;
use crate::model::finding::Finding;
use crate::model::plan::Plan;
use crate::rules::ReformPlan;
use crate::sheet::{Expect, PowerStage, PowerStep, Sheet, Stage, Step, Stored};
use crate::verify::Expected;

/// The whole document of `sheet`.
#[derive(Debug, Clone, Serialize)]
pub struct SheetDocument {
    /// Common keys.
    #[serde(flatten)]
    pub common: Common,
    discharge_ohm: f64,
    safe_v: f64,
    stored: Vec<StoredRow>,
    /// What drains together with what.
    stored_together: Vec<TogetherRow>,
    charge_not_known: Vec<String>,
    steps: Vec<StepRow>,
    reforming: Vec<ReformRow>,
    power_up: Vec<PowerRow>,
    readings: Vec<ReadingRow>,
}

/// The capacitors of one supply.
#[derive(Debug, Clone, Serialize)]
struct TogetherRow {
    supply: String,
    /// References; `C1+C2` are in series.
    refs: Vec<String>,
    /// At the upper ends of the tolerances.
    farad: f64,
}

/// One capacitor's charge.
#[derive(Debug, Clone, Serialize)]
struct StoredRow {
    #[serde(rename = "ref")]
    reference: String,
    farad: f64,
    volts: f64,
    joule: f64,
    discharge_s: f64,
    back_v: Option<f64>,
    hazardous: bool,
}

/// One step of the work.
#[derive(Debug, Clone, Serialize)]
struct StepRow {
    #[serde(rename = "ref")]
    reference: String,
    stage: &'static str,
    #[serde(rename = "do")]
    what: String,
    polarity: Option<String>,
    urgent: bool,
    notes: Vec<String>,
    assumed: Vec<String>,
    limits: Vec<LimitRow>,
}

/// A limit that asks for a step, and whose it is.
#[derive(Debug, Clone, Serialize)]
struct LimitRow {
    rule: &'static str,
    value: Option<f64>,
    limit: f64,
    unit: &'static str,
    /// `default` or `shop.toml`.
    from: &'static str,
    source: String,
}

/// One step of first power.
#[derive(Debug, Clone, Serialize)]
struct PowerRow {
    stage: &'static str,
    mains_percent: u32,
    mains_v: Option<f64>,
    nodes: Vec<NodeRow>,
}

/// What one node should show.
#[derive(Debug, Clone, Serialize)]
struct NodeRow {
    name: String,
    about_v: Option<f64>,
    at_most_v: Option<f64>,
}

/// One reading to take, in its SI unit.
#[derive(Debug, Clone, Serialize)]
struct ReadingRow {
    what: String,
    expected: Option<f64>,
    /// Where there is no such figure, what it lies between.
    expected_from: Option<f64>,
    expected_to: Option<f64>,
    low: Option<f64>,
    high: Option<f64>,
    unit: &'static str,
    basis: String,
    source: &'static str,
}

impl SheetDocument {
    /// From the sheet and the plan and job that it was made from.
    pub fn new((job, plan): (&Job, &Plan), sheet: &Sheet, reforms: &[ReformPlan]) -> Self {
        let own: Vec<_> = plan.inspections.iter().filter(|i| i.job == job.name).cloned().collect();
        Self {
            common: Common::new("sheet", &own, &plan.assumed, plan.set_aside).with_diagnostics(&plan.diagnostics),
            discharge_ohm: sheet.stored.resistor.get(),
            safe_v: sheet.stored.safe.get(),
            stored: sheet.stored.parts.iter().map(StoredRow::new).collect(),
            stored_together: sheet
                .stored
                .together
                .iter()
                .map(|t| TogetherRow { supply: t.supply.clone(), refs: t.counted.clone(), farad: t.farad.get() })
                .collect(),
            charge_not_known: sheet.stored.unknown.clone(),
            steps: sheet.steps.iter().map(StepRow::new).collect(),
            reforming: reforms.iter().map(ReformRow::new).collect(),
            power_up: sheet.power_up.steps.iter().map(|step| PowerRow::new(sheet, step)).collect(),
            readings: sheet.readings.iter().map(ReadingRow::new).collect(),
        }
    }
}

impl StoredRow {
    fn new(stored: &Stored) -> Self {
        Self {
            reference: stored.reference.clone(),
            farad: stored.farad.get(),
            volts: stored.volts.get(),
            joule: stored.energy.get(),
            discharge_s: stored.discharge.get(),
            back_v: stored.back.map(crate::units::Volt::get),
            hazardous: stored.hazardous,
        }
    }
}

impl StepRow {
    fn new(step: &Step) -> Self {
        Self {
            reference: step.part.reference.clone(),
            stage: match step.stage {
                Stage::Bias => "bias",
                Stage::Ht => "ht",
                Stage::Coupling => "coupling",
                Stage::Rest => "rest",
                Stage::Readings => "readings",
            },
            what: do_words(step),
            polarity: polarity_words(step),
            urgent: step.urgent,
            notes: step.notes.clone(),
            assumed: step.assumed.clone(),
            limits: step.reasons.iter().filter_map(LimitRow::new).collect(),
        }
    }
}

impl LimitRow {
    fn new(finding: &Finding) -> Option<Self> {
        Some(Self {
            rule: finding.rule,
            value: finding.value,
            limit: finding.limit?,
            unit: finding.unit,
            from: if finding.limit_from_shop { "shop.toml" } else { "default" },
            source: finding.source.to_string(),
        })
    }
}

impl PowerRow {
    /// Voltages of nodes below the chassis are below zero.
    fn new(sheet: &Sheet, step: &PowerStep) -> Self {
        let node = |expect: &Expect| match expect {
            Expect::Nothing => (Some(0.0), None),
            Expect::About(v) => (Some(v.get()), None),
            Expect::AtMost(v) => (None, Some(v.get())),
            Expect::Unknown => (None, None),
        };
        Self {
            stage: match step.stage {
                PowerStage::NoValves => "no-valves",
                PowerStage::RectifierIn => "rectifier-in",
                PowerStage::SmallValvesIn => "small-valves-in",
                PowerStage::AllIn => "all-in",
                PowerStage::AllInRising => "all-in-rising",
            },
            mains_percent: step.percent,
            mains_v: step.mains.map(crate::units::Volt::get),
            nodes: step
                .nodes
                .iter()
                .map(|(name, expect)| {
                    let sign = if sheet.power_up.negative.contains(name) { -1.0 } else { 1.0 };
                    let (about_v, at_most_v) = node(expect);
                    let (about_v, at_most_v) = (about_v.map(|v| v * sign), at_most_v.map(|v| v * sign));
                    NodeRow { name: name.to_string(), about_v, at_most_v }
                })
                .collect(),
        }
    }
}

impl ReadingRow {
    fn new(expected: &Expected) -> Self {
        Self {
            what: expected.what.key(),
            expected: expected.figure,
            expected_from: expected.between.map(|(from, _)| from),
            expected_to: expected.between.map(|(_, to)| to),
            low: expected.low,
            high: expected.high,
            unit: expected.unit.word(),
            basis: expected.basis.to_string(),
            source: expected.source,
        }
    }
}
