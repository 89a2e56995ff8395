//! Judge, state needs, find candidates, buy: the whole of the main job.

use super::intake::{Sought, asks_without};
use super::order::{self, Order};
use super::wish;
use super::{Choices, Intake, PlanError, ceiling, inspect};
use super::{alone, cans, record, shares, why};
use crate::model::chassis::{Chassis, Job};
use crate::model::finding::Decision;
use crate::model::plan::{Inspection, Plan, Unmet};
use crate::model::shop::{Offer, Shop};
use crate::money::Money;
use crate::purchase::{Limits, Purchase, UnmetWhy, by_hand, solve};
use crate::quote;
use crate::rules::{TotalOf, money_holds};
use crate::sources::SourceId;
use crate::substitute::NeedContext;
use crate::substitute::arrange::{can_ways, positions};
use crate::substitute::candidates::{Ask, Found, Thinned};

/// Plans these jobs as one order. `catalog` hands every offer of the catalog to the function that it
/// is given, in any order, and says how many lines it set aside; offers are looked at once and not kept
/// unless they serve. [`plan_from`] is for catalogs too large to read every line in full.
///
/// # Errors
/// What `catalog` fails with; a supplier without exchange rate; a fault of the purchase room.
pub fn plan<E: From<PlanError>>(
    jobs: &[Job],
    shop: &Shop,
    choices: &Choices,
    catalog: impl FnOnce(&mut dyn FnMut(&Offer)) -> Result<usize, E>,
) -> Result<Plan, E> {
    plan_from(jobs, shop, choices, |intake| catalog(&mut |offer| intake.take(offer)))
}

