//! From a plan in canonical numbers to the caller's own, with bills and reasons.

use super::model::Model;
use super::outcome::{Bill, Fit, Line, Purchase, SpareWhy, Statistics, Taken, Totals, Unmet};
use super::plan::Plan;
use super::problem::{Problem, Supplier};
use super::table::Table;
use crate::money::Money;

/// What is known about the cost of the best plan.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Proof {
    /// No plan costs less, ten-thousandths.
    pub(super) bound: i64,
    pub(super) stopped: bool,
    pub(super) statistics: Statistics,
}

/// Writes the plan out.
pub(super) fn purchase(problem: &Problem, model: &Model, plan: &Plan, unmet: Vec<Unmet>, proof: Proof) -> Purchase {
    let mut fits = fits(problem, model, plan);
    fits.sort_by_key(|f| f.position);
    let buy = lines(problem, model, plan);
    let suppliers = bills(problem, model, &buy);
    let goods: Money = buy.iter().map(|l| l.line).sum();
    let carriage: Money = suppliers.iter().map(|b| b.carriage).sum();
    let fees: Money = suppliers.iter().map(|b| b.fee).sum();
    let landed = goods + carriage + fees;
    let bound = Money::from_ten_thousandths(proof.bound.min(landed.ten_thousandths()));
    let gap = super::table::real((landed - bound).ten_thousandths());
    let gap_percent = if gap > 0.0 { 100.0 * gap / super::table::real(landed.ten_thousandths()) } else { 0.0 };
    let totals =
        Totals { goods, carriage, fees, landed, bound, gap_percent, proven: bound == landed, stopped: proof.stopped };
    Purchase { fits, buy, suppliers, totals, unmet, statistics: proof.statistics }
}

/// Hands the chunks of the rows out to the members of the classes, in the order of their keys.
fn fits(problem: &Problem, model: &Model, plan: &Plan) -> Vec<Fit> {
    let mut left: Table<Vec<(usize, u32)>> =
        plan.flow.iter().map(|f| f.iter().rev().copied().collect::<Vec<_>>()).collect();
    let mut fits = Vec::new();
    for (c, class) in model.classes.iter().enumerate() {
        let mut members = class.members.iter();
        let ways = class.ways.iter().zip(&plan.ways[c]).enumerate();
        for (w, (way, n)) in ways {
            for (position, arrangements) in members.by_ref().take(*n as usize) {
                let arrangement = arrangements.get(w).copied().unwrap_or(0);
                let mut chunks: Vec<(usize, usize)> = Vec::new();
                for (row, times) in &way.uses {
                    for _ in 0..*times {
                        chunks.extend(next(&mut left[*row]).map(|s| (*row, s)));
                    }
                }
                let parts = parts(problem, model, (*position, arrangement), chunks);
                fits.push(Fit { position: *position, arrangement, parts });
            }
        }
    }
    fits
}

/// Takes one chunk off a flow.
fn next(flow: &mut Vec<(usize, u32)>) -> Option<usize> {
    let (source, left) = flow.last_mut()?;
    let source = *source;
    *left -= 1;
    if *left == 0 {
        flow.pop();
    }
    Some(source)
}

/// Gives the chunks of a position to its demands: each demand takes chunks of its own row.
fn parts(problem: &Problem, model: &Model, of: (usize, usize), mut chunks: Vec<(usize, usize)>) -> Vec<Taken> {
    let demands = problem.positions.get(of.0).and_then(|p| p.arrangements.get(of.1)).map(|a| a.demands.as_slice());
    let mut parts: Vec<Taken> = Vec::new();
    for (d, demand) in demands.unwrap_or_default().iter().enumerate().filter(|(_, d)| d.count > 0) {
        let (take, times) = if demand.same_source { (demand.count, 1) } else { (1, demand.count) };
        let of_demand = |(row, s): &(usize, usize)| {
            let row = &model.rows[*row];
            let id = model.sources[*s].id;
            row.take == take
                && row.extra == demand.select_extra
                && demand.any_of.contains(&id)
                && demand.any_of.iter().all(|o| row.any_of.iter().any(|s| model.sources[*s].id == *o))
                && row.any_of.iter().all(|s| demand.any_of.contains(&model.sources[*s].id))
        };
        for _ in 0..times {
            let Some(at) = chunks.iter().position(of_demand) else { break };
            let (_, s) = chunks.remove(at);
            let taken = Taken { demand: d, source: model.sources[s].id, count: take, extra: demand.select_extra };
            match parts.iter_mut().find(|p| p.demand == d && p.source == taken.source) {
                Some(part) => {
                    part.count += take;
                    part.extra += demand.select_extra;
                }
                None => parts.push(taken),
            }
        }
    }
    parts
}

