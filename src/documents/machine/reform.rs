//! The machine output of `reform`.

use serde::Serialize;

use super::Common;
use crate::model::plan::Inspection;
use crate::rules::{ReformPlan, ReformStep};
use crate::units::Ampere;

/// The whole document of `reform`.
#[derive(Debug, Clone, Serialize)]
pub struct ReformDocument {
    /// Common keys.
    #[serde(flatten)]
    pub common: Common,
    /// One for each part that is kept for reforming.
    pub parts: Vec<ReformRow>,
}

/// How one part is reformed.
#[derive(Debug, Clone, Serialize)]
pub struct ReformRow {
    #[serde(rename = "ref")]
    reference: String,
    farad: f64,
    target_v: f64,
    series_ohm: f64,
    series_w: f64,
    shorted_w: f64,
    steps: Vec<StepRow>,
    step_s: f64,
    hold_s: f64,
    pass_ma: f64,
    measured_ma: Option<f64>,
    source: String,
    hold_source: String,
    pass_source: String,
    cautions: Vec<&'static str>,
}

/// One step of the supply voltage.
#[derive(Debug, Clone, Serialize)]
pub struct StepRow {
    supply_v: f64,
    start_ma: f64,
    stop_above_ma: f64,
}

impl ReformDocument {
    /// From the plans of one job.
    pub fn new(inspection: &Inspection, plans: &[ReformPlan]) -> Self {
        Self {
            common: Common::new("reform", std::slice::from_ref(inspection), &[], 0),
            parts: plans.iter().map(ReformRow::new).collect(),
        }
    }
}

impl ReformRow {
    pub(super) fn new(plan: &ReformPlan) -> Self {
        Self {
            reference: plan.reference.clone(),
            farad: plan.farad.get(),
            target_v: plan.target.get(),
            series_ohm: plan.series.get(),
            series_w: plan.series_watts.get(),
            shorted_w: plan.shorted_watts.get(),
            steps: plan.steps.iter().map(StepRow::new).collect(),
            step_s: plan.step_time.get(),
            hold_s: plan.hold.get(),
            pass_ma: plan.pass.milli(),
            measured_ma: plan.measured.map(Ampere::milli),
            source: plan.source.to_string(),
            hold_source: plan.hold_source.to_string(),
            pass_source: plan.pass_source.to_string(),
            cautions: plan.cautions.to_vec(),
        }
    }
}

impl StepRow {
    fn new(step: &ReformStep) -> Self {
        Self { supply_v: step.volts.get(), start_ma: step.at_start.milli(), stop_above_ma: step.stop_above.milli() }
    }
}
