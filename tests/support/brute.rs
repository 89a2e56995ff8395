//! The best order by trying everything.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};

use capjob::money::Money;
use capjob::purchase::{Demand, Problem, Purchase};

/// What is compared, in the stated order of ties.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Key {
    pub(crate) cost: i64,
    suppliers: usize,
    numbers: usize,
    life: Reverse<u64>,
    names: Vec<(String, String)>,
}

/// Pieces used and extra by source, and the sum of lives.
type Load = (Vec<(u32, u32)>, u64);

/// Fewest positions unmet, and the best order that leaves no more.
pub(crate) fn best(problem: &Problem) -> (usize, Key) {
    let start: Load = (vec![(0, 0); problem.sources.len()], 0);
    let mut loads: BTreeSet<(usize, Load)> = BTreeSet::from([(0, start)]);
    for position in &problem.positions {
        let mut next = BTreeSet::new();
        for (unmet, load) in &loads {
            next.insert((unmet + 1, load.clone()));
            for arrangement in &position.arrangements {
                let mut filled = BTreeSet::from([(load.0.clone(), load.1 + u64::from(arrangement.life_hours))]);
                for demand in &arrangement.demands {
                    filled = filled.iter().flat_map(|l| meet(problem, l, demand)).collect();
                }
                next.extend(filled.into_iter().map(|l| (*unmet, l)));
            }
        }
        loads = next;
    }
    let mut orders = BTreeMap::new();
    let keys = loads.iter().filter_map(|(unmet, load)| key(problem, load, &mut orders).map(|k| (*unmet, k)));
    keys.min().unwrap()
}

fn meet(problem: &Problem, load: &Load, demand: &Demand) -> Vec<Load> {
    let chunk = if demand.same_source { demand.count } else { 1 };
    let mut loads = BTreeSet::from([load.clone()]);
    for _ in 0..demand.count / chunk {
        let mut next = BTreeSet::new();
        for load in &loads {
            for s in &demand.any_of {
                let mut load = load.clone();
                load.0[*s].0 += chunk;
                load.0[*s].1 += demand.select_extra;
                load.1 += u64::from(chunk) * u64::from(problem.sources[*s].life_hours);
                if problem.sources[*s].stock.is_none_or(|stock| load.0[*s].0 + load.0[*s].1 <= stock) {
                    next.insert(load);
                }
            }
        }
        loads = next;
    }
    loads.into_iter().collect()
}

/// Required pieces of the sources of one supplier, and the best order for them.
type Orders = BTreeMap<(Option<usize>, Vec<u32>), Option<Order>>;

/// Landed cost, numbers, and their names.
type Order = (i64, usize, Vec<(String, String)>);

fn key(problem: &Problem, load: &Load, orders: &mut Orders) -> Option<Key> {
    let spare = |s: usize, used: u32| {
        let Some(kind) = problem.sources[s].spares else { return 0 };
        if used == 0 {
            return 0;
        }
        let enough = |n: &u32| f64::from(*n) + 1e-9 >= f64::from(used) * problem.rules.over_ten.get() / 100.0;
        let share = if used > 10 { (0..=used).find(enough).unwrap() } else { 0 };
        problem.rules.spares[kind].max(share)
    };
    let need: Vec<u32> = load.0.iter().enumerate().map(|(s, (u, e))| u + e + spare(s, *u)).collect();
    let mut total = Key { cost: 0, suppliers: 0, numbers: 0, life: Reverse(load.1), names: Vec::new() };
    for supplier in std::iter::once(None).chain((0..problem.suppliers.len()).map(Some)) {
        let sources: Vec<usize> = (0..need.len()).filter(|s| problem.sources[*s].supplier == supplier).collect();
        let asked: Vec<u32> = sources.iter().map(|s| need[*s]).collect();
        if asked.iter().all(|n| *n == 0) {
            continue;
        }
        let entry = orders.entry((supplier, asked)).or_insert_with_key(|k| order(problem, supplier, &sources, &k.1));
        let (cost, numbers, names) = entry.clone()?;
        total.cost += cost;
        total.numbers += numbers;
        total.suppliers += usize::from(supplier.is_some());
        total.names.extend(names);
    }
    total.names.sort();
    let most = problem.rules.max_suppliers.map_or(usize::MAX, |m| m as usize);
    (total.suppliers <= most).then_some(total)
}

