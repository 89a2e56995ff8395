//! Small awkward orders: every term switched on at random.

use capjob::money::{Money, Percent};
use capjob::purchase::{Arrangement, Demand, Position, Problem, Rules, Source, Supplier, Tier};

/// A generator of numbers (xorshift), so that a seed is an order for good.
pub(crate) struct Dice(u64);

impl Dice {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1)
    }

    pub(crate) fn below(&mut self, n: u32) -> u32 {
        for _ in 0..3 {
            self.0 ^= self.0 << 13;
            self.0 ^= self.0 >> 7;
            self.0 ^= self.0 << 17;
        }
        u32::try_from((self.0 >> 20) % u64::from(n)).unwrap()
    }

    fn one_in(&mut self, n: u32) -> bool {
        self.below(n) == 0
    }

    fn money(&mut self, lo: u32, hi: u32) -> Money {
        let step = if self.one_in(8) { 50 } else { 1_000 };
        Money::from_ten_thousandths(i64::from(lo + self.below(hi - lo)) * 1_000 / step * step)
    }
}

pub(crate) fn order(seed: u64) -> Problem {
    let mut dice = Dice::new(seed);
    let suppliers: Vec<Supplier> = (0..=dice.below(3)).map(|v| supplier(&mut dice, v)).collect();
    let rules = Rules {
        spares: vec![if dice.one_in(3) { dice.below(3) } else { 0 }, dice.below(2)],
        over_ten: Percent::new(if dice.one_in(3) { 15.0 } else { 0.0 }),
        max_suppliers: dice.one_in(4).then(|| 1 + dice.below(2)),
        more_goods: false,
    };
    let mut sources = Vec::new();
    for v in 0..suppliers.len() {
        for _ in 0..dice.below(4) {
            let n = sources.len();
            sources.push(source(&mut dice, n, Some(v)));
        }
    }
    for _ in 0..dice.below(3) {
        let n = sources.len();
        sources.push(source(&mut dice, n, None));
    }
    let n = u32::try_from(sources.len()).unwrap();
    let positions = (0..=dice.below(3)).map(|p| position(&mut dice, p, n)).collect();
    Problem { positions, sources, suppliers, rules }
}

fn supplier(dice: &mut Dice, v: u32) -> Supplier {
    let limited = dice.one_in(3);
    Supplier {
        name: format!("V{v}"),
        carriage: if dice.one_in(5) { Money::ZERO } else { dice.money(5, 40) },
        free_over: dice.one_in(2).then(|| dice.money(20, 80)),
        minimum_order: limited.then(|| dice.money(10, 60)),
        small_order_fee: (limited && dice.one_in(2)).then(|| dice.money(2, 20)),
    }
}

fn source(dice: &mut Dice, n: usize, supplier: Option<usize>) -> Source {
    let mut each = dice.money(3, 25);
    let mut from = if dice.one_in(12) { 2 } else { 1 };
    let mut tiers = vec![Tier { from, each }];
    while dice.one_in(2) && tiers.len() < 3 {
        from += 1 + dice.below(5);
        // Now and then a price list is wrong and rises.
        each = if dice.one_in(12) { each + each } else { each.ratio(3, 4) };
        tiers.push(Tier { from, each });
    }
    if supplier.is_none() {
        let each = if dice.one_in(3) { each } else { Money::ZERO };
        tiers = vec![Tier { from: 1, each }];
    }
    let shop = supplier.is_some();
    Source {
        number: format!("N{}", (n * 7 + 3) % 10),
        supplier,
        tiers,
        pack: if shop && dice.one_in(3) { 1 + dice.below(4) } else { 1 },
        minimum: if shop && dice.one_in(4) { dice.below(5) } else { 0 },
        stock: (!shop || dice.one_in(3)).then(|| 1 + dice.below(8)),
        spares: shop.then(|| usize::try_from(dice.below(2)).unwrap()),
        life_hours: dice.below(3) * 1_000,
    }
}

fn position(dice: &mut Dice, p: u32, sources: u32) -> Position {
    let arrangements = (0..=dice.below(5) / 3).map(|_| arrangement(dice, sources)).collect();
    Position { key: format!("C{p}"), arrangements }
}

fn arrangement(dice: &mut Dice, sources: u32) -> Arrangement {
    let demands = (0..=dice.below(5) / 4).map(|_| demand(dice, sources)).collect();
    Arrangement { demands, life_hours: dice.below(2) * 500 }
}

fn demand(dice: &mut Dice, sources: u32) -> Demand {
    let mut any_of: Vec<usize> = (0..usize::try_from(sources).unwrap()).filter(|_| !dice.one_in(3)).collect();
    any_of.truncate(5);
    let same_source = dice.one_in(3);
    let count = if dice.one_in(6) { 11 + dice.below(3) } else { 1 + dice.below(3) };
    let same_source = same_source || count > 10;
    Demand { any_of, count, same_source, select_extra: if same_source { dice.below(2) } else { 0 } }
}

/// The same order with its rows in another order.
pub(crate) fn shuffled(problem: &Problem, seed: u64) -> Problem {
    let mut dice = Dice::new(seed);
    let mut other = problem.clone();
    let supplier = deal(&mut dice, problem.suppliers.len());
    let source = deal(&mut dice, problem.sources.len());
    for (old, new) in supplier.iter().enumerate() {
        other.suppliers[*new] = problem.suppliers[old].clone();
    }
    for (old, new) in source.iter().enumerate() {
        other.sources[*new] = problem.sources[old].clone();
        other.sources[*new].supplier = problem.sources[old].supplier.map(|v| supplier[v]);
    }
    for position in &mut other.positions {
        position.arrangements.reverse();
        for demand in position.arrangements.iter_mut().flat_map(|a| &mut a.demands) {
            demand.any_of = demand.any_of.iter().rev().map(|s| source[*s]).collect();
        }
    }
    other.positions.reverse();
    other
}

/// Numbers from 0 in a random order.
fn deal(dice: &mut Dice, n: usize) -> Vec<usize> {
    let mut order: Vec<usize> = (0..n).collect();
    for i in (1..n).rev() {
        order.swap(i, usize::try_from(dice.below(u32::try_from(i).unwrap() + 1)).unwrap());
    }
    order
}
