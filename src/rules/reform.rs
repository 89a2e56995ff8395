//! How each part that is kept for reforming is reformed: plain figures, no drawing.

use super::Subject;
use super::leak::limit;
use crate::limits::reform::{BENCH_MUST_FALL_WITHIN, BENCH_RESISTOR, CDE_HOLD, DROP_PASS};
use crate::model::chassis::Job;
use crate::model::finding::{Decision, Judgement};
use crate::model::shop::Margins;
use crate::physics::reform::{Method, series_resistance, short_circuit_current, short_circuit_heat};
use crate::sources::SourceId;
use crate::units::{Ampere, Farad, Ohm, Second, Volt, Watt};

/// One step of the supply voltage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReformStep {
    /// Supply voltage.
    pub volts: Volt,
    /// Most current to expect, at the start of the step (the part taken as a short circuit).
    pub at_start: Ampere,
    /// Stop when more than this still flows after [`ReformPlan::step_time`]: the drop on the resistor is then more
    /// than its share of the supply. Never below the leakage that passes, in proportion to the voltage.
    pub stop_above: Ampere,
}

/// How one part is reformed.
#[derive(Debug, Clone, PartialEq)]
pub struct ReformPlan {
    /// Reference.
    pub reference: String,
    /// Marked capacitance.
    pub farad: Farad,
    /// Voltage of the last step: the rating, else the working voltage.
    pub target: Volt,
    /// Series resistor.
    pub series: Ohm,
    /// Rating of the series resistor.
    pub series_watts: Watt,
    /// Heat in it when the part is shorted.
    pub shorted_watts: Watt,
    /// Voltage steps, rising.
    pub steps: Vec<ReformStep>,
    /// Time within which the current must fall at each step.
    pub step_time: Second,
    /// Least time at the last step.
    pub hold: Second,
    /// Leakage that the part must meet and hold steady at the end.
    pub pass: Ampere,
    /// Leakage measured so far.
    pub measured: Option<Ampere>,
    /// Source of the procedure.
    pub source: SourceId,
    /// Source of the least time at the last step.
    pub hold_source: SourceId,
    /// Source of the pass criterion.
    pub pass_source: SourceId,
    /// What to mind.
    pub cautions: &'static [&'static str],
}

/// Shares of the last voltage at which the supply stops on its way up; ours.
const STEPS: [f64; 5] = [0.25, 0.5, 0.75, 0.9, 1.0];

/// What to mind while reforming.
const CAUTIONS: &[&str] = &[
    "out of circuit, in a closed box, never left alone; it may burst",
    "stop at a warm can, at weeping, at a current that does not fall within the step time",
    "DISCHARGE, THEN MEASURE through a resistor, wait, and measure again: voltage creeps back",
    "for persons qualified for the voltage; local codes and licensed practice come first",
];

/// The plans of every part judged to be reformed, in the order of the job.
///
/// `judgements` are those of the job's parts, in their order.
pub fn reform_plans(job: &Job, judgements: &[Judgement], margins: &Margins) -> Vec<ReformPlan> {
    let reformed = job.parts.iter().zip(judgements).filter(|(_, j)| j.decision == Decision::Reform);
    reformed
        .filter_map(|(part, judgement)| plan(&Subject { part, job, stress: &judgement.stress, margins, supplies: &[] }))
        .collect()
}

/// The plan of one part; `None` without value, or without rating and working voltage.
fn plan(subject: &Subject<'_>) -> Option<ReformPlan> {
    let (farad, target, limit) = (subject.part.farad()?, subject.rated_or_working()?, limit(subject)?);
    let method = series_resistance(Method::Bench, target);
    let (_, series) = method.value;
    let step = |share: f64| {
        let volts = target * share;
        let at_start = short_circuit_current(volts, series);
        // Where the resistor is small for the part, its share would condemn what passes at the end.
        ReformStep { volts, at_start, stop_above: (at_start * DROP_PASS.value).max(limit.most * share) }
    };
    Some(ReformPlan {
        reference: subject.part.reference.clone(),
        farad,
        target,
        series,
        series_watts: BENCH_RESISTOR.value,
        shorted_watts: short_circuit_heat(target, series),
        steps: STEPS.iter().map(|share| step(*share)).collect(),
        step_time: BENCH_MUST_FALL_WITHIN.value,
        hold: CDE_HOLD.value,
        pass: limit.most,
        measured: subject.part.found.leakage.map(|l| l.current),
        source: method.source,
        hold_source: CDE_HOLD.source,
        pass_source: limit.source,
        cautions: CAUTIONS,
    })
}
