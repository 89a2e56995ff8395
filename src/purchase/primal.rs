//! Plans of our own, before any solver is asked: build greedily, then improve move by move.

use super::clock::Clock;
use super::model::{Band, Model};
use super::plan::Plan;
use super::shake::shake;
use super::state::{State, UNLAWFUL};
use super::table::Table;
use super::topup;
use super::turns::LARGE;

/// Most supplier sets that are tried, how many of the cheapest are improved, and how many of those shaken in a large
/// order. In others one is: what it misses is found exactly soon enough.
const SETS: (usize, usize, usize) = (300, 12, 4);

/// The best of the greedy plans for the sets of suppliers, improved a little; none where greed finds no lawful one.
/// Good enough to begin with where the order is then searched by its sets of suppliers.
pub(super) fn first(model: &Model) -> Option<Plan> {
    let filled = starts(model).into_iter().filter_map(|start| {
        let mut bands: Table<Vec<Band>> = Table::filled(Vec::new(), model.suppliers.len());
        for v in start {
            bands[v].clone_from(&model.suppliers[v].bands);
        }
        let mut state = State::new(model, bands);
        fill(&mut state).then(|| {
            close_suppliers(&mut state);
            state.keep();
            state
        })
    });
    let mut cheapest = filled.min_by_key(State::cost)?;
    improve(&mut cheapest, 1);
    let mut best = None;
    consider(model, &cheapest, &mut best);
    best.map(|b: (i64, Plan)| b.1)
}

/// The best plan that these moves find; none where greed finds no lawful one.
pub(super) fn plan(model: &Model, clock: &Clock) -> Option<Plan> {
    let mut best: Option<(i64, Plan)> = None;
    let mut filled: Vec<(i64, State)> = Vec::new();
    for (n, start) in starts(model).into_iter().enumerate() {
        let mut bands: Table<Vec<Band>> = Table::filled(Vec::new(), model.suppliers.len());
        for v in start {
            bands[v].clone_from(&model.suppliers[v].bands);
        }
        let mut state = State::new(model, bands);
        if clock.stopped() && !filled.is_empty() {
            break;
        }
        clock.spend(model.sources.len() as u64 * 4);
        if !fill(&mut state) {
            continue;
        }
        if n == 0 {
            // The start from everything is improved whatever it costs at first.
            improve(&mut state, 8);
            consider(model, &state, &mut best);
        }
        close_suppliers(&mut state);
        state.keep();
        // One start for each set of suppliers that is really ordered from.
        if filled.iter().all(|f| f.1.open_set() != state.open_set() || f.0 > state.cost()) {
            filled.retain(|f| f.1.open_set() != state.open_set());
            filled.push((state.cost(), state));
            filled.sort_by_key(|f| f.0);
            filled.truncate(SETS.1);
        }
    }
    for (_, state) in &mut filled {
        improve(state, 8);
        consider(model, state, &mut best);
    }
    filled.sort_by_key(|f| f.1.cost());
    let shaken = if model.rows.len() < LARGE { 1 } else { SETS.2 };
    for (which, (_, state)) in (0..).zip(filled.iter_mut().take(shaken)) {
        state.allow_all();
        improve(state, 8);
        shake(state, clock, which);
        improve(state, 8);
        consider(model, state, &mut best);
    }
    best.map(|b| b.1)
}

/// Supplier sets to start from: every one where they are few, else all, each alone, and all but each.
fn starts(model: &Model) -> Vec<Vec<usize>> {
    let all: Vec<usize> = (0..model.suppliers.len()).collect();
    let most = model.max_suppliers.map_or(usize::MAX, |m| m as usize);
    let mut sets = vec![all.clone()];
    if all.len() < 16 && 1usize << all.len() <= SETS.0 {
        sets =
            (0..1usize << all.len()).rev().map(|m| all.iter().copied().filter(|v| m >> v & 1 == 1).collect()).collect();
    } else {
        sets.extend(all.iter().map(|v| vec![*v]));
        sets.extend(all.iter().map(|v| all.iter().copied().filter(|o| o != v).collect()));
    }
    sets.retain(|s: &Vec<usize>| s.len() <= most || s.len() == all.len());
    sets
}

