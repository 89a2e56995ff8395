//! Sources that are never part of the cheapest way of filling a group, because another costs less at every quantity.
//!
//! This holds for the goods alone, where a supplier's charges and thresholds are settled beforehand. Sources that
//! only cost the same are kept, since ties are told apart later.

use std::collections::BTreeMap;

use super::groups::Group;
use super::model::{Model, Src};

/// Pieces up to which costs are compared; what could be asked for more is not looked at.
const MOST: u32 = 40;

/// For each source of a group that others beat: their suppliers, a bit each, and whether the shelf is among them.
pub(super) fn beaten(model: &Model, group: &Group) -> BTreeMap<usize, (u64, bool)> {
    let mut beaten = BTreeMap::new();
    for s in &group.sources {
        let mut by = (0, false);
        for rival in group.sources.iter().map(|t| &model.sources[*t]).filter(|t| beats(model, t, &model.sources[*s])) {
            match rival.sup {
                Some(v) => by.0 |= 1 << v,
                None => by.1 = true,
            }
        }
        if by != (0, false) {
            beaten.insert(*s, by);
        }
    }
    beaten
}

/// Whether the first serves every row of the second, is to be had in any quantity that could be of use, at prices that
/// do not rise, and costs less whatever is bought of it.
fn beats(model: &Model, rival: &Src, one: &Src) -> bool {
    let most = rival.useful.max(one.useful);
    // Beyond ten pieces two numbers can ask for fewer spares than one.
    let splits = 10 < most && model.rules.over_ten.get() > 0.0;
    let flat = |s: &Src| model.rules.spare(s.class, 1);
    let cost = |s: &Src, n: u32| s.cheapest(n + flat(s)).map(|c| c.1);
    most <= MOST
        && !splits
        && flat(rival) <= flat(one)
        && one.rows.iter().all(|r| rival.rows.contains(r))
        && rival.most() >= most.saturating_add(flat(rival))
        && rival.segs.windows(2).all(|w| matches!(w, [a, b] if b.each <= a.each))
        && (1..=most).all(|n| match (cost(rival, n), cost(one, n)) {
            (Some(rival), Some(one)) => rival < one,
            (rival, None) => rival.is_some(),
            (None, Some(_)) => false,
        })
}