/// Plans these jobs as one order from an intake that `catalog` fills; it says how many lines it set aside.
///
/// # Errors
/// As [`plan`].
pub fn plan_from<E: From<PlanError>>(
    jobs: &[Job],
    shop: &Shop,
    choices: &Choices,
    catalog: impl FnOnce(&mut Intake<'_>) -> Result<usize, E>,
) -> Result<Plan, E> {
    let inspections: Vec<Inspection> = jobs.iter().map(|job| inspect(job, shop)).collect();
    let (asks, mut unmet) = asks(jobs, shop, &inspections);
    let choices = in_time(choices, jobs);
    let told = choices.why.as_deref().map(|r| why::known(&inspections, r)).transpose()?;
    let index = told.as_deref().and_then(|label| asks.iter().position(|a| a.name == label));
    let wishes = index.map(|index| wish::binding(&asks, index)).unwrap_or_default();
    let place = index.map(|index| wish::place(&asks, index)).unwrap_or_default();
    let without = asks_without(&wishes, &asks);
    let mut intake = Intake::new(Sought { asks: &asks, place: &place, without: &without }, shop, &choices);
    let set_aside = catalog(&mut intake)?;
    let finds = intake.finish();
    let positions = positions(&finds.in_time);
    let order = order::build(&positions, (&finds.in_time.sources, finds.in_time.thinned.is_some()), shop, &choices)?;
    let limits = Limits { seconds: choices.seconds, ..Limits::default() };
    let purchase = solve(&order.problem, &limits).map_err(PlanError::Purchase)?;
    unmet.extend(record::unmet(&positions, &finds.late, &purchase, (shop, &choices)));
    in_order_of_parts(&mut unmet, &inspections);
    let bought = record::Bought { positions: &positions, order: &order, purchase: &purchase, shop, jobs };
    let needs = asks.iter().map(|a| crate::model::need::Need { reference: a.name.clone(), ..a.need.clone() }).collect();
    let names: Vec<&str> = jobs.iter().map(|j| j.name.as_str()).collect();
    let mut plan = Plan {
        set_aside,
        needs,
        unmet,
        assumed: assumed((&finds.in_time, &purchase), &order, shop, &choices),
        ..recorded(&bought, record::done(&bought, &inspections))
    };
    let scene =
        ceiling::Scene { jobs, shop, choices: &choices, positions: &positions, order: &order, late: &finds.late };
    let within = ceiling::within(&mut plan, &scene)?;
    let bought = within.as_ref().map_or(bought, |within| within.bought(&bought));
    plan.cans = cans::side_by_side(&bought, &can_ways(&finds.in_time, &finds.missed), &finds.in_time, &choices)?;
    let problem = (&bought.order.problem, bought.purchase);
    plan.together = alone::of_jobs(&names, bought.positions, problem, choices.seconds)?;
    hold_by_money(&mut plan, jobs, shop, choices.ceiling);
    if let Some(label) = told {
        let told = why::Told { bought: &bought, finds: &finds, wishes: &wishes, choices: &choices };
        plan.story = Some(why::story(label, &told)?);
    }
    Ok(plan)
}

/// The record of what was bought.
fn recorded(bought: &record::Bought<'_>, inspections: Vec<Inspection>) -> Plan {
    let record::Bought { order, purchase, shop, .. } = *bought;
    let met = |p: usize| !purchase.unmet.iter().any(|u| u.position == p);
    Plan {
        currency: shop.currency.clone(),
        needs: Vec::new(),
        fits: record::fits(bought),
        buy: record::buy(bought),
        shelf: record::shelf(bought),
        cans: Vec::new(),
        bills: record::bills(bought),
        totals: record::totals(&purchase.totals),
        unmet: Vec::new(),
        by_hand: record::by_hand(&by_hand(&order.problem, met)),
        set_aside: 0,
        diagnostics: Vec::new(),
        assumed: Vec::new(),
        stopped: purchase.totals.stopped,
        job_shares: Vec::new(),
        together: None,
        can_wait: Vec::new(),
        under_ceiling: None,
        story: None,
        effort: record::effort(purchase),
        inspections,
    }
}

/// Holds jobs that cost more than the owner has authorised or the set is worth: by the quote's total where
/// labour can be priced (of several jobs each one's own, with its part of the common order), else by the
/// job's share of the order. A ceiling of the caller's wins over the sheets'; over several jobs it is one
/// for the whole order.
fn hold_by_money(plan: &mut Plan, jobs: &[Job], shop: &Shop, ceiling: Option<Money>) {
    let names: Vec<&str> = jobs.iter().map(|j| j.name.as_str()).collect();
    let shares = shares::of_jobs(&names, &plan.fits, &plan.totals);
    let charged = shares::charged(&names, &plan.fits, &plan.totals);
    let whole = ceiling::total(plan, (jobs, shop));
    let several = 1 < jobs.len();
    let own: Vec<(Money, TotalOf)> = jobs
        .iter()
        .zip(charged.iter().zip(&shares))
        .map(|(job, (charged, share))| {
            let priced = several && !shop.quote.labour.is_empty();
            let quoted = if priced { quote::total_of_one(job, plan, &shop.quote, *charged).ok() } else { None };
            match quoted {
                Some(total) => (total, TotalOf::QuoteOfOne),
                None if several => (*share, TotalOf::Share),
                None => whole,
            }
        })
        .collect();
    for ((job, inspection), (total, of)) in jobs.iter().zip(&mut plan.inspections).zip(own) {
        let mut chassis = job.chassis.clone();
        if let Some(ceiling) = ceiling {
            // The caution that no ceiling was authorised no longer holds.
            inspection.cautions.retain(|c| c.source != Some(SourceId::OwnersChoice));
            let of_caller = Chassis { ceiling: Some(ceiling), value: None, ..chassis.clone() };
            inspection.holds.extend(money_holds(&of_caller, whole.0, whole.1, &plan.currency));
            chassis.ceiling = None;
        }
        inspection.holds.extend(money_holds(&chassis, total, of, &plan.currency));
    }
    plan.job_shares = shares;
}

/// The unmet needs in the order of the jobs' parts.
pub(super) fn in_order_of_parts(unmet: &mut [Unmet], inspections: &[Inspection]) {
    let labels: Vec<String> = inspections
        .iter()
        .flat_map(|i| {
            let prefix = if 1 < inspections.len() { format!("{}/", i.job) } else { String::new() };
            i.judgements.iter().map(move |j| format!("{prefix}{}", j.reference))
        })
        .collect();
    unmet.sort_by_key(|u| labels.iter().position(|l| *l == u.reference));
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
            let supplies = &inspection.supplies;
            let context = NeedContext { job, part, stress: &judgement.stress, judgement, supplies, shop };
            match Ask::new(name.clone(), context) {
                Ok(ask) => asks.push(ask),
                Err(no_need) => {
                    unmet.push(Unmet {
                        reference: name,
                        need: no_need.says,
                        wanted: no_need.wanted,
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
fn assumed(
    (found, purchase): (&Found<'_>, &Purchase),
    order: &Order<'_>,
    shop: &Shop,
    choices: &Choices,
) -> Vec<String> {
    let mut assumed = Vec::new();
    let aside =
        "where more than a hundred offers serve, those that a cheaper one of their own supplier beats were left aside";
    match found.thinned {
        Some(Thinned::Beaten) if !purchase.totals.proven => assumed.push(format!(
            "{aside}; the bound holds with them, as it takes it that goods reach a free-carriage sum or a minimum order exactly"
        )),
        Some(Thinned::ToSplit) => assumed.push(format!(
            "{aside}; where more than ten of a number are bought, dividing them between two numbers could save spares, which is not looked at"
        )),
        _ => {}
    }
    if found.thinned.is_some() && purchase.unmet.iter().any(|u| u.why == UnmetWhy::MinimumOrder) {
        assumed
            .push(format!("{aside}; goods among them could fill the least order that is not reached with the others"));
    }
    let Some(within) = choices.within_days else { return assumed };
    let unknown = order.sources.iter().filter(|s| s.key.supplier().is_some() && order::days(s, shop).is_none()).count();
    if unknown > 0 {
        assumed.push(format!(
            "{unknown} offers do not say when they are delivered: taken as within the {within} days promised"
        ));
    }
    assumed
}
