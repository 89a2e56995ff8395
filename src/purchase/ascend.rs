//! Raises a node's bound by moving its prices, and drops what cannot be in a cheaper plan.

use super::clock::Clock;
use super::model::{Model, Seg};
use super::node::{Node, Priced, prices_alone};
use super::table::{Table, real};

/// Moves the prices for at most `rounds` rounds, until the bound passes `target` (grains).
pub(super) fn raise(model: &Model, node: &mut Node, target: f64, rounds: u32, clock: &Clock) {
    let mut trial = node.clone();
    let alone = prices_alone(model);
    let scale: Table<f64> =
        alone.iter().zip(model.rows.iter()).map(|(p, r)| p.max(0.01) / f64::from(r.most.max(1)).sqrt()).collect();
    let mut heading: Table<f64> = Table::filled(0.0, model.rows.len());
    let (mut step, mut idle) = (1.0, 0);
    node.bound = f64::NEG_INFINITY;
    let size = node.plain.len() + node.suppliers.iter().map(|v| node.live(model, *v).count()).sum::<usize>();
    for _ in 0..rounds {
        let priced = trial.priced(model);
        clock.spend(size as u64);
        idle = if priced.bound > node.bound + 1e-6 * target.abs() { 0 } else { idle + 1 };
        if priced.bound > node.bound {
            node.bound = priced.bound;
            node.price.clone_from(&trial.price);
            node.discount.clone_from(&trial.discount);
        }
        if node.bound > target || step < 0.01 || clock.stopped() {
            return;
        }
        if idle >= 6 {
            step *= 0.6;
            idle = 0;
            trial.price.clone_from(&node.price);
            trial.discount.clone_from(&node.discount);
            heading.iter_mut().for_each(|h| *h = 0.0);
        } else if !advance(model, &mut trial, &priced, (&scale, &mut heading), step * (target - priced.bound).max(1.0))
        {
            return;
        }
    }
}

/// One step; false where nothing is short.
fn advance(model: &Model, node: &mut Node, priced: &Priced, way: (&Table<f64>, &mut Table<f64>), gap: f64) -> bool {
    let (scale, heading) = way;
    let mut norm = 0.0;
    for (r, h) in heading.iter_mut().enumerate() {
        // A price of nothing cannot fall any further.
        let short = if node.price[r] <= 0.0 { priced.short[r].max(0.0) } else { priced.short[r] };
        *h = short + 0.3 * *h;
        norm += (*h * scale[r]).powi(2);
    }
    let mut moved = Vec::new();
    for (v, option, miss) in &priced.chosen {
        let Some((b, least)) = option.and_then(|b| Some((b, model.suppliers[*v].bands.get(b)?.least))) else {
            continue;
        };
        let discount = node.discount[*v].get(b).copied().unwrap_or(0.0);
        if least > 0 && (discount > 0.0 || *miss > 0.0) {
            let scale = 1.0 / (real(least) / real(model.grain)).max(1.0);
            norm += (miss * scale).powi(2) * real(least) / real(model.grain);
            moved.push((*v, b, miss * scale));
        }
    }
    if norm <= 1e-12 {
        return false;
    }
    let length = gap / norm;
    for (r, h) in heading.iter().enumerate() {
        node.price[r] = (node.price[r] + length * h * scale[r].powi(2)).max(0.0);
    }
    for (v, b, miss) in moved {
        if let Some(d) = node.discount[v].get_mut(b) {
            *d = (*d + length * miss).clamp(0.0, 1.0);
        }
    }
    true
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
