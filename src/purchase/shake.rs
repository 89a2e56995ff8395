//! Takes small neighbourhoods of a plan apart and puts them together otherwise.

use super::clock::Clock;
use super::model::Model;
use super::primal::shift_flows;
use super::state::State;

/// Times that a plan is taken apart: for each row half as often as there are rows, but at most half of `EACH`;
/// and `MOST` in all.
const EACH: u32 = 80;
const MOST: u32 = 12_000;

/// Dice that fall the same way every time.
struct Dice(u64);

impl Dice {
    fn below(&mut self, n: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from(self.0 >> 20).unwrap_or(0) % n.max(1)
    }
}

/// As often as the size of the order asks: takes a few rows that share sources out of the plan and
/// puts them back otherwise. What does not lead to a cheaper plan is taken back.
pub(super) fn shake(state: &mut State, clock: &Clock) {
    let rows = u32::try_from(state.model.rows.len()).unwrap_or(u32::MAX);
    let rounds = (rows.saturating_mul(rows.min(EACH)) / 2).min(MOST);
    let mut dice = Dice(0x9e37_79b9_7f4a_7c15);
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
        let rows = neighbours(state.model, &mut dice);
        if !rebuild(state, &rows, &mut dice) || state.cost() > before.min(best.cost() + slack) + slack / 4 {
            state.back(mark);
        } else if state.cost() < best.cost() {
            state.keep();
            best = state.clone();
        }
    }
    *state = best;
    state.keep();
}

/// Two to eleven rows, each sharing a source with one before it.
fn neighbours(model: &Model, dice: &mut Dice) -> Vec<usize> {
    let wanted = 2 + dice.below(10);
    let mut rows = vec![dice.below(model.rows.len())];
    for _ in 0..wanted * 3 {
        let from = rows.get(dice.below(rows.len())).copied().unwrap_or(0);
        let near = &model.rows[from].any_of;
        let shared = near.get(dice.below(near.len())).map(|s| &model.sources[*s].rows);
        let next = shared.and_then(|rows| rows.get(dice.below(rows.len())).copied());
        if let Some(r) = next.filter(|r| !rows.contains(r)) {
            rows.push(r);
        }
        if rows.len() >= wanted {
            break;
        }
    }
    rows
}

/// Takes the rows off their sources and gives them out again in another order, around one of the
/// sources where that goes; false where they do not all find a place.
fn rebuild(state: &mut State, rows: &[usize], dice: &mut Dice) -> bool {
    let used: Vec<usize> = rows.iter().flat_map(|r| state.flow[*r].keys().copied()).collect();
    let avoid = used.get(dice.below(used.len())).copied();
    let mut loose = Vec::new();
    for r in rows {
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
        shift_flows(state, rows);
    }
    back
}
