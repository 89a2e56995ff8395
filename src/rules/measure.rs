//! What to measure next, for the whole job: each reading once, in order, with what hangs on it.

use std::collections::{BTreeMap, BTreeSet};

use super::hold::iron;
use crate::model::chassis::{Iron, Job};
use crate::model::finding::{Decision, Judgement, Measure, MeasureStage, NextReading};

/// Every reading worth taking.
///
/// Unchecked transformers and chokes come first, since nothing is ordered when one is bad; then by
/// stage (looking, cold, out of circuit, at voltage), within a stage the one that could change most.
pub fn what_to_measure(job: &Job, judgements: &[Judgement]) -> Vec<NextReading> {
    let orders = judgements.iter().filter(|j| j.decision == Decision::Replace).count();
    let unchecked = iron(&job.chassis).into_iter().filter(|(_, state)| *state == Iron::Unchecked);
    let mut list: Vec<NextReading> = unchecked
        .map(|(piece, _)| NextReading {
            measure: Measure {
                stage: MeasureStage::Cold,
                what: format!("check continuity and insulation of the {piece}"),
            },
            refs: Vec::new(),
            changes: orders,
        })
        .collect();
    list.extend(of_parts(job, judgements));
    list
}

/// The readings on parts, ranked.
fn of_parts(job: &Job, judgements: &[Judgement]) -> Vec<NextReading> {
    let mut places: BTreeMap<&Measure, Vec<usize>> = BTreeMap::new();
    for (at, judgement) in judgements.iter().enumerate() {
        for measure in &judgement.measure_next {
            places.entry(measure).or_default().push(at);
        }
    }
    let mut list: Vec<NextReading> = places
        .into_iter()
        .map(|(measure, at)| NextReading {
            measure: measure.clone(),
            refs: at.iter().filter_map(|i| judgements.get(*i)).map(|j| j.reference.clone()).collect(),
            changes: hanging_on(job, &at),
        })
        .collect();
    list.sort_by(|a, b| {
        let by_stage = a.measure.stage.cmp(&b.measure.stage);
        by_stage.then(b.changes.cmp(&a.changes)).then_with(|| a.measure.what.cmp(&b.measure.what))
    });
    list
}

/// How many parts these are, with their mates and the sections of their cans.
fn hanging_on(job: &Job, places: &[usize]) -> usize {
    let parts: Vec<_> = places.iter().filter_map(|at| job.parts.get(*at)).collect();
    let together = |p: &crate::model::part::Part| {
        parts.iter().any(|q| {
            p.reference == q.reference || (p.can.is_some() && p.can == q.can) || (p.pair.is_some() && p.pair == q.pair)
        })
    };
    job.parts.iter().filter(|p| together(p)).map(|p| p.reference.as_str()).collect::<BTreeSet<_>>().len()
}