/// Makes the plan real and keeps it if it is the best so far.
pub(super) fn consider(model: &Model, state: &State, best: &mut Option<(i64, Plan)>) {
    if state.cost() >= UNLAWFUL || best.as_ref().is_some_and(|b| b.0 <= state.cost()) {
        return;
    }
    let Some(real) = topup::complete(model, state.plan(), topup::When::Cheaper) else { return };
    let Some(worth) = real.worth(model) else { return };
    if best.as_ref().is_none_or(|b| worth.cost < b.0) {
        *best = Some((worth.cost, real));
    }
}

/// Fills every class greedily, those with the fewest sources first; false where one cannot be.
pub(super) fn fill(state: &mut State) -> bool {
    let all: Vec<usize> = (0..state.model.classes.len()).collect();
    fill_classes(state, &all)
}

/// Fills some of the classes.
pub(super) fn fill_classes(state: &mut State, classes: &[usize]) -> bool {
    let model = state.model;
    let mut order: Vec<usize> = classes.to_vec();
    let choice = |c: &usize| -> usize {
        let ways = model.classes[*c].ways.iter();
        ways.map(|w| w.uses.iter().map(|u| model.rows[u.0].any_of.len()).min().unwrap_or(0)).sum()
    };
    order.sort_by_key(|c| (choice(c), *c));
    for c in order {
        let mut left = model.classes[c].count();
        while left > 0 {
            // All at once where stock allows it, one by one where it does not.
            let done = if enter(state, c, left) { left } else { u32::from(enter(state, c, 1)) };
            if done == 0 {
                return false;
            }
            left -= done;
        }
    }
    state.keep();
    true
}

/// Adds `k` members of class `c` the way that costs least.
fn enter(state: &mut State, c: usize, k: u32) -> bool {
    let mut best: Option<(i64, usize)> = None;
    for w in 0..state.model.classes[c].ways.len() {
        let mark = state.mark();
        if go(state, c, w, k) && best.is_none_or(|b| state.cost() < b.0) {
            best = Some((state.cost(), w));
        }
        state.back(mark);
    }
    best.is_some_and(|(_, w)| go(state, c, w, k))
}

fn go(state: &mut State, c: usize, w: usize, k: u32) -> bool {
    let model = state.model;
    let Some(way) = model.classes[c].ways.get(w) else { return false };
    state.way(c, w, k, true);
    way.uses.iter().all(|(r, n)| state.assign(*r, n * k, |_| false))
}

/// Moves until none helps, or `passes` are done.
pub(super) fn improve(state: &mut State, passes: u32) {
    for _ in 0..passes {
        let before = state.cost();
        let rows: Vec<usize> = (0..state.model.rows.len()).collect();
        shift_flows(state, &rows);
        close_sources(state);
        open_sources(state);
        turn_ways(state);
        close_suppliers(state);
        open_suppliers(state);
        state.keep();
        if state.cost() >= before {
            return;
        }
    }
}

/// Tries a change and takes it back unless it makes the plan cheaper.
fn attempt<'a>(state: &mut State<'a>, change: impl FnOnce(&mut State<'a>) -> bool) -> bool {
    let (mark, before) = (state.mark(), state.cost());
    if change(state) && state.cost() < before {
        return true;
    }
    state.back(mark);
    false
}

/// Moves all chunks, or one, of a row from one source to another.
pub(super) fn shift_flows(state: &mut State, rows: &[usize]) {
    let model = state.model;
    for r in rows.iter().copied() {
        for from in state.flow[r].keys().copied().collect::<Vec<_>>() {
            for to in model.rows[r].any_of.iter().copied().filter(|s| *s != from) {
                let held = state.flow[r].get(&from).copied().unwrap_or(0);
                if held == 0 || !state.usable(to) {
                    continue;
                }
                let cheaper = |k: &u32| state.if_moved(r, (from, to), *k) < 0;
                if let Some(k) = [held, 1].iter().take(held.min(2) as usize).copied().find(cheaper) {
                    state.add(r, from, k, false);
                    state.add(r, to, k, true);
                }
            }
        }
    }
}

