//! The readings that would settle an undecided part, in the order in which they are taken.

use crate::model::chassis::Job;
use crate::model::finding::{Call, Decision, Finding, Judgement, Measure};

/// Fills in what to measure next for each part that a reading could still change.
pub(super) fn measures(job: &Job, judgements: &mut [Judgement]) {
    for (_, judgement) in job.parts.iter().zip(judgements) {
        judgement.measure_next = of(judgement);
    }
}

/// The readings of one judgement, first the one that settles it.
fn of(judgement: &Judgement) -> Vec<Measure> {
    let settles = |f: &&Finding| match judgement.decision {
        Decision::Test => f.call == Call::Test,
        Decision::FindOut => f.call == Call::FindOut,
        Decision::Reform => f.call == Call::Reform,
        Decision::Replace => f.call == Call::Replace,
        Decision::Keep | Decision::Omit | Decision::Disconnect => false,
    };
    let mut measures: Vec<Measure> = Vec::new();
    for measure in judgement.findings.iter().filter(settles).filter_map(|f| f.measure.as_ref()) {
        if !measures.contains(measure) {
            measures.push(measure.clone());
        }
    }
    // Of one stage the finding that decided asks first.
    measures.sort_by_key(|m| m.stage);
    measures
}
