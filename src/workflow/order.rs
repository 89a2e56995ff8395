//! From positions and their candidates to the purchase problem, and the names to come back by.

use std::collections::{BTreeMap, BTreeSet};

use super::{Choices, PlanError};
use crate::model::kind::PartKind;
use crate::model::shop::{Shop, Supplier};
use crate::money::Rate;
use crate::purchase::{self, Arrangement, Demand, Problem};
use crate::substitute::arrange::Position;
use crate::substitute::candidates::{Source, SourceKey};

/// The classes of spares, in the order of the problem's rules.
const FILM: usize = 0;
const RESISTOR: usize = 1;
const ELECTROLYTIC: usize = 2;

/// The purchase problem with what its numbers stand for.
#[derive(Clone)]
pub(super) struct Order<'a> {
    /// The problem.
    pub(super) problem: Problem,
    /// Sources by their index in the problem.
    pub(super) sources: Vec<&'a Source>,
    /// For each arrangement of each position the alternative that it stands for.
    pub(super) alternatives: Vec<Vec<usize>>,
}

/// Builds the problem from what is offered; `thinned` as in [`Found::thinned`](crate::substitute::candidates::Found).
///
/// # Errors
/// A supplier whose currency has no exchange rate.
pub(super) fn build<'a>(
    positions: &[Position],
    (offered, thinned): (&'a [Source], bool),
    shop: &Shop,
    choices: &Choices,
) -> Result<Order<'a>, PlanError> {
    let wanted = wanted(positions);
    let used: Vec<&Source> = offered.iter().filter(|s| wanted.contains(&s.key)).collect();
    let index: BTreeMap<&SourceKey, usize> = used.iter().enumerate().map(|(i, s)| (&s.key, i)).collect();
    let mut suppliers: Vec<&Supplier> = Vec::new();
    let mut sources = Vec::new();
    for source in &used {
        sources.push(problem_source(source, shop, &mut suppliers)?);
    }
    let mut alternatives = Vec::new();
    let mut problem_positions = Vec::new();
    for position in positions {
        let (kept, arrangements) = arrangements(position, &index);
        alternatives.push(kept);
        problem_positions.push(purchase::Position { key: position.refs.join(" "), arrangements });
    }
    let terms = suppliers.iter().map(|s| terms(s, shop)).collect::<Result<Vec<_>, _>>()?;
    let problem =
        Problem { positions: problem_positions, sources, suppliers: terms, rules: rules(shop, choices, thinned) };
    Ok(Order { problem, sources: used, alternatives })
}

/// Every source that some alternative asks for.
fn wanted(positions: &[Position]) -> BTreeSet<&SourceKey> {
    let demands = positions.iter().flat_map(|p| &p.alternatives).flat_map(|a| &a.demands);
    demands.flat_map(|d| &d.any_of).map(|c| &c.source).collect()
}

/// Days until delivery: the offer's own, else the supplier's; `None` where neither says.
pub(super) fn days(source: &Source, shop: &Shop) -> Option<u32> {
    source.lead_days.or_else(|| shop.supplier(source.key.supplier()?)?.lead_days)
}

/// An offer whose days are not known is taken; that is printed as assumed.
pub(super) fn in_time((supplier, own): (&str, Option<u32>), shop: &Shop, within: Option<u32>) -> bool {
    let Some(within) = within else { return true };
    let days = own.or_else(|| shop.supplier(supplier)?.lead_days);
    days.is_none_or(|days| days <= within)
}

/// The alternatives that can still be had, with the arrangements that stand for them.
fn arrangements(position: &Position, index: &BTreeMap<&SourceKey, usize>) -> (Vec<usize>, Vec<Arrangement>) {
    let mut kept = Vec::new();
    let mut arrangements = Vec::new();
    for (number, alternative) in position.alternatives.iter().enumerate() {
        let demands: Vec<Demand> = alternative
            .demands
            .iter()
            .map(|d| Demand {
                any_of: d.any_of.iter().filter_map(|c| index.get(&c.source).copied()).collect(),
                count: d.count,
                same_source: d.same_source,
                select_extra: d.select_extra,
            })
            .collect();
        if demands.iter().all(|d| !d.any_of.is_empty()) {
            kept.push(number);
            arrangements.push(Arrangement { demands, life_hours: 0 });
        }
    }
    (kept, arrangements)
}

fn problem_source<'s>(
    source: &Source,
    shop: &'s Shop,
    suppliers: &mut Vec<&'s Supplier>,
) -> Result<purchase::Source, PlanError> {
    let (supplier, rate) = match source.key.supplier() {
        None => (None, Rate::ONE),
        Some(name) => {
            let supplier = shop.supplier(name).ok_or_else(|| PlanError::NoSupplier(name.to_owned()))?;
            let known = suppliers.iter().position(|s| s.name == supplier.name);
            let number = known.unwrap_or_else(|| {
                suppliers.push(supplier);
                suppliers.len() - 1
            });
            (Some(number), rate(supplier, shop)?)
        }
    };
    let tiers = source.tiers.iter().map(|t| purchase::Tier { from: t.from, each: t.each.at_rate(rate) }).collect();
    let hours = source.article.life.map_or(0.0, crate::units::Hour::get).clamp(0.0, 1e9);
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to whole hours in range")]
    let life_hours = hours as u32;
    Ok(purchase::Source {
        number: source.key.number().to_owned(),
        supplier,
        tiers,
        pack: source.pack,
        minimum: source.minimum,
        stock: source.stock,
        spares: supplier.and_then(|_| spare_class(source.article.kind)),
        life_hours,
    })
}

/// The rate that turns a supplier's prices into the shop's currency.
fn rate(supplier: &Supplier, shop: &Shop) -> Result<Rate, PlanError> {
    shop.rate(&supplier.currency)
        .ok_or_else(|| PlanError::NoRate { supplier: supplier.name.clone(), currency: supplier.currency.to_string() })
}

fn terms(supplier: &Supplier, shop: &Shop) -> Result<purchase::Supplier, PlanError> {
    let rate = rate(supplier, shop)?;
    Ok(purchase::Supplier {
        name: supplier.name.clone(),
        carriage: supplier.carriage.at_rate(rate),
        free_over: supplier.free_over.map(|m| m.at_rate(rate)),
        minimum_order: supplier.minimum_order.map(|m| m.at_rate(rate)),
        small_order_fee: supplier.small_order_fee.map(|m| m.at_rate(rate)),
    })
}

/// Which spare rule a kind falls under; special parts (motor capacitors, valves, lamps, fuses, leads,
/// hardware) have none.
const fn spare_class(kind: PartKind) -> Option<usize> {
    match kind {
        PartKind::MotorRun => None,
        PartKind::Electrolytic | PartKind::Tantalum => Some(ELECTROLYTIC),
        kind if kind.is_capacitor() => Some(FILM),
        kind if kind.is_resistor() => Some(RESISTOR),
        _ => None,
    }
}

fn rules(shop: &Shop, choices: &Choices, more_goods: bool) -> purchase::Rules {
    let mut spares = vec![0; 3];
    for (class, extra) in
        [(FILM, shop.spares.film), (RESISTOR, shop.spares.resistor), (ELECTROLYTIC, shop.spares.electrolytic)]
    {
        if let Some(slot) = spares.get_mut(class) {
            *slot = extra;
        }
    }
    purchase::Rules { spares, over_ten: shop.spares.over_ten, max_suppliers: choices.max_suppliers, more_goods }
}
