//! Drops what cannot be in a cheaper plan: whatever raises the bound above a limit when it is forced.

use std::rc::Rc;

use super::decided::Decided;
use super::model::{Model, Seg};
use super::node::Node;
use super::table::real;

/// Drops options, quantities and links that no plan at or below `target` (grains) can have.
/// False where nothing is left.
pub(super) fn reduce(model: &Model, node: &mut Node, target: f64) -> bool {
    if node.decided() {
        return Decided::new(model, node).reduce(model, node, target);
    }
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
pub(super) fn source(model: &Model, node: &mut Node, s: usize, room: f64, open: &[(f64, f64)]) {
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
    if rows.is_empty() {
        node.segs[s] = Rc::default();
    } else if kept.len() < node.segs[s].len() {
        node.segs[s] = Rc::new(kept);
    }
    if rows.len() < node.rows[s].len() {
        node.rows[s] = Rc::new(rows);
    }
}
