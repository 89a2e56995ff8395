//! Judge, state needs, find candidates, buy: the whole of the main job.

use super::order::{self, Order};
use super::{Choices, PlanError, inspect};
use super::{record, shares, why};
use crate::model::chassis::Job;
use crate::model::finding::Decision;
use crate::model::plan::{Inspection, Plan, Unmet};
use crate::model::shop::{Offer, Shop};
use crate::purchase::{Limits, by_hand, solve};
use crate::rules::{TotalOf, money_holds};
use crate::substitute::NeedContext;
use crate::substitute::arrange::positions;
use crate::substitute::candidates::{Ask, Search};

/// Plans these jobs as one order. `catalog` hands every offer of the catalog to the function that it
/// is given, in any order, and says how many lines it set aside; offers are looked at once and not kept
/// unless they serve.
///
/// # Errors
/// What `catalog` fails with; a supplier without exchange rate; a fault of the purchase room.
pub fn plan<E: From<PlanError>>(
    jobs: &[Job],
    shop: &Shop,
    choices: &Choices,
    catalog: impl FnOnce(&mut dyn FnMut(&Offer)) -> Result<usize, E>,
) -> Result<Plan, E> {
    let inspections: Vec<Inspection> = jobs.iter().map(|job| inspect(job, shop)).collect();
    let (asks, mut unmet) = asks(jobs, shop, &inspections);
    let mut search = Search::new(&asks, shop);
    shop.shelf.iter().for_each(|item| search.shelf(item));
    let set_aside = catalog(&mut |offer| search.offer(offer))?;
    let found = search.finish();
    let positions = positions(&found);
    let choices = in_time(choices, jobs);
    let order = order::build(&positions, &found, shop, &choices)?;
    let limits = Limits { seconds: choices.seconds, ..Limits::default() };
    let purchase = solve(&order.problem, &limits).map_err(PlanError::Purchase)?;
    let met = |p: usize| !purchase.unmet.iter().any(|u| u.position == p);
    let by_hand = by_hand(&order.problem, met);
    unmet.extend(record::unmet(&positions, &order, &purchase, &choices));
    unmet.sort_by(|a, b| a.reference.cmp(&b.reference));
    let bought = record::Bought { positions: &positions, order: &order, purchase: &purchase, shop, jobs };
    let needs = asks.iter().map(|a| crate::model::need::Need { reference: a.name.clone(), ..a.need.clone() }).collect();
    let mut plan = Plan {
        currency: shop.currency.clone(),
        needs,
        fits: record::fits(&bought),
        buy: record::buy(&bought),
        shelf: record::shelf(&bought),
        bills: record::bills(&bought),
        totals: record::totals(&purchase.totals),
        unmet,
        by_hand: record::by_hand(&by_hand),
        set_aside,
        diagnostics: Vec::new(),
        assumed: assumed(&order, shop, &choices),
        stopped: purchase.totals.stopped,
        job_shares: Vec::new(),
        story: None,
        effort: record::effort(&purchase),
        inspections: inspections.clone(),
    };
    hold_by_money(&mut plan, jobs);
    if let Some(reference) = &choices.why {
        let any_time = match choices.within_days {
            None => None,
            Some(_) => {
                Some(order::build(&positions, &found, shop, &Choices { within_days: None, ..choices.clone() })?.problem)
            }
        };
        let told = why::Told {
            found: &found,
            positions: &positions,
            order: &order,
            purchase: &purchase,
            choices: &choices,
            any_time: any_time.as_ref(),
        };
        plan.story = Some(why::story(&plan, reference, &told)?);
    }
    Ok(plan)
}

/// Holds jobs whose share of the order is above what the owner has authorised or the set is worth.
fn hold_by_money(plan: &mut Plan, jobs: &[Job]) {
    let names: Vec<&str> = jobs.iter().map(|j| j.name.as_str()).collect();
    let shares = shares::of_jobs(&names, &plan.fits, &plan.totals);
    for ((job, inspection), share) in jobs.iter().zip(&mut plan.inspections).zip(&shares) {
        inspection.holds.extend(money_holds(&job.chassis, *share, TotalOf::Landed, &plan.currency));
    }
    plan.job_shares = shares;
}

/// The ask of every part that is to be replaced; what cannot be asked for yet is unmet.
fn asks<'a>(jobs: &'a [Job], shop: &'a Shop, inspections: &'a [Inspection]) -> (Vec<Ask<'a>>, Vec<Unmet>) {
    let mut asks = Vec::new();
    let mut unmet = Vec::new();
    for (job, inspection) in jobs.iter().zip(inspections) {
        for (part, judgement) in job.parts.iter().zip(&inspection.judgements) {
            if judgement.decision != Decision::Replace {
                continue;
            }
            let name = if jobs.len() > 1 { format!("{}/{}", job.name, part.reference) } else { part.reference.clone() };
            let context = NeedContext { job, part, stress: &judgement.stress, judgement, shop };
            match Ask::new(name.clone(), context) {
                Ok(ask) => asks.push(ask),
                Err(no_need) => {
                    unmet.push(Unmet {
                        reference: name,
                        need: no_need.says,
                        nearest: Vec::new(),
                        would_help: Vec::new(),
                    });
                }
            }
        }
    }
    (asks, unmet)
}

/// The days within which everything must be there: the caller's, else the shortest promise of the jobs.
fn in_time(choices: &Choices, jobs: &[Job]) -> Choices {
    let promised = jobs.iter().filter_map(|j| j.chassis.promised_days).min();
    Choices { within_days: choices.within_days.or(promised), ..choices.clone() }
}

/// What was assumed in choosing.
fn assumed(order: &Order<'_>, shop: &Shop, choices: &Choices) -> Vec<String> {
    let Some(within) = choices.within_days else { return Vec::new() };
    let unknown = order.sources.iter().filter(|s| s.key.supplier().is_some() && order::days(s, shop).is_none()).count();
    if unknown == 0 {
        return Vec::new();
    }
    vec![format!("{unknown} offers do not say when they are delivered: taken as within the {within} days promised")]
}
