//! The exact check of a plan against the problem as it was given, sharing nothing with the search.

use std::collections::BTreeMap;

use super::fault::PurchaseError;
use super::outcome::{Fit, Purchase, Taken};
use super::problem::{Demand, Problem};
use super::report::charges;
use crate::money::Money;

/// Re-checks every need, tier, pack, stock, minimum and limit, and recomputes the bill.
///
/// # Errors
/// [`PurchaseError::Disagreement`] with the first thing that does not agree and the whole
/// instance as text.
pub fn verify(problem: &Problem, purchase: &Purchase) -> Result<(), PurchaseError> {
    check(problem, purchase)
        .map_err(|what| PurchaseError::Disagreement { what, instance: format!("{problem:#?}\n{purchase:#?}") })
}

fn check(problem: &Problem, purchase: &Purchase) -> Result<(), String> {
    every_position_once(problem, purchase)?;
    let mut used: BTreeMap<usize, (u32, u32)> = BTreeMap::new();
    for fit in &purchase.fits {
        fit_is_lawful(problem, fit)?;
        for part in &fit.parts {
            let entry = used.entry(part.source).or_default();
            entry.0 += part.count;
            entry.1 += part.extra;
        }
    }
    lines_are_lawful(problem, purchase, &used)?;
    bills_agree(problem, purchase)?;
    totals_agree(purchase)
}

fn every_position_once(problem: &Problem, purchase: &Purchase) -> Result<(), String> {
    let mut seen = vec![0u32; problem.positions.len()];
    let named = purchase.fits.iter().map(|f| f.position).chain(purchase.unmet.iter().map(|u| u.position));
    for position in named {
        *seen.get_mut(position).ok_or("a position that does not exist")? += 1;
    }
    match seen.iter().position(|n| *n != 1) {
        Some(p) => Err(format!("position {p} is not named exactly once")),
        None => Ok(()),
    }
}

fn fit_is_lawful(problem: &Problem, fit: &Fit) -> Result<(), String> {
    let position = problem.positions.get(fit.position).ok_or("no such position")?;
    let arrangement = position.arrangements.get(fit.arrangement).ok_or("no such arrangement")?;
    for (d, demand) in arrangement.demands.iter().enumerate() {
        let parts: Vec<&Taken> = fit.parts.iter().filter(|p| p.demand == d).collect();
        demand_is_met(demand, &parts).map_err(|e| format!("{}, demand {d}: {e}", position.key))?;
    }
    if fit.parts.iter().any(|p| p.demand >= arrangement.demands.len()) {
        return Err(format!("{}: a part for no demand", position.key));
    }
    Ok(())
}

fn demand_is_met(demand: &Demand, parts: &[&Taken]) -> Result<(), &'static str> {
    if parts.iter().map(|p| p.count).sum::<u32>() != demand.count {
        return Err("not the number needed");
    }
    if parts.iter().any(|p| !demand.any_of.contains(&p.source)) {
        return Err("from a source that does not fit");
    }
    if demand.same_source && parts.len() > 1 {
        return Err("from more than one source");
    }
    let extra = if demand.count > 0 { demand.select_extra } else { 0 };
    if parts.iter().map(|p| p.extra).sum::<u32>() != extra {
        return Err("not the number to select from");
    }
    Ok(())
}

fn lines_are_lawful(problem: &Problem, purchase: &Purchase, used: &BTreeMap<usize, (u32, u32)>) -> Result<(), String> {
    let mut bought: BTreeMap<usize, u32> = BTreeMap::new();
    for line in &purchase.buy {
        let source = problem.sources.get(line.source).ok_or("a line of no source")?;
        let fail = |what: &str| Err(format!("line {}: {what}", source.number));
        let (needed, extra) = used.get(&line.source).copied().unwrap_or_default();
        let spare: u32 = line.spare.iter().map(|s| s.1).sum();
        if bought.insert(line.source, line.quantity).is_some() {
            return fail("named twice");
        }
        if line.needed != needed || line.quantity != needed + spare {
            return fail("quantity is not what is needed and spare");
        }
        if line.quantity < needed + extra + problem.rules.spare(source.spares, needed) {
            return fail("less than needed, to select from and spare");
        }
        if line.quantity == 0 || !line.quantity.is_multiple_of(source.pack) || line.quantity < source.minimum {
            return fail("not a lawful quantity");
        }
        if source.stock.is_some_and(|stock| line.quantity > stock) {
            return fail("more than the stock");
        }
        let tier = source.tier(line.quantity).ok_or("no price at this quantity")?;
        if tier.each != line.each || line.line != tier.each.times(line.quantity) {
            return fail("not the price");
        }
    }
    match used.keys().find(|s| !bought.contains_key(s)) {
        Some(s) => Err(format!("source {s} is used and not bought")),
        None => Ok(()),
    }
}

fn bills_agree(problem: &Problem, purchase: &Purchase) -> Result<(), String> {
    let mut goods: BTreeMap<usize, Money> = BTreeMap::new();
    for line in &purchase.buy {
        if let Some(supplier) = problem.sources.get(line.source).and_then(|s| s.supplier) {
            *goods.entry(supplier).or_default() += line.line;
        }
    }
    if goods.len() != purchase.suppliers.len() {
        return Err("not one bill for each supplier".to_owned());
    }
    if problem.rules.max_suppliers.is_some_and(|most| goods.len() > most as usize) {
        return Err("more suppliers than allowed".to_owned());
    }
    for bill in &purchase.suppliers {
        let terms = problem.suppliers.get(bill.supplier).ok_or("a bill of no supplier")?;
        let sum = goods.get(&bill.supplier).copied().ok_or("a bill without lines")?;
        let (carriage, fee) = charges(terms, sum).ok_or_else(|| format!("{} takes no such order", terms.name))?;
        let total = sum + carriage + fee;
        if (sum, carriage, fee, total) != (bill.goods, bill.carriage, bill.fee, bill.total) {
            return Err(format!("the bill of {}", terms.name));
        }
    }
    Ok(())
}

fn totals_agree(purchase: &Purchase) -> Result<(), String> {
    let totals = &purchase.totals;
    let goods: Money = purchase.buy.iter().map(|l| l.line).sum();
    let carriage: Money = purchase.suppliers.iter().map(|b| b.carriage).sum();
    let fees: Money = purchase.suppliers.iter().map(|b| b.fee).sum();
    if (goods, carriage, fees) != (totals.goods, totals.carriage, totals.fees) {
        return Err("the totals".to_owned());
    }
    if goods + carriage + fees != totals.landed || totals.bound > totals.landed {
        return Err("the landed cost or its bound".to_owned());
    }
    if totals.proven != (totals.bound == totals.landed) {
        return Err("called proven and is not, or the other way round".to_owned());
    }
    Ok(())
}