/// The cheapest order with one supplier by trying every quantity of every line.
fn order(problem: &Problem, supplier: Option<usize>, sources: &[usize], need: &[u32]) -> Option<Order> {
    let terms = supplier.map(|v| &problem.suppliers[v]);
    let top = terms.map_or(0, |t| {
        let amounts = [t.free_over, t.minimum_order];
        amounts.into_iter().flatten().map(Money::ten_thousandths).max().unwrap_or(0)
    });
    // All orders by goods: the names bought, fewest first.
    let mut sums: BTreeMap<i64, (usize, Vec<(String, String)>)> = BTreeMap::from([(0, (0, Vec::new()))]);
    for (s, n) in sources.iter().zip(need) {
        let source = &problem.sources[*s];
        let mut next: BTreeMap<i64, (usize, Vec<(String, String)>)> = BTreeMap::new();
        let least = source.tiers.iter().map(|t| t.each.ten_thousandths()).min().unwrap().max(500);
        let most_beyond = u32::try_from(top / least).unwrap();
        for (sum, (count, names)) in &sums {
            for q in 0..=n + 20 + most_beyond {
                let lawful = q == 0
                    || (q % source.pack == 0
                        && q >= source.minimum
                        && source.stock.is_none_or(|stock| q <= stock)
                        && source.tiers[0].from <= q);
                if q < *n || !lawful {
                    continue;
                }
                let each = source.tiers.iter().rev().find(|t| t.from <= q).map_or(0, |t| t.each.ten_thousandths());
                let mut names = names.clone();
                if q > 0 {
                    let name = terms.map_or(String::new(), |t| t.name.clone());
                    names.push((source.number.clone(), name));
                    names.sort();
                }
                let option = (count + usize::from(q > 0), names);
                let sum = sum + each * i64::from(q);
                let entry = next.entry(sum).or_insert_with(|| option.clone());
                *entry = option.min(entry.clone());
            }
        }
        // Beyond every threshold, more goods only cost more.
        let beyond: Vec<i64> = next.range(top..).skip(1).map(|s| *s.0).collect();
        for sum in beyond {
            next.remove(&sum);
        }
        sums = next;
    }
    let landed = |goods: i64| {
        let Some(terms) = terms else { return Some(goods) };
        let below = terms.minimum_order.is_some_and(|m| goods < m.ten_thousandths());
        let fee = if below { terms.small_order_fee?.ten_thousandths() } else { 0 };
        let carried = terms.free_over.is_some_and(|f| goods >= f.ten_thousandths());
        Some(goods + fee + if carried { 0 } else { terms.carriage.ten_thousandths() })
    };
    sums.into_iter().filter_map(|(goods, (n, names))| landed(goods).map(|cost| (cost, n, names))).min()
}

/// The key of a plan as it came out.
pub(crate) fn key_of(problem: &Problem, purchase: &Purchase) -> Key {
    let mut names: Vec<(String, String)> = purchase
        .buy
        .iter()
        .map(|l| {
            let source = &problem.sources[l.source];
            (source.number.clone(), source.supplier.map_or(String::new(), |v| problem.suppliers[v].name.clone()))
        })
        .collect();
    names.sort();
    let mut life = 0;
    for fit in &purchase.fits {
        life += u64::from(problem.positions[fit.position].arrangements[fit.arrangement].life_hours);
        for part in &fit.parts {
            life += u64::from(part.count) * u64::from(problem.sources[part.source].life_hours);
        }
    }
    Key {
        cost: purchase.totals.landed.ten_thousandths(),
        suppliers: purchase.suppliers.len(),
        numbers: names.len(),
        life: Reverse(life),
        names,
    }
}
