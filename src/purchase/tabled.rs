//! Factors put together: the least cost of every number of chunks of each row that they serve.

use std::collections::HashMap;
use std::hash::{BuildHasherDefault, Hasher};

use super::factor::{Asked, Choice, Factor, Origin, Prices};
use super::paid::Paid;
use super::table::{Table, number};

/// Most places of a table that is laid out whole; a larger one is kept by its entries.
const WHOLE: usize = 1 << 18;

/// Most entries that are held for one table, those on the way included: some fifty bytes each.
const ENTRIES: usize = 1_000_000;

/// Factors that are put together into one table, and the row that is taken out then.
#[derive(Debug)]
pub(super) struct Bucket {
    pub(super) row: Option<usize>,
    /// Places of the rows of the table, ascending.
    pub(super) scope: Vec<usize>,
    /// Factors that are put together, by number.
    pub(super) factors: Vec<usize>,
}

/// A place of a table, what is paid there, and how much of it is above the bound.
#[derive(Debug, Clone, Copy)]
pub(super) struct Entry {
    at: usize,
    paid: Paid,
    excess: f64,
    /// Another entry of the same place.
    next: Option<u32>,
    /// Whether another entry of the place covers it.
    covered: bool,
    /// The entry before, and the choice of the factor, that it came from.
    pub(super) from: (u32, u32),
}

/// The entries of a table after each factor.
pub(super) type Steps = Vec<Vec<Entry>>;

/// What may be left out, and when to give up.
#[derive(Debug, Clone, Copy)]
pub(super) struct Limits {
    /// What is left of the cost above the bound, ten-thousandths.
    pub(super) room: f64,
    /// What the goods that are watched must come to, ten-thousandths.
    pub(super) least: i64,
    /// Steps.
    pub(super) work: u64,
    /// Entries.
    pub(super) entries: usize,
}

impl Limits {
    /// As much as one table may hold.
    pub(super) const fn new(room: f64, least: i64, work: u64) -> Self {
        Self { room, least, work, entries: ENTRIES }
    }
}

/// A row in a table: its place in the order, how far apart its numbers of chunks are, and how many there are.
#[derive(Debug, Clone, Copy)]
struct Dimension {
    row: usize,
    stride: usize,
    radix: usize,
    price: f64,
}

impl Dimension {
    /// Chunks of the row at a place of the table.
    fn chunks(self, at: usize) -> usize {
        at / self.stride % self.radix
    }
}

impl Bucket {
    /// Puts the factors together and takes the row out: what is left, the entries on the way, and the steps that it
    /// took; nothing but these where it got too large.
    pub(super) fn table(
        &self,
        asked: &Asked,
        factors: &Table<Factor>,
        prices: &Prices,
        limits: Limits,
    ) -> (Option<(Factor, Steps)>, u64) {
        let dimensions = self.dimensions(asked, prices);
        let mut table = Joined { entries: vec![Entry::first()], slots: Slots::new(1) };
        let mut steps: Steps = Vec::with_capacity(self.factors.len());
        let (mut base, mut work, mut held) = (0.0, 0, 0);
        for (n, factor) in self.factors.iter().map(|f| &factors[*f]).enumerate() {
            let places: Vec<Dimension> =
                dimensions.iter().copied().filter(|d| factor.rows.binary_search(&d.row).is_ok()).collect();
            base += factor.base;
            let slots = Slots::new(asked.places(&self.scope).unwrap_or(usize::MAX));
            let left =
                Limits { work: limits.work.saturating_sub(work), entries: ENTRIES.saturating_sub(held), ..limits };
            let (after, more) = table.join(&factor.ranked(prices), &places, slots, left);
            work += more;
            let Some(after) = after else { return (None, work) };
            held += after.entries.len();
            let before = std::mem::replace(&mut table, after);
            if n > 0 {
                steps.push(before.entries);
            }
        }
        base += self.row.map_or(0.0, |r| prices.row[r] * f64::from(asked.most[r]));
        let message = self.message(&table, &dimensions, base);
        steps.push(table.entries);
        (Some((message, steps)), work)
    }

    fn dimensions(&self, asked: &Asked, prices: &Prices) -> Vec<Dimension> {
        let mut stride = 1;
        let dimension = |r: &usize| {
            let radix = asked.most[*r] as usize + 1;
            let this = Dimension { row: *r, stride, radix, price: prices.row[*r] };
            stride *= radix;
            this
        };
        self.scope.iter().map(dimension).collect()
    }

