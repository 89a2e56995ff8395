//! A plan out of a node: what its relaxation buys for the most part, made whole.

use super::model::{Band, Model};
use super::node::Node;
use super::plan::Plan;
use super::primal::{fill_classes, improve};
use super::state::{State, UNLAWFUL};
use super::table::{Table, floor, real};

/// From which part on a source counts as bought.
const BOUGHT: f64 = 0.5;

/// A plan for the classes of a node and what it costs, grains; thresholds may be reached by paying
/// for nothing. Suppliers outside the node charge nothing for being used. None where greed finds none.
pub(super) fn plan(model: &Model, node: &Node, passes: u32) -> Option<(f64, Plan)> {
    let mut bands: Table<Vec<Band>> = model.suppliers.iter().map(|_| vec![Band { fixed: 0, least: 0 }]).collect();
    for v in &node.suppliers {
        let options = node.options[*v].iter().flatten();
        bands[*v] = options.filter_map(|b| model.suppliers[*v].bands.get(*b)).copied().collect();
    }
    let mut dead = Table::filled(true, model.sources.len());
    let plain = node.plain.iter().copied();
    for s in plain.chain(node.suppliers.iter().flat_map(|v| node.live(model, *v))) {
        dead[s] = node.segs[s].is_empty();
    }
    let mut state = State::new(model, bands);
    state.bar(chosen(model, node, &dead));
    state.spend_at_least(model.sources.iter().enumerate().map(|(s, _)| spent(model, node, s)).collect());
    let filled = fill_classes(&mut state, &node.classes);
    state.spend_at_least(Table::filled(0, model.sources.len()));
    if !filled {
        return None;
    }
    state.bar(dead);
    improve(&mut state, passes);
    (state.cost() < UNLAWFUL).then(|| (real(state.cost()) / real(model.grain), state.plan()))
}

/// What the relaxation spends on a source that it buys for the most part.
fn spent(model: &Model, node: &Node, s: usize) -> i64 {
    let usage = node.usage[s];
    if usage.bought < BOUGHT || node.segs[s].is_empty() {
        return 0;
    }
    let src = &model.sources[s];
    let quantity = floor(usage.mean / usage.bought + 0.5) / src.pack * src.pack;
    src.cheapest(quantity).map_or(0, |c| c.1)
}

/// Which sources are left out at first: those that the relaxation hardly buys. A row of which it
/// buys no source for the most part keeps all of them.
fn chosen(model: &Model, node: &Node, dead: &Table<bool>) -> Table<bool> {
    let bought = |s: usize| node.must[s] || node.usage[s].bought >= BOUGHT;
    let mut barred: Table<bool> = dead.iter().enumerate().map(|(s, dead)| *dead || !bought(s)).collect();
    for c in &node.classes {
        for (r, _) in model.classes[*c].ways.iter().flat_map(|w| w.uses.iter()) {
            let any_of = &model.rows[*r].any_of;
            if any_of.iter().all(|s| dead[*s] || !bought(*s)) {
                for s in any_of {
                    barred[*s] = dead[*s];
                }
            }
        }
    }
    barred
}
