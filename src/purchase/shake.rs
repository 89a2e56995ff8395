//! Takes small neighbourhoods of a plan apart and puts them together otherwise.

use super::clock::Clock;
use super::dice::Dice;
use super::model::Model;
use super::primal::shift_flows;
use super::spread::{Thing, spread};
use super::state::State;
use super::table::Table;
use super::turns::LARGE;

/// Times that a plan is taken apart: for each row half as often as there are rows, but at most half of `EACH`;
/// and `MOST` in all.
const EACH: u32 = 80;
const MOST: u32 = 12_000;

/// Most things that are spread at once.
const THINGS: usize = 10;

/// What a unit of money may count for, in a hundred parts, that is spent where a threshold is near.
const NEAR: [i64; 4] = [100, 90, 60, 20];

/// As often as the size of the order asks: takes a few rows that share sources out of the plan and
/// puts them back otherwise, in a large order mostly at the least cost. What does not lead to a cheaper plan is taken
/// back. `which`: other neighbourhoods for each number.
pub(super) fn shake(state: &mut State, clock: &Clock, which: u64) {
    let rows = u32::try_from(state.model.rows.len()).unwrap_or(u32::MAX);
    let rounds = (rows.saturating_mul(rows.min(EACH)) / 2).min(MOST);
    let mut dice = Dice::new(which);
    let mut best = state.clone();
    for round in 0..rounds {
        if clock.stopped() {
            break;
        }
        clock.spend(200);
        state.keep();
        // A slightly dearer plan may be passed through, less and less so.
        let slack = best.cost() / 2_000 * i64::from(rounds - round) / i64::from(rounds);
        let (mark, before) = (state.mark(), state.cost());
        // Smaller orders are settled exactly soon enough.
        let spreads = state.model.rows.len() >= LARGE && dice.below(5) > 0;
        let done = if spreads { respread(state, &mut dice) } else { rebuild(state, &mut dice) };
        if !done || state.cost() > before.min(best.cost() + slack) + slack / 4 {
            state.back(mark);
        } else if state.cost() < best.cost() {
            state.keep();
            best = state.clone();
        }
    }
    *state = best;
    state.keep();
}

/// Spreads what rows that share sources are served with anew; false where it does not all find a place.
fn respread(state: &mut State, dice: &mut Dice) -> bool {
    let rate = |v: usize, dice: &mut Dice| {
        let near = if state.is_clear(v) { None } else { NEAR.get(dice.below(NEAR.len())) };
        near.copied().unwrap_or(100)
    };
    let rates: Table<i64> = (0..state.model.suppliers.len()).map(|v| rate(v, dice)).collect();
    let things = things(state, dice);
    spread(state, &things, &rates)
}

/// What some rows are served with, each row sharing a source with one before it; now and then cut in two.
fn things(state: &State, dice: &mut Dice) -> Vec<Thing> {
    let model = state.model;
    let mut rows = vec![dice.below(model.rows.len())];
    let mut things = Vec::new();
    let mut new = rows.clone();
    for _ in 0..THINGS * 10 {
        for r in std::mem::take(&mut new) {
            for (s, k) in &state.flow[r] {
                let cut = if *k > 1 && dice.below(3) == 0 { 1 + dice.up_to(*k - 2) } else { 0 };
                let parts = [k - cut, cut].into_iter().filter(|k| *k > 0);
                things.extend(parts.map(|k| Thing { r, s: *s, k }));
            }
        }
        if things.len() >= THINGS {
            break;
        }
        let next = neighbour(model, &rows, dice).filter(|r| !rows.contains(r));
        rows.extend(next);
        new.extend(next);
    }
    things.truncate(THINGS);
    things
}

/// Two to eleven rows, each sharing a source with one before it.
fn neighbours(model: &Model, dice: &mut Dice) -> Vec<usize> {
    let wanted = 2 + dice.below(10);
    let mut rows = vec![dice.below(model.rows.len())];
    for _ in 0..wanted * 3 {
        let next = neighbour(model, &rows, dice);
        rows.extend(next.filter(|r| !rows.contains(r)));
        if rows.len() >= wanted {
            break;
        }
    }
    rows
}

/// A row that shares a source with one of these.
fn neighbour(model: &Model, rows: &[usize], dice: &mut Dice) -> Option<usize> {
    let near = &model.rows[*rows.get(dice.below(rows.len()))?].any_of;
    let shared = &model.sources[*near.get(dice.below(near.len()))?].rows;
    shared.get(dice.below(shared.len())).copied()
}

/// Takes some rows off their sources and gives them out again in another order, around one of the
/// sources where that goes; false where they do not all find a place.
fn rebuild(state: &mut State, dice: &mut Dice) -> bool {
    let rows = neighbours(state.model, dice);
    let used: Vec<usize> = rows.iter().flat_map(|r| state.flow[*r].keys().copied()).collect();
    let avoid = used.get(dice.below(used.len())).copied();
    let mut loose = Vec::new();
    for r in &rows {
        for (s, k) in state.flow[*r].clone() {
            state.add(*r, s, k, false);
            loose.push((*r, k));
        }
    }
    for i in (1..loose.len()).rev() {
        loose.swap(i, dice.below(i + 1));
    }
    let back = loose.iter().all(|(r, k)| {
        let mark = state.mark();
        state.assign(*r, *k, |s| Some(s) == avoid) || {
            state.back(mark);
            state.assign(*r, *k, |_| false)
        }
    });
    if back {
        shift_flows(state, &rows);
    }
    back
}
