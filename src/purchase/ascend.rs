//! Raises a node's bound by moving its prices, and drops what cannot be in a cheaper plan.

use super::clock::Clock;
use super::model::{Model, Seg};
use super::node::{Node, Priced, prices_alone};
use super::table::{Table, real};

/// Moves the prices for at most `rounds` rounds, until the bound passes `target` (grains).
pub(super) fn raise(model: &Model, node: &mut Node, target: f64, rounds: u32, clock: &Clock) {
    climb(model, node, target, (rounds, &FAST), clock);
}

/// Raises the bound again and again from where it stands, until a turn gains little.
pub(super) fn raise_far(model: &Model, node: &mut Node, target: f64, rounds: u32, clock: &Clock) {
    climb(model, node, target, (rounds, &(1.0, 10, 0.9)), clock);
    for _ in 0..TURNS {
        let before = node.bound;
        climb(model, node, target, (rounds, &(0.2, 10, 0.9)), clock);
        if node.bound > target || node.bound - before < 0.02 * (target - before) || clock.stopped() {
            return;
        }
    }
}

/// First step, rounds of patience and what the step shrinks by, where prices are nearly right.
const FAST: (f64, u32, f64) = (0.5, 10, 0.9);

/// Most turns of [`raise_far`].
const TURNS: u32 = 10;

/// Moves the prices for at most so many rounds, with steps that begin at this part of the full one.
fn climb(model: &Model, node: &mut Node, target: f64, (rounds, pace): (u32, &(f64, u32, f64)), clock: &Clock) {
    let (start, patience, shrink) = *pace;
    let mut trial = node.clone();
    let alone = prices_alone(model);
    let scale = alone.iter().zip(model.rows.iter()).map(|(p, r)| p.max(0.01) / f64::from(r.most.max(1)).sqrt());
    let mut pace = Pace {
        scale: scale.collect(),
        heading: Table::filled(0.0, model.rows.len()),
        discount: node.discount.iter().map(|d| vec![(0.1, 0.0); d.len()]).collect(),
    };
    let (mut step, mut idle) = (start, 0);
    node.bound = f64::NEG_INFINITY;
    let size = node.plain.len() + node.suppliers.iter().map(|v| node.live(model, *v).count()).sum::<usize>();
    for _ in 0..rounds {
        let priced = trial.priced(model);
        clock.spend(size as u64);
        for (s, bought) in &priced.bought {
            node.usage[*s] += 0.08 * (f64::from(u8::from(*bought)) - node.usage[*s]);
        }
        idle = if priced.bound > node.bound + 1e-6 * target.abs() { 0 } else { idle + 1 };
        if priced.bound > node.bound {
            node.bound = priced.bound;
            node.price.clone_from(&trial.price);
            node.discount.clone_from(&trial.discount);
        }
        if node.bound > target || step < 0.002 || clock.stopped() {
            return;
        }
        if idle >= patience {
            step *= shrink;
            idle = 0;
        }
        pace.discounts(&mut trial, &priced, step);
        if !pace.prices(&mut trial, &priced, step * (target - priced.bound).max(1.0)) {
            return;
        }
    }
}

/// How far each price and discount moves.
struct Pace {
    scale: Table<f64>,
    heading: Table<f64>,
    /// Of each supplier and band: the next move, and which way the last one went.
    discount: Table<Vec<(f64, f64)>>,
}

impl Pace {
    /// A step along what is short, scaled by what each row is worth; false where nothing is short.
    fn prices(&mut self, node: &mut Node, priced: &Priced, gap: f64) -> bool {
        let mut norm = 0.0;
        for (r, h) in self.heading.iter_mut().enumerate() {
            // A price of nothing cannot fall any further.
            let short = if node.price[r] <= 0.0 { priced.short[r].max(0.0) } else { priced.short[r] };
            *h = short + 0.3 * *h;
            norm += (*h * self.scale[r]).powi(2);
        }
        if norm <= 1e-12 {
            return false;
        }
        let length = gap / norm;
        for (r, h) in self.heading.iter().enumerate() {
            node.price[r] = (node.price[r] + length * h * self.scale[r].powi(2)).max(0.0);
        }
        true
    }

    /// Each discount moves towards its own best: further while the sign holds, less when it turns.
    fn discounts(&mut self, node: &mut Node, priced: &Priced, step: f64) {
        for (v, b, miss) in &priced.misses {
            let (Some(pace), Some(discount)) = (self.discount[*v].get_mut(*b), node.discount[*v].get_mut(*b)) else {
                continue;
            };
            let way = miss.signum();
            pace.0 =
                if way * pace.1 < 0.0 { pace.0 * 0.5 } else { pace.0 * 1.2 }.clamp(0.0002, (0.1 * step).max(0.0003));
            pace.1 = way;
            *discount = (*discount + way * pace.0).clamp(0.0, 1.0);
        }
    }
}

/// Drops options, quantities and links that no plan at or below `target` (grains) can have.
/// False where nothing is left.
pub(super) fn reduce(model: &Model, node: &mut Node, target: f64) -> bool {
    let room = target - node.priced(model).bound;
    if room < 0.0 {
        return false;
    }
    for v in node.suppliers.clone() {
        let options = node.options[v].clone();
        let values: Vec<f64> = options.iter().map(|o| node.option_value(model, v, *o)).collect();
        let least = values.iter().copied().fold(f64::INFINITY, f64::min);
        let kept: Vec<_> = options.iter().zip(&values).filter(|(_, x)| *x - least <= room).collect();
        // What each open option leaves for one of its sources to spoil.
        let open: Vec<(f64, f64)> =
            kept.iter().filter(|(o, _)| o.is_some()).map(|(o, x)| (*x - least, node.terms(model, v, **o).1)).collect();
        let options = kept.iter().map(|(o, _)| **o).collect();
        let live: Vec<usize> = node.live(model, v).collect();
        for s in live {
            source(model, node, s, room, &open);
        }
        node.options[v] = options;
    }
    for s in node.plain.clone() {
        source(model, node, s, room, &[(0.0, 1.0)]);
    }
    let barren = |s: &usize| node.must[*s] && node.segs[*s].is_empty();
    !(0..model.sources.len()).any(|s| barren(&s))
}

/// Drops quantities and links of one source; `open`: excess and rate of each option of its supplier.
fn source(model: &Model, node: &mut Node, s: usize, room: f64, open: &[(f64, f64)]) {
    if node.segs[s].is_empty() {
        return;
    }
    let worths = node.worths(model, s);
    let pack = model.sources[s].pack;
    let flat = model.rules.spare(model.sources[s].class, 1);
    let at_best: Vec<(f64, f64)> =
        open.iter().map(|(excess, rate)| (excess - node.best(model, s, &worths, *rate).0, *rate)).collect();
    // The least that the bound rises by if this much of the source is bought, `off` pieces for one row.
    let rise = |seg: Seg, off: u32, value: f64| {
        let each = real(seg.each) / real(model.grain);
        let forced = at_best.iter().map(|(x, rate)| x + worths.within(pack, seg, rate * each, flat + off).0 - value);
        forced.fold(f64::INFINITY, f64::min)
    };
    let kept: Vec<Seg> = node.segs[s].iter().copied().filter(|g| rise(*g, 0, 0.0) <= room).collect();
    let serves = |r: &usize| kept.iter().any(|g| rise(*g, model.rows[*r].weight(), node.price[*r]) <= room);
    let rows: Vec<usize> = node.rows[s].iter().copied().filter(serves).collect();
    node.segs[s] = if rows.is_empty() { Vec::new() } else { kept };
    node.rows[s] = rows;
}
