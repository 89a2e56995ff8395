//! The cheapest way of spreading a few things over the sources that can serve them.
//!
//! Each thing, some chunks of a row, goes to one source as a whole. The sources are gone through one by one with the
//! least cost of every set of things that the sources so far serve, so all ways are looked at without going through
//! them all.

use super::state::{State, UNLAWFUL};
use super::table::Table;

/// So many chunks of a row at a source.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Thing {
    pub(super) r: usize,
    pub(super) s: usize,
    pub(super) k: u32,
}

/// A set of things, a bit each.
type Set = usize;

/// Takes the things, at most a dozen, off their sources and puts them back where they cost least together, a unit of
/// money spent on the goods of each supplier counting for so many parts in a hundred; false where they do not all find
/// a place. What the thresholds make of it is for the caller to see.
pub(super) fn spread(state: &mut State, things: &[Thing], rates: &Table<i64>) -> bool {
    for t in things {
        state.add(t.r, t.s, t.k, false);
    }
    let full: Set = (1 << things.len()) - 1;
    let mut least = Table::filled(UNLAWFUL, full + 1);
    least[0] = 0;
    let mut taken: Vec<(usize, Table<Set>)> = Vec::new();
    for s in candidates(state, things) {
        let rate = state.model.sources[s].sup.map_or(100, |v| rates[v]);
        let costs = costs(state, things, s).into_iter().map(|(set, cost)| (set, cost * rate / 100));
        let useful: Vec<(Set, i64)> = costs.filter(|(set, cost)| *cost < least[*set]).collect();
        if !useful.is_empty() {
            taken.push((s, serve(&mut least, &useful)));
        }
    }
    let mut left = full;
    for (s, chosen) in taken.iter().rev() {
        let here = chosen[left];
        for (_, t) in things.iter().enumerate().filter(|(i, _)| here >> i & 1 == 1) {
            state.add(t.r, *s, t.k, true);
        }
        left &= !here;
    }
    left == 0
}

/// The sources that could serve any of the things, of suppliers that are ordered from; first those that serve them now.
fn candidates(state: &State, things: &[Thing]) -> Vec<usize> {
    let mut sources: Vec<usize> = things.iter().map(|t| t.s).collect();
    sources.sort_unstable();
    sources.dedup();
    let open = |s: &usize| state.usable(*s) && state.model.sources[*s].sup.is_none_or(|v| state.is_open(v));
    let all = things.iter().flat_map(|t| state.model.rows[t.r].any_of.iter().copied());
    let mut others: Vec<usize> = all.filter(open).filter(|s| sources.binary_search(s).is_err()).collect();
    others.sort_unstable();
    others.dedup();
    sources.append(&mut others);
    sources
}

/// What each set of things that source `s` can serve would cost there, beside what it serves already.
fn costs(state: &State, things: &[Thing], s: usize) -> Vec<(Set, i64)> {
    let rows = &state.model.rows;
    // Each set is made of one before it: its things, pieces taken and pieces to select from.
    let mut sets: Vec<(Set, u32, u32)> = vec![(0, 0, 0)];
    for (i, t) in things.iter().enumerate().filter(|(_, t)| rows[t.r].any_of.contains(&s)) {
        let (take, extra) = (rows[t.r].take * t.k, rows[t.r].extra * t.k);
        let with = sets.iter().map(|(set, t, e)| (set | 1 << i, t + take, e + extra));
        sets.extend(with.collect::<Vec<_>>());
    }
    sets.into_iter().skip(1).map(|(set, take, extra)| (set, state.more(s, take, extra))).collect()
}

/// Lets one more source serve; of each set of things, what of it that source serves.
fn serve(least: &mut Table<i64>, useful: &[(Set, i64)]) -> Table<Set> {
    let before = least.clone();
    let full: Set = before.len() - 1;
    let mut chosen = Table::filled(0, before.len());
    for (set, cost) in useful {
        let others = full & !set;
        let mut rest = others;
        loop {
            let sum = before[rest] + cost;
            if sum < least[rest | set] {
                least[rest | set] = sum;
                chosen[rest | set] = *set;
            }
            if rest == 0 {
                break;
            }
            rest = (rest - 1) & others;
        }
    }
    chosen
}
