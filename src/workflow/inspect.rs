//! One chassis, judged.

use super::bias;
use crate::model::chassis::Job;
use crate::model::finding::{Decision, Judgement};
use crate::model::plan::Inspection;
use crate::model::shop::Shop;
use crate::model::supply::SupplyOutcome;
use crate::rules::{cautions, grid_shares, holds, judge, what_to_measure};
use crate::stress;
use crate::substitute::{NeedContext, need_of};

/// Adds the reading without which no need can be stated to each part that is to be replaced.
fn find_out(job: &Job, shop: &Shop, supplies: &[SupplyOutcome], judgements: &mut [Judgement]) {
    for (part, judgement) in job.parts.iter().zip(judgements) {
        if judgement.decision != Decision::Replace {
            continue;
        }
        let context = NeedContext { job, part, stress: &judgement.stress, judgement, supplies, shop };
        if let Err(no_need) = need_of(&context)
            && !judgement.measure_next.contains(&no_need.measure)
        {
            judgement.measure_next.push(no_need.measure);
            // The sort is stable: of one stage the finding that decided still asks first.
            judgement.measure_next.sort_by_key(|m| m.stage);
        }
    }
}

/// Computes the supplies, works out what every part sees and judges it.
pub fn inspect(job: &Job, shop: &Shop) -> Inspection {
    let supplies = stress::supplies(job, shop);
    let stresses = stress::of_job(job, &supplies);
    let mut judgements = judge(job, &stresses, &shop.margins, &supplies);
    find_out(job, shop, &supplies, &mut judgements);
    let mut assumed = job.chassis.assumed.clone();
    assumed.extend(supplies.iter().filter_map(|s| s.as_ref().ok()).flat_map(|s| s.assumed.iter().cloned()));
    let mut cautions = cautions(job, &judgements, &supplies);
    cautions.extend(bias::cautions(job, shop, &judgements, &supplies));
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
