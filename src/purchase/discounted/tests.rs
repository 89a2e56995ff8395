//! Taking rows out against an enumeration of every way of filling them.

use proptest::prelude::*;

use super::super::bundle::{Until, raise};
use super::super::model::Class;
use super::super::problem::{Arrangement, Demand, Position, Problem, Rules, Source, Supplier, Tier};
use super::*;
use crate::money::{Money, Percent};

/// An order of a few rows, each served by a few sources.
fn order() -> impl Strategy<Value = Problem> {
    let source =
        (0..2usize, 1..30i64, 1..5u32, 1..4u32, prop::option::of(2..9u32)).prop_map(|(v, each, pack, from, stock)| {
            let tier = |from, each| Tier { from, each: Money::from_ten_thousandths(each * 1_000) };
            Source {
                number: String::new(),
                supplier: Some(v),
                tiers: vec![tier(1, each), tier(1 + from, (each * 3 / 4).max(1))],
                pack,
                minimum: 0,
                stock,
                spares: Some(0),
                life_hours: 0,
            }
        });
    let demand = (prop::sample::subsequence((0..6usize).collect::<Vec<_>>(), 1..4), 1..4u32, any::<bool>())
        .prop_map(|(any_of, count, same_source)| Demand { any_of, count, same_source, select_extra: 0 });
    let position = prop::collection::vec(prop::collection::vec(demand, 1..2), 1..3);
    let supplier = (0..30i64, prop::option::of(1..90i64));
    (
        prop::collection::vec(source, 6),
        prop::collection::vec(position, 1..4),
        prop::collection::vec(supplier, 2),
        (0..2u32, prop::sample::select(vec![0.0, 20.0])),
    )
        .prop_map(|(mut sources, positions, suppliers, (flat, percent))| {
            for (n, source) in sources.iter_mut().enumerate() {
                source.number = format!("N{n}");
            }
            let arrangement = |demands: Vec<Demand>| Arrangement { demands, life_hours: 0 };
            let position = |(n, p): (usize, Vec<Vec<Demand>>)| Position {
                key: format!("C{n}"),
                arrangements: p.into_iter().map(arrangement).collect(),
            };
            let money = |x: i64| Money::from_ten_thousandths(x * 1_000);
            let supplier = |(n, (carriage, free)): (usize, (i64, Option<i64>))| Supplier {
                name: format!("V{n}"),
                carriage: money(carriage),
                free_over: free.map(money),
                minimum_order: None,
                small_order_fee: None,
            };
            Problem {
                positions: positions.into_iter().enumerate().map(position).collect(),
                sources,
                suppliers: suppliers.into_iter().enumerate().map(supplier).collect(),
                rules: Rules {
                    spares: vec![flat],
                    over_ten: Percent::new(percent),
                    max_suppliers: None,
                    more_goods: false,
                },
            }
        })
}

/// All ways of dividing `n` among `parts`.
fn divided(n: u32, parts: usize) -> Vec<Vec<u32>> {
    if parts == 0 {
        return if n == 0 { vec![Vec::new()] } else { Vec::new() };
    }
    let with = |first: u32| divided(n - first, parts - 1).into_iter().map(move |rest| [vec![first], rest].concat());
    (0..=n).flat_map(with).collect()
}

/// The least that so many pieces of a source cost, ten-thousandths, tried quantity by quantity.
fn price(model: &Model, s: usize, need: u32) -> Option<i64> {
    let src = &model.sources[s];
    let all = src.segs.iter().flat_map(|g| (g.lo..=g.hi).map(move |q| (q, g.each)));
    all.filter(|(q, _)| *q >= need && q % src.pack == 0).map(|(q, each)| i64::from(q) * each).min()
}