    /// The table where all of the row is served, as a factor over the other rows.
    fn message(&self, table: &Joined, dimensions: &[Dimension], base: f64) -> Factor {
        let (own, others): (Vec<Dimension>, Vec<Dimension>) =
            dimensions.iter().copied().partition(|d| Some(d.row) == self.row);
        let served = |e: &Entry| !e.covered && own.iter().all(|d| d.chunks(e.at) + 1 == d.radix);
        let choices = table.entries.iter().enumerate().filter(|(_, e)| served(e)).filter_map(|(n, e)| {
            // What more of another row is had for no more makes this superfluous.
            let as_cheap = |d: &Dimension| {
                d.chunks(e.at) + 1 < d.radix && table.all_at(e.at + d.stride).any(|more| more.paid.covers(e.paid))
            };
            let chunks = || others.iter().map(|d| number(d.chunks(e.at))).collect();
            (!others.iter().any(as_cheap)).then(|| Choice { chunks: chunks(), paid: e.paid, entry: n })
        });
        let rows = others.iter().map(|d| d.row).collect();
        Factor { origin: Origin::Bucket, rows, choices: choices.collect(), base }
    }
}

impl Entry {
    /// Nothing served and nothing paid.
    fn first() -> Self {
        Self { at: 0, paid: Paid::default(), excess: 0.0, next: None, covered: false, from: (0, 0) }
    }
}

/// A table: its entries, and where those of each place are.
struct Joined {
    entries: Vec<Entry>,
    slots: Slots,
}

impl Joined {
    /// The entries of a place that no other covers.
    fn all_at(&self, at: usize) -> impl Iterator<Item = &Entry> {
        let first = self.slots.find(at).and_then(|n| self.entries.get(n));
        let all = std::iter::successors(first, |e| e.next.and_then(|n| self.entries.get(n as usize)));
        all.filter(|e| !e.covered)
    }

    /// The table with one more factor in it, and the steps that it took; none where it got too large.
    fn join(
        &self,
        ranked: &[(f64, usize, &Choice)],
        places: &[Dimension],
        slots: Slots,
        limits: Limits,
    ) -> (Option<Self>, u64) {
        let mut after = Self { entries: Vec::with_capacity(self.entries.len()), slots };
        let mut free: Vec<u32> = vec![0; places.len()];
        let mut work = 0;
        for (from, entry) in self.entries.iter().enumerate().filter(|(_, e)| !e.covered) {
            for (free, place) in free.iter_mut().zip(places) {
                *free = number(place.radix - 1 - place.chunks(entry.at));
            }
            for (more, n, choice) in ranked {
                work += 1;
                let mut excess = entry.excess + more;
                // The dearest come last.
                if excess > limits.room {
                    break;
                }
                let mut at = entry.at;
                for ((k, free), place) in choice.chunks.iter().zip(&free).zip(places) {
                    // More than a row asks for is as good as all that it asks for, and worth nothing.
                    let used = *k.min(free);
                    at += used as usize * place.stride;
                    excess += f64::from(k - used) * place.price;
                }
                if excess <= limits.room {
                    let paid = entry.paid.with(choice.paid, limits.least);
                    let from = (number(from), number(*n));
                    work += after.put(Entry { at, paid, excess, next: None, covered: false, from });
                }
            }
            if after.entries.len() > limits.entries || work > limits.work {
                return (None, work);
            }
        }
        (Some(after), work)
    }

    /// Takes an entry in unless another of its place covers it; how many there were to look at.
    fn put(&mut self, entry: Entry) -> u64 {
        let first = self.slots.find(entry.at);
        let mut there = first;
        let mut looks = 0;
        while let Some(old) = there.and_then(|n| self.entries.get_mut(n)) {
            looks += 1;
            if !old.covered && old.paid.covers(entry.paid) {
                return looks;
            }
            old.covered |= entry.paid.covers(old.paid);
            there = old.next.map(|n| n as usize);
        }
        self.slots.put(entry.at, self.entries.len());
        self.entries.push(Entry { next: first.map(number), ..entry });
        looks
    }
}

/// Where the entries of a table begin, by their places.
enum Slots {
    Whole(Vec<u32>),
    Sparse(HashMap<usize, u32, BuildHasherDefault<Places>>),
}

/// Spreads the places of a table over its slots.
#[derive(Default)]
struct Places(u64);

impl Hasher for Places {
    fn finish(&self) -> u64 {
        self.0
    }

    fn write(&mut self, bytes: &[u8]) {
        for byte in bytes {
            self.write_usize(usize::from(*byte));
        }
    }

    fn write_usize(&mut self, place: usize) {
        let mixed = (self.0 ^ place as u64).wrapping_mul(0x9e37_79b9_7f4a_7c15);
        self.0 = mixed ^ mixed >> 32;
    }
}

impl Slots {
    fn new(size: usize) -> Self {
        if size <= WHOLE { Self::Whole(vec![u32::MAX; size]) } else { Self::Sparse(HashMap::default()) }
    }

    fn find(&self, at: usize) -> Option<usize> {
        let slot = match self {
            Self::Whole(slots) => slots.get(at).copied().filter(|s| *s < u32::MAX),
            Self::Sparse(slots) => slots.get(&at).copied(),
        };
        slot.map(|s| s as usize)
    }

    fn put(&mut self, at: usize, slot: usize) {
        match self {
            Self::Whole(slots) => {
                if let Some(s) = slots.get_mut(at) {
                    *s = number(slot);
                }
            }
            Self::Sparse(slots) => {
                slots.insert(at, number(slot));
            }
        }
    }
}
