//! How each need stands so far: what serves it, and what is of no use to it any more.
//!
//! A pair is of no use beside a single part; a second choice is of none beside a crowd of first
//! ones. Both are told from counts that only grow, so that the end is the same in whatever order
//! offers come, and from however many readers.

use std::collections::BTreeMap;

use super::ask::Ask;
use super::source::{Target, Use};

/// So many offers for one use are a crowd.
pub(super) const CROWD: u32 = 128;

/// How one ask stands.
#[derive(Debug, Clone, Copy, Default)]
struct Single {
    /// Offers that serve it alone as a first choice.
    first: u32,
    /// Offers that serve it alone as a second choice.
    second: u32,
    /// Whether one part that serves alone leaves pairs of no use.
    ends_pairs: bool,
    /// Whether it is filled on its own, without others that must match.
    alone: bool,
    /// Whether a string may serve it.
    string: bool,
}

impl Single {
    const fn wants_pairs(self) -> bool {
        !self.ends_pairs || self.first + self.second == 0
    }

    const fn wants_second_choices(self) -> bool {
        !self.alone || self.first < CROWD
    }
}

/// The counts of a search; no more than a crowd is counted of anything.
#[derive(Debug, Clone)]
pub(super) struct Standing {
    singles: Vec<Single>,
    /// Offers for every other use, first and second choices apart.
    others: BTreeMap<(Target, bool), u32>,
}

impl Standing {
    /// Nothing seen yet.
    pub(super) fn new(asks: &[Ask<'_>]) -> Self {
        let single = |a: &Ask<'_>| Single {
            ends_pairs: a.need.matched < 2 && !a.pair_beside_single(),
            alone: a.need.matched < 2,
            string: a.may_be_string(),
            ..Single::default()
        };
        Self { singles: asks.iter().map(single).collect(), others: BTreeMap::new() }
    }

    /// Counts the uses of an offer.
    pub(super) fn count(&mut self, uses: &[Use]) {
        for one in uses {
            if let Some(count) = self.counted(one.target, one.second_choice) {
                *count = (*count + 1).min(CROWD);
            }
        }
    }

    /// Adds the counts of another reader.
    pub(super) fn join(&mut self, other: &Self) {
        for (mine, theirs) in self.singles.iter_mut().zip(&other.singles) {
            mine.first = (mine.first + theirs.first).min(CROWD);
            mine.second = (mine.second + theirs.second).min(CROWD);
        }
        for (key, more) in &other.others {
            let count = self.others.entry(*key).or_insert(0);
            *count = (*count + more).min(CROWD);
        }
    }

    fn counted(&mut self, target: Target, second_choice: bool) -> Option<&mut u32> {
        match target {
            Target::Single(ask) => {
                let single = self.singles.get_mut(ask)?;
                Some(if second_choice { &mut single.second } else { &mut single.first })
            }
            _ => Some(self.others.entry((target, second_choice)).or_insert(0)),
        }
    }

    fn seen(&self, target: Target, second_choice: bool) -> u32 {
        match target {
            Target::Single(ask) => self.singles.get(ask).map_or(0, |s| if second_choice { s.second } else { s.first }),
            _ => self.others.get(&(target, second_choice)).copied().unwrap_or(0),
        }
    }

    /// Whether pairs are still looked for where this ask is.
    pub(super) fn wants_pairs(&self, ask: usize) -> bool {
        self.singles.get(ask).is_none_or(|s| s.wants_pairs())
    }

    /// Whether second choices are still looked for where this ask is.
    pub(super) fn wants_second_choices(&self, ask: usize) -> bool {
        self.singles.get(ask).is_none_or(|s| s.wants_second_choices())
    }

    /// Whether a string, and so a balancing resistor, is still looked for anywhere.
    pub(super) fn wants_balancing(&self) -> bool {
        self.singles.iter().any(|s| s.string && s.wants_pairs())
    }

    /// Whether a use may still come into the order.
    pub(super) fn wants(&self, one: &Use) -> bool {
        match one.target {
            Target::Single(ask) => !one.second_choice || self.wants_second_choices(ask),
            Target::Series(ask) | Target::Parallel(ask) | Target::Part(ask) => self.wants_pairs(ask),
            Target::Balancing => self.wants_balancing(),
            Target::Can(_) | Target::TagStrip | Target::Sleeving => true,
        }
    }

    /// Whether a crowd of offers serves this ask alone, and no other counts there.
    pub(super) fn is_crowded(&self, ask: usize) -> bool {
        self.singles.get(ask).is_some_and(|s| s.first == CROWD && (s.alone || s.second == CROWD))
    }

    /// Whether all these uses have a crowd of offers.
    pub(super) fn crowded(&self, uses: &[Use]) -> bool {
        uses.iter().all(|u| CROWD <= self.seen(u.target, u.second_choice))
    }

    /// Whether there is a crowd for any use that may come into the order.
    pub(super) fn any_crowd(&self) -> bool {
        let single = |s: &Single| s.first == CROWD || (s.second == CROWD && s.wants_second_choices());
        let other = |((target, _), count): (&(Target, bool), &u32)| {
            *count == CROWD
                && match target {
                    Target::Series(ask) | Target::Parallel(ask) | Target::Part(ask) => self.wants_pairs(*ask),
                    Target::Balancing => self.wants_balancing(),
                    _ => true,
                }
        };
        self.singles.iter().any(single) || self.others.iter().any(other)
    }
}