/// Does without a source.
fn close_sources(state: &mut State) {
    let model = state.model;
    for s in 0..model.sources.len() {
        if state.takes(s) {
            attempt(state, |state| empty(state, |o| o == s, &[s]));
        }
    }
}

/// Takes the chunks off the sources in `list` and gives them to sources that are not `barred`.
fn empty(state: &mut State, barred: impl Fn(usize) -> bool + Copy, list: &[usize]) -> bool {
    let model = state.model;
    let mut loose: Vec<(usize, u32)> = Vec::new();
    for s in list {
        for r in &model.sources[*s].rows {
            let held = state.flow[*r].get(s).copied().unwrap_or(0);
            if held > 0 {
                state.add(*r, *s, held, false);
                loose.push((*r, held));
            }
        }
    }
    loose.iter().all(|(r, k)| state.assign(*r, *k, barred))
}

/// Brings every chunk that it could serve to one source.
fn open_sources(state: &mut State) {
    for s in 0..state.model.sources.len() {
        if state.usable(s) {
            open_source(state, s);
        }
    }
}

fn open_source(state: &mut State, s: usize) {
    let model = state.model;
    attempt(state, |state| {
        for r in &model.sources[s].rows {
            let others: Vec<(usize, u32)> =
                state.flow[*r].iter().filter(|(o, _)| **o != s).map(|(o, k)| (*o, *k)).collect();
            for (o, k) in others {
                state.add(*r, o, k, false);
                state.add(*r, s, k, true);
            }
        }
        // What the source does not serve best goes back one row at a time.
        for r in &model.sources[s].rows {
            let held = state.flow[*r].get(&s).copied().unwrap_or(0);
            if held > 0 {
                attempt(state, |state| {
                    state.add(*r, s, held, false);
                    state.assign(*r, held, |o| o == s)
                });
            }
        }
        true
    });
}

/// Orders from another supplier: what it would sell if it carried for nothing, then what that is worth.
fn open_suppliers(state: &mut State) {
    let model = state.model;
    for v in 0..model.suppliers.len() {
        let sources = &model.suppliers[v].sources;
        if state.is_open(v) || !sources.iter().any(|s| state.usable(*s)) {
            continue;
        }
        let (mark, before) = (state.mark(), state.cost());
        let terms = state.charge_as(v, vec![Band { fixed: 0, least: 0 }]);
        for s in sources.iter().filter(|s| state.usable(**s)).copied().collect::<Vec<_>>() {
            open_source(state, s);
        }
        state.charge_as(v, terms);
        close_suppliers(state);
        if state.cost() >= before {
            state.back(mark);
        }
    }
}

/// Turns members of a class to another way.
fn turn_ways(state: &mut State) {
    let model = state.model;
    for (c, class) in model.classes.iter().enumerate().filter(|(_, class)| class.ways.len() > 1) {
        for from in 0..class.ways.len() {
            for to in (0..class.ways.len()).filter(|to| *to != from) {
                let held = state.ways[c].get(from).copied().unwrap_or(0);
                let turn = |k: u32| {
                    move |state: &mut State| {
                        state.way(c, from, k, false);
                        let uses = class.ways.get(from).map(|w| w.uses.as_slice()).unwrap_or_default();
                        for (r, n) in uses {
                            state.withdraw(*r, n * k);
                        }
                        go(state, c, to, k)
                    }
                };
                if held > 0 && !attempt(state, turn(held)) && held > 1 {
                    attempt(state, turn(1));
                }
            }
        }
    }
}

/// Does without a supplier.
fn close_suppliers(state: &mut State) {
    let model = state.model;
    for v in 0..model.suppliers.len() {
        if state.is_open(v) {
            attempt(state, |state| empty(state, |s| model.sources[s].sup == Some(v), &model.suppliers[v].sources));
        }
    }
}
