//! One chassis, judged.

use crate::model::chassis::Job;
use crate::model::plan::Inspection;
use crate::model::shop::Shop;
use crate::rules::{cautions, grid_shares, holds, judge, what_to_measure};
use crate::stress;

/// Computes the supplies, works out what every part sees and judges it.
pub fn inspect(job: &Job, shop: &Shop) -> Inspection {
    let supplies = stress::supplies(job, shop);
    let stresses = stress::of_job(job, &supplies);
    let judgements = judge(job, &stresses, &shop.margins, &supplies);
    let mut assumed = job.chassis.assumed.clone();
    assumed.extend(supplies.iter().filter_map(|s| s.as_ref().ok()).flat_map(|s| s.assumed.iter().cloned()));
    let mut cautions = cautions(job, &judgements, &supplies);
    // What is wrong or doubtful about a supply bears on every figure above, so it stands with the cautions.
    let computed = supplies.iter().filter_map(|s| s.as_ref().ok());
    cautions
        .extend(computed.flat_map(|s| s.rectifier.warnings.iter().map(|w| format!("{}: {}", s.name, w.says).into())));
    cautions.extend(
        supplies
            .iter()
            .filter_map(|s| s.as_ref().err())
            .map(|u| format!("{}: not computed: {}", u.name, u.says).into()),
    );
    Inspection {
        holds: holds(job, &judgements, &supplies),
        measure_next: what_to_measure(job, &judgements),
        cautions,
        grid: grid_shares(&shop.margins),
        job: job.name.clone(),
        chassis: job.chassis.name.clone(),
        year: job.chassis.year,
        inspected: job.chassis.inspected,
        judgements,
        supplies,
        assumed,
    }
}