/// What a plan costs, ten-thousandths, each supplier charged in the way given, missed thresholds paid for.
fn cost(model: &Model, flow: &Table<Vec<(usize, u32)>>, bands: &[usize]) -> Option<i64> {
    let mut goods = vec![0; bands.len()];
    for s in 0..model.sources.len() {
        let (mut pieces, mut taken) = (0, 0);
        for (r, list) in flow.iter().enumerate() {
            let k: u32 = list.iter().filter(|f| f.0 == s).map(|f| f.1).sum();
            pieces += k * model.rows[r].weight();
            taken += k * model.rows[r].take;
        }
        if pieces > 0 {
            let spare = model.rules.spare(model.sources[s].class, taken);
            goods[model.sources[s].sup?] += price(model, s, pieces + spare)?;
        }
    }
    let charged = |(v, b): (usize, &usize)| {
        let band = model.suppliers[v].bands[*b];
        band.fixed + goods[v].max(band.least)
    };
    Some(bands.iter().enumerate().map(charged).sum())
}

/// The least of all plans.
fn least(model: &Model, bands: &[usize]) -> Option<i64> {
    let classes: Vec<&Class> = model.classes.iter().collect();
    let mut asked: Vec<Vec<u32>> = vec![vec![0; model.rows.len()]];
    for class in classes {
        let ways = divided(class.count(), class.ways.len());
        let add = |before: &Vec<u32>, ways: &Vec<u32>| {
            let mut after = before.clone();
            for (way, n) in class.ways.iter().zip(ways) {
                for (r, times) in &way.uses {
                    after[*r] += times * n;
                }
            }
            after
        };
        asked = asked.iter().flat_map(|before| ways.iter().map(move |ways| add(before, ways))).collect();
    }
    asked.sort();
    asked.dedup();
    let mut best: Option<i64> = None;
    for asked in asked {
        let empty = Table::filled(Vec::new(), model.rows.len());
        let mut flows = vec![empty];
        for (r, n) in asked.iter().enumerate() {
            let any_of = &model.rows[r].any_of;
            let mut next = Vec::new();
            for parts in divided(*n, any_of.len()) {
                for flow in &flows {
                    let mut flow: Table<Vec<(usize, u32)>> = flow.clone();
                    flow[r] = any_of.iter().copied().zip(parts.iter().copied()).collect();
                    next.push(flow);
                }
            }
            flows = next;
        }
        best = flows.iter().filter_map(|flow| cost(model, flow, bands)).chain(best).min();
    }
    best
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, ..ProptestConfig::default() })]

    #[test]
    fn as_cheap_as_the_cheapest_of_all(problem in order(), which in 0..4usize, rounds in 1..30u32) {
        let model = Model::new(&problem);
        let (mut node, clock) = (Node::root(&model), Clock::new(u64::MAX, None));
        let bands: Vec<usize> = (0..2).map(|v| (which >> v & 1).min(model.suppliers[v].bands.len() - 1)).collect();
        for (v, band) in bands.iter().enumerate() {
            node.charge(&model, v, Some(*band));
        }
        prop_assume!(model.hopeless.is_empty());
        let least = least(&model, &bands);
        // Any prices will do.
        raise(&model, &mut node, Until { target: 1e9, rounds, near: 0.0 }, &clock);
        let grains = |cost: i64| real(cost) / real(model.grain);
        let thresholds = bands.iter().enumerate().filter(|(v, b)| model.suppliers[*v].bands[**b].least > 0).count();
        let Some(least) = least else {
            prop_assert!(matches!(discounted(&model, &node, 1e6, &clock), Discounted::Dear));
            return Ok(());
        };
        match discounted(&model, &node, grains(least) + 20.0, &clock) {
            Discounted::Open(value, plan, exact) if thresholds < 2 => {
                prop_assert!(exact);
                prop_assert!((value - grains(least)).abs() < 1e-6, "{value} for {}", grains(least));
                let flow = plan.flow.iter().cloned().collect();
                prop_assert_eq!(cost(&model, &flow, &bands), Some(least));
                let needed = plan.required(&model);
                prop_assert!(plan.quantity.iter().zip(needed.iter()).all(|(q, n)| q >= n));
            }
            Discounted::Open(value, ..) => prop_assert!(value <= grains(least) + 1e-6),
            Discounted::Dear => prop_assert!(false, "too dear"),
            Discounted::TooWide => prop_assert!(false, "too wide"),
        }
        if thresholds < 2 {
            prop_assert!(matches!(discounted(&model, &node, grains(least) - 0.9, &clock), Discounted::Dear));
        }
    }
}
