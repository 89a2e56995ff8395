//! Which of the advised works are done where the money does not reach for all of them.
//!
//! What a choice costs is only known once its whole order is worked out (carriage, price breaks, packs
//! shared). So an integer programme over guessed prices proposes, the order is worked out, and a choice
//! that costs too much is barred, until one holds. Then the programme without any prices proposes
//! whatever would be worth more; when nothing is left that was not tried, the choice is proven best.

use std::collections::BTreeMap;

use crate::money::Money;
use crate::purchase::{Barred, Item, within, worth};

/// Rounds in which the guessed prices are tightened.
const TIGHTENED: usize = 8;

/// What one choice comes to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Priced {
    /// All of it; `None`: cannot be bought.
    pub(super) total: Option<Money>,
    /// Whether it cannot be had for less.
    pub(super) least: bool,
}

/// What the search may rely on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Terms {
    /// What may be spent.
    pub(super) ceiling: Money,
    /// What it comes to when no item is taken.
    pub(super) base: Money,
    /// Whether more items never cost less, so that too dear a choice bars all that hold it.
    pub(super) rising: bool,
    /// Most choices to be worked out.
    pub(super) most: usize,
}

/// What was chosen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Chosen {
    /// For each item whether it is taken.
    pub(super) taken: Vec<bool>,
    /// Whether no other choice within the ceiling is worth more.
    pub(super) proven: bool,
    /// Choices worked out.
    pub(super) tried: usize,
}

/// Works out what a choice comes to.
pub(super) type Price<'a, E> = dyn FnMut(&[bool]) -> Result<Priced, E> + 'a;

/// Chooses among `items`; taking none of them must be within the ceiling already.
///
/// # Errors
/// What `price` fails with.
pub(super) fn choose<E>(items: &[Item], terms: Terms, price: &mut Price<'_, E>) -> Result<Chosen, E> {
    let mut search = Search {
        items,
        terms,
        price,
        known: BTreeMap::from([(vec![false; items.len()], None)]),
        barred: Vec::new(),
        best: vec![false; items.len()],
        doubt: false,
    };
    search.propose()?;
    search.fill()?;
    let proven = search.prove()?;
    Ok(Chosen { proven, tried: search.known.len() - 1, taken: search.best })
}

struct Search<'a, 'p, E> {
    items: &'a [Item],
    terms: Terms,
    price: &'a mut Price<'p, E>,
    /// What was worked out: by how much it is over the ceiling, `None` within it.
    known: BTreeMap<Vec<bool>, Option<Money>>,
    barred: Vec<Barred>,
    best: Vec<bool>,
    /// Whether a choice was barred that might be had for less than its order says.
    doubt: bool,
}

/// How a choice stands to the ceiling.
enum Holds {
    Within,
    Over(Money),
    /// No more choices may be worked out.
    NotTried,
}

impl<E> Search<'_, '_, E> {
    /// Works a choice out, unless that was done, and keeps it where it is the best so far.
    fn holds(&mut self, choice: &[bool]) -> Result<Holds, E> {
        if let Some(known) = self.known.get(choice) {
            return Ok(known.map_or(Holds::Within, Holds::Over));
        }
        if self.terms.most < self.known.len() {
            return Ok(Holds::NotTried);
        }
        let priced = (self.price)(choice)?;
        let over = match priced.total {
            Some(total) if total <= self.terms.ceiling => None,
            Some(total) => Some(total - self.terms.ceiling),
            None => Some(Money::ZERO),
        };
        self.doubt |= over.is_some() && !priced.least;
        self.known.insert(choice.to_vec(), over);
        if over.is_none() && worth(self.items, &self.best) < worth(self.items, choice) {
            self.best = choice.to_vec();
        }
        Ok(over.map_or(Holds::Within, Holds::Over))
    }

    /// The programme over the guessed prices, tightened by what each proposal was over.
    fn propose(&mut self) -> Result<(), E> {
        let mut money = self.terms.ceiling - self.terms.base;
        for _ in 0..TIGHTENED {
            let Some(proposed) = within(self.items, Some(money), &self.barred) else { return Ok(()) };
            match self.holds(&proposed.taken)? {
                Holds::Within | Holds::NotTried => return Ok(()),
                Holds::Over(over) => {
                    self.bar(proposed.taken);
                    money = money - over;
                }
            }
            if money < Money::ZERO {
                return Ok(());
            }
        }
        Ok(())
    }

    /// Adds to the best choice what still goes in, the worthiest first.
    fn fill(&mut self) -> Result<(), E> {
        let mut order: Vec<usize> = (0..self.items.len()).collect();
        order.sort_by_key(|i| self.items.get(*i).map(|item| (std::cmp::Reverse(item.worth), item.price)));
        for i in order {
            let mut more = self.best.clone();
            let Some(slot) = more.get_mut(i).filter(|taken| !**taken) else { continue };
            *slot = true;
            self.holds(&more)?;
        }
        Ok(())
    }

    /// Looks for anything that is worth more, until nothing is left or enough was tried.
    fn prove(&mut self) -> Result<bool, E> {
        loop {
            let Some(proposed) = within(self.items, None, &self.barred) else { return Ok(false) };
            if worth(self.items, &proposed.taken) <= worth(self.items, &self.best) {
                return Ok(proposed.best && !self.doubt);
            }
            match self.holds(&proposed.taken)? {
                Holds::Within => {}
                Holds::NotTried => return Ok(false),
                Holds::Over(_) if self.terms.rising => {
                    let least = self.least(proposed.taken)?;
                    self.bar(least);
                }
                Holds::Over(_) => self.bar(proposed.taken),
            }
        }
    }

