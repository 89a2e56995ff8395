//! A large order, drawn by dice: many suppliers' lists of one assortment, and positions that take near equals.

use capjob::money::Money;
use capjob::purchase::{Arrangement, Demand, Position, Problem, Rules, Source, Supplier, Tier};

struct Dice(u64);

impl Dice {
    fn below(&mut self, n: u32) -> u32 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        u32::try_from((self.0 >> 24) % u64::from(n)).expect("below n")
    }

    fn cents(&mut self, lo: u32, hi: u32) -> i64 {
        i64::from(lo + self.below(hi - lo))
    }
}

fn cents(n: i64) -> Money {
    Money::from_ten_thousandths(n * 100)
}

/// `positions` positions over a fifth as many parts, eight suppliers.
pub(crate) fn order(positions: u32, seed: u64) -> Problem {
    let mut dice = Dice(0x9e37_79b9_7f4a_7c15 ^ (seed << 7));
    let parts = positions / 5;
    let suppliers = (0..8).map(|v| supplier(&mut dice, v)).collect();
    let mut sources = Vec::new();
    let mut of_part = Vec::new();
    for part in 0..parts {
        let base = match dice.below(3) {
            0 => dice.cents(8, 60),
            1 => dice.cents(40, 250),
            _ => dice.cents(150, 1000),
        };
        let mut offers = Vec::new();
        for v in 0..8 {
            // Two variants a supplier now and then, from an assortment that not everyone keeps.
            for variant in 0..dice.below(3) {
                offers.push(sources.len());
                sources.push(source(&mut dice, format!("V{v}-{part:04}-{variant}"), v, base));
            }
        }
        of_part.push(offers);
    }
    let positions = (0..positions).map(|p| position(&mut dice, p, &of_part)).collect();
    Problem { positions, sources, suppliers, rules: Rules::default() }
}

fn supplier(dice: &mut Dice, v: u32) -> Supplier {
    Supplier {
        name: format!("V{v}"),
        carriage: cents(dice.cents(400, 1500)),
        free_over: (dice.below(3) > 0).then(|| cents(dice.cents(5000, 12_000))),
        minimum_order: (dice.below(3) == 0).then(|| cents(dice.cents(500, 2500))),
        small_order_fee: None,
    }
}

fn source(dice: &mut Dice, number: String, v: usize, base: i64) -> Source {
    let mut each = (base * dice.cents(70, 140) / 100).max(1);
    let mut tiers = vec![Tier { from: 1, each: cents(each) }];
    for from in [10, 50, 100] {
        if dice.below(2) == 0 {
            each = (each * dice.cents(70, 95) / 100).max(1);
            tiers.push(Tier { from, each: cents(each) });
        }
    }
    let pack = [1, 1, 1, 1, 2, 5, 10][usize::try_from(dice.below(7)).expect("below 7")];
    let stock = (dice.below(3) == 0).then(|| 10 * (1 + dice.below(12)));
    Source { number, supplier: Some(v), tiers, pack, minimum: pack, stock, spares: None, life_hours: 0 }
}

fn position(dice: &mut Dice, p: u32, of_part: &[Vec<usize>]) -> Position {
    let parts = u32::try_from(of_part.len()).expect("few parts");
    let part = dice.below(parts);
    let near = 1 + part % 4;
    let mut any_of: Vec<usize> =
        (0..near).flat_map(|k| of_part[usize::try_from((part + k) % parts).expect("below parts")].clone()).collect();
    any_of.sort_unstable();
    let demand = Demand { any_of, count: 1, same_source: false, select_extra: 0 };
    Position { key: format!("P{p:05}"), arrangements: vec![Arrangement { demands: vec![demand], life_hours: 0 }] }
}