fn lines(problem: &Problem, model: &Model, plan: &Plan) -> Vec<Line> {
    let (used, extra) = plan.used(model);
    let mut lines = Vec::new();
    for (s, src) in model.sources.iter().enumerate().filter(|(s, _)| plan.quantity[*s] > 0) {
        let quantity = plan.quantity[s];
        let each = Money::from_ten_thousandths(src.each(quantity).unwrap_or(0));
        let policy = model.rules.spare(src.class, used[s]);
        let asked = used[s] + extra[s] + policy;
        let minimum = problem.sources.get(src.id).map_or(0, |o| o.minimum);
        let whole_packs = |n: u32| n.div_ceil(src.pack) * src.pack;
        let packed = whole_packs(asked).min(quantity);
        let least = whole_packs(asked.max(minimum)).clamp(packed, quantity);
        let low = src.each(least).is_none_or(|price| price > each.ten_thousandths());
        let start = src.segs.iter().find(|g| (g.lo..=g.hi).contains(&quantity)).map_or(quantity, |g| g.lo);
        let broken = if low { start.clamp(least, quantity) } else { least };
        let reasons = [
            (SpareWhy::Policy, policy),
            (SpareWhy::Select, extra[s]),
            (SpareWhy::Break, broken - least),
            (SpareWhy::Pack, packed - asked),
            (SpareWhy::Minimum, least - packed + (quantity - broken)),
        ];
        let spare = reasons.into_iter().filter(|r| r.1 > 0).collect();
        lines.push(Line { source: src.id, needed: used[s], spare, quantity, each, line: each.times(quantity) });
    }
    lines.sort_by_key(|l| {
        let source = problem.sources.get(l.source);
        let supplier = source.and_then(|s| s.supplier).and_then(|v| problem.suppliers.get(v));
        (supplier.map(|v| v.name.as_str()), source.map(|s| s.number.as_str()))
    });
    lines
}

fn bills(problem: &Problem, model: &Model, buy: &[Line]) -> Vec<Bill> {
    let mut bills = Vec::new();
    for sup in model.suppliers.iter() {
        let of_it = |l: &&Line| problem.sources.get(l.source).is_some_and(|s| s.supplier == Some(sup.id));
        if !buy.iter().any(|l| of_it(&l)) {
            continue;
        }
        let goods: Money = buy.iter().filter(of_it).map(|l| l.line).sum();
        if let Some(terms) = problem.suppliers.get(sup.id) {
            let (carriage, fee) = charges(terms, goods).unwrap_or((terms.carriage, Money::ZERO));
            bills.push(Bill { supplier: sup.id, goods, carriage, fee, total: goods + carriage + fee });
        }
    }
    bills
}

/// Carriage and fee on these goods; none where the supplier takes no such order.
pub(super) fn charges(terms: &Supplier, goods: Money) -> Option<(Money, Money)> {
    let carriage = if terms.free_over.is_some_and(|free| goods >= free) { Money::ZERO } else { terms.carriage };
    let small = terms.minimum_order.is_some_and(|least| goods < least);
    let fee = if small { terms.small_order_fee? } else { Money::ZERO };
    Some((carriage, fee))
}