    /// Bars a choice that is too dear, with all that hold it where more never costs less.
    fn bar(&mut self, choice: Vec<bool>) {
        self.barred.push(if self.terms.rising {
            Barred::Together(choice.iter().enumerate().filter(|(_, t)| **t).map(|(i, _)| i).collect())
        } else {
            Barred::Exactly(choice)
        });
    }

    /// A part of a choice too dear that is too dear itself: bars more than the whole would.
    fn least(&mut self, mut choice: Vec<bool>) -> Result<Vec<bool>, E> {
        let mut order: Vec<usize> = (0..self.items.len()).collect();
        order.sort_by_key(|i| self.items.get(*i).map(|item| item.price));
        for i in order {
            let mut fewer = choice.clone();
            let Some(slot) = fewer.get_mut(i).filter(|taken| **taken) else { continue };
            *slot = false;
            match self.holds(&fewer)? {
                Holds::Over(_) => choice = fewer,
                Holds::Within => {}
                Holds::NotTried => return Ok(choice),
            }
        }
        Ok(choice)
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn money(cents: u32) -> Money {
        Money::from_ten_thousandths(i64::from(cents) * 100)
    }

    /// A small shop: prices that add up, carriage unless the goods reach a sum, and a discount on the whole
    /// from a number of items on.
    #[derive(Debug, Clone)]
    struct Shop {
        prices: Vec<u32>,
        carriage: u32,
        free_over: u32,
        discount_from: usize,
        discount: u32,
    }

    impl Shop {
        fn total(&self, taken: &[bool]) -> Money {
            let goods: u32 = self.prices.iter().zip(taken).filter(|(_, t)| **t).map(|(p, _)| p).sum();
            let carriage = if goods < self.free_over { self.carriage } else { 0 };
            let off = if taken.iter().filter(|t| **t).count() < self.discount_from { 0 } else { self.discount };
            money(1_000 + (goods + carriage).saturating_sub(off))
        }

        /// As a solver would order it: a larger choice where that costs less.
        fn least(&self, taken: &[bool]) -> Money {
            let holds = |more: &Vec<bool>| more.iter().zip(taken).all(|(m, t)| *m || !*t);
            subsets(taken.len()).filter(holds).map(|more| self.total(&more)).min().expect("itself at least")
        }
    }

    fn subsets(count: usize) -> impl Iterator<Item = Vec<bool>> {
        (0..1_u32 << count).map(move |bits| (0..count).map(|i| bits >> i & 1 == 1).collect())
    }

    fn shop() -> impl Strategy<Value = (Shop, Vec<u32>)> {
        let terms = (0..900_u32, 500..3_000_u32, 2..6_usize, 0..600_u32);
        (proptest::collection::vec((50..900_u32, 1..1_000_u32), 1..6), terms).prop_map(
            |(rows, (carriage, free_over, discount_from, discount))| {
                let (prices, worths) = rows.into_iter().unzip();
                (Shop { prices, carriage, free_over, discount_from, discount }, worths)
            },
        )
    }

    /// The choice of the search, and the most worth by trying every subset.
    fn both(shop: &Shop, worths: &[u32], over: u32, rising: bool) -> (Chosen, u64, Vec<Item>) {
        let price = |taken: &[bool]| if rising { shop.least(taken) } else { shop.total(taken) };
        let items: Vec<Item> =
            worths.iter().zip(&shop.prices).map(|(worth, p)| Item { worth: *worth, price: money(*p) }).collect();
        let base = price(&vec![false; items.len()]);
        let terms = Terms { ceiling: base + money(over), base, rising, most: 200 };
        let mut work = |taken: &[bool]| Ok::<_, ()>(Priced { total: Some(price(taken)), least: true });
        let chosen = choose(&items, terms, &mut work).expect("nothing fails");
        let within = subsets(items.len()).filter(|t| price(t) <= terms.ceiling);
        let best = within.map(|t| worth(&items, &t)).max().expect("none is within");
        assert!(price(&chosen.taken) <= terms.ceiling, "the choice is within the ceiling");
        (chosen, best, items)
    }

    proptest! {
        #[test]
        fn the_best_is_found_and_proven((shop, worths) in shop(), over in 0..3_000_u32, rising in any::<bool>()) {
            let (chosen, best, items) = both(&shop, &worths, over, rising);
            prop_assert!(chosen.proven);
            prop_assert_eq!(worth(&items, &chosen.taken), best);
        }
    }

    #[test]
    fn without_tries_nothing_is_taken_and_nothing_claimed() {
        let items = [Item { worth: 3, price: money(100) }];
        let terms = Terms { ceiling: money(500), base: money(100), rising: true, most: 0 };
        let mut never = |_: &[bool]| Err::<Priced, _>("asked");
        let chosen = choose(&items, terms, &mut never).expect("nothing is worked out");
        assert_eq!(chosen, Chosen { taken: vec![false], proven: false, tried: 0 });
    }

    #[test]
    fn an_order_that_may_be_had_for_less_proves_nothing() {
        let items = [Item { worth: 3, price: money(100) }];
        let terms = Terms { ceiling: money(150), base: money(100), rising: true, most: 9 };
        let mut dear = |_: &[bool]| Ok::<_, ()>(Priced { total: Some(money(200)), least: false });
        assert!(!choose(&items, terms, &mut dear).expect("nothing fails").proven);
    }
}
