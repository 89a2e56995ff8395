//! The readable examples of `docs/purchase-model.md`: each figure there is checked here.

use capjob::money::{Money, Percent};
use capjob::purchase::{
    Arrangement, Demand, Limits, Position, Problem, Purchase, Rules, Source, SpareWhy, Supplier, Tier, UnmetWhy,
    by_hand, solve,
};

/// What the table of the page says that the order of a situation costs.
#[cfg(test)]
fn documented(situation: &str) -> String {
    let page = include_str!("../docs/purchase-model.md");
    let row = page.lines().find(|l| l.starts_with(&format!("| {situation} |"))).unwrap();
    row.trim_end_matches(" |").rsplit(" | ").next().unwrap().to_owned()
}

/// Whether the order costs what the page says.
#[cfg(test)]
fn costs(purchase: &Purchase, situation: &str) {
    assert_eq!(purchase.totals.landed.text(2), documented(situation), "{situation}");
}

#[cfg(test)]
fn money(text: &str) -> Money {
    Money::parse(text).unwrap()
}

fn supplier(name: &str, carriage: &str) -> Supplier {
    Supplier {
        name: name.to_owned(),
        carriage: money(carriage),
        free_over: None,
        minimum_order: None,
        small_order_fee: None,
    }
}

#[cfg(test)]
/// `prices`: `1:0.42;10:0.36`.
fn offer(supplier: usize, number: &str, prices: &str) -> Source {
    let tier = |t: &str| {
        let (from, each) = t.split_once(':').unwrap();
        Tier { from: from.parse().unwrap(), each: money(each) }
    };
    Source {
        number: number.to_owned(),
        supplier: Some(supplier),
        tiers: prices.split(';').map(tier).collect(),
        pack: 1,
        minimum: 0,
        stock: None,
        spares: None,
        life_hours: 0,
    }
}

fn shelf(number: &str, quantity: u32, price: &str) -> Source {
    Source { supplier: None, stock: Some(quantity), ..offer(0, number, &format!("1:{price}")) }
}

/// `count` positions, each one piece of any of these.
fn places(key: &str, count: u32, any_of: &[usize]) -> Vec<Position> {
    let demand = Demand { any_of: any_of.to_vec(), count: 1, same_source: false, select_extra: 0 };
    let arrangement = Arrangement { demands: vec![demand], life_hours: 0 };
    (0..count).map(|n| Position { key: format!("{key}{n:02}"), arrangements: vec![arrangement.clone()] }).collect()
}

#[cfg(test)]
fn solved(problem: &Problem) -> Purchase {
    let purchase = solve(problem, &Limits::default()).unwrap();
    assert!(purchase.totals.proven);
    purchase
}

#[cfg(test)]
fn lines(problem: &Problem, purchase: &Purchase) -> Vec<String> {
    let line = |l: &capjob::purchase::Line| {
        format!("{} {} at {}", l.quantity, problem.sources[l.source].number, l.each.text(2))
    };
    purchase.buy.iter().map(line).collect()
}

/// Case of the trade: 3 x 22/500, 10 x .047/630, 1 x 4.7 nF Y2, 6 x 220 k.
fn three_suppliers() -> Problem {
    let mut b = supplier("B", "8.50");
    b.free_over = Some(money("30.00"));
    let mut c = supplier("C", "3.50");
    c.minimum_order = Some(money("10.00"));
    let mut tens = offer(2, "C-220k", "1:0.06");
    tens.pack = 10;
    let sources = vec![
        offer(0, "A-22", "1:3.40"),
        offer(0, "A-047", "1:0.38"),
        offer(0, "A-Y2", "1:0.55"),
        offer(0, "A-220k", "1:0.12"),
        offer(1, "B-22", "1:2.60"),
        offer(1, "B-047", "1:0.46"),
        offer(1, "B-220k", "1:0.10"),
        offer(2, "C-047", "1:0.22"),
        offer(2, "C-Y2", "1:0.30"),
        tens,
    ];
    let positions = [
        places("C-HT", 3, &[0, 4]),
        places("C-coupling", 10, &[1, 5, 7]),
        places("C-line", 1, &[2, 8]),
        places("R", 6, &[3, 6, 9]),
    ];
    Problem {
        positions: positions.concat(),
        sources,
        suppliers: vec![supplier("A", "5.95"), b, c],
        rules: Rules::default(),
    }
}

// All from A: 10.20 + 3.80 + 0.55 + 0.72 + 5.95 = 21.22. Line by line: B 7.80 + 8.50; C 2.20 + 0.30 + 0.60
// topped up to its minimum order of 10.00, + 3.50; together 29.80.
#[test]
fn case_of_three_suppliers() {
    let problem = three_suppliers();
    let purchase = solved(&problem);
    assert_eq!(purchase.totals.landed.text(2), "21.22");
    assert_eq!(purchase.suppliers.len(), 1);
    let hand = by_hand(&problem, |_| true);
    assert_eq!(hand.landed.unwrap().text(2), "29.80");
    assert_eq!(hand.one_supplier.unwrap().1.text(2), "21.22");
}

// Nine at 0.50 are 4.50; ten at 0.40 are 4.00.
#[test]
fn price_break() {
    let problem = Problem {
        positions: places("C", 9, &[0]),
        sources: vec![offer(0, "film", "1:0.50;10:0.40")],
        suppliers: vec![supplier("A", "3.00")],
        rules: Rules::default(),
    };
    let purchase = solved(&problem);
    assert_eq!(lines(&problem, &purchase), ["10 film at 0.40"]);
    assert_eq!(purchase.buy[0].spare, [(SpareWhy::Break, 1)]);
    assert_eq!(purchase.totals.landed.text(2), "7.00");
    costs(&purchase, "price break");
}

// Two lie on the shelf for nothing, one has to be bought.
#[test]
fn shelf_first() {
    let problem = Problem {
        positions: places("C", 3, &[0, 1]),
        sources: vec![offer(0, "film", "1:0.50"), shelf("drawer", 2, "0.00")],
        suppliers: vec![supplier("A", "3.00")],
        rules: Rules::default(),
    };
    let purchase = solved(&problem);
    assert_eq!(lines(&problem, &purchase), ["2 drawer at 0.00", "1 film at 0.50"]);
    assert_eq!(purchase.totals.landed.text(2), "3.50");
    costs(&purchase, "shelf");
}

// Six resistors in tens: ten at 0.06 are cheaper than six at 0.12.
#[test]
fn pack() {
    let mut tens = offer(0, "tens", "1:0.06");
    tens.pack = 10;
    let problem = Problem {
        positions: places("R", 6, &[0, 1]),
        sources: vec![tens, offer(0, "single", "1:0.12")],
        suppliers: vec![supplier("A", "3.00")],
        rules: Rules::default(),
    };
    let purchase = solved(&problem);
    assert_eq!(lines(&problem, &purchase), ["10 tens at 0.06"]);
    assert_eq!(purchase.buy[0].spare, [(SpareWhy::Pack, 4)]);
    assert_eq!(purchase.totals.landed.text(2), "3.60");
    costs(&purchase, "pack");
}

// Goods of 4.00 under a minimum order of 5.00: the fee of 2.00 costs more than one more piece.
#[test]
fn minimum_order() {
    let mut terms = supplier("A", "3.00");
    terms.minimum_order = Some(money("5.00"));
    terms.small_order_fee = Some(money("2.00"));
    let mut problem = Problem {
        positions: places("C", 4, &[0]),
        sources: vec![offer(0, "film", "1:1.00")],
        suppliers: vec![terms],
        rules: Rules::default(),
    };
    let purchase = solved(&problem);
    assert_eq!(lines(&problem, &purchase), ["5 film at 1.00"]);
    assert_eq!(purchase.buy[0].spare, [(SpareWhy::Minimum, 1)]);
    assert_eq!(purchase.totals.landed.text(2), "8.00");
    costs(&purchase, "minimum order");
    // With four in stock the fee is all that is left; without a fee there is no order.
    problem.sources[0].stock = Some(4);
    assert_eq!(solved(&problem).totals.landed.text(2), "9.00");
    costs(&solved(&problem), "minimum order, 4 in stock");
    problem.suppliers[0].small_order_fee = None;
    let purchase = solve(&problem, &Limits::default()).unwrap();
    assert!(purchase.fits.is_empty());
    assert!(purchase.unmet.iter().all(|u| u.why == UnmetWhy::MinimumOrder));
}

// Five needed, three left of the cheaper: both lines are bought.
#[test]
fn stock_split() {
    let mut few = offer(0, "few", "1:0.40");
    few.stock = Some(3);
    let problem = Problem {
        positions: places("C", 5, &[0, 1]),
        sources: vec![few, offer(0, "many", "1:0.55")],
        suppliers: vec![supplier("A", "3.00")],
        rules: Rules::default(),
    };
    let purchase = solved(&problem);
    assert_eq!(lines(&problem, &purchase), ["3 few at 0.40", "2 many at 0.55"]);
    assert_eq!(purchase.totals.landed.text(2), "5.30");
    costs(&purchase, "stock split");
}

// Each job alone pays carriage (3.00 + 5 x 0.50 and 3.00 + 6 x 0.50); together once, and at the lower price.
#[test]
fn two_jobs_in_one_order() {
    let order = |first: u32, second: u32| Problem {
        positions: [places("one/C", first, &[0]), places("two/C", second, &[0])].concat(),
        sources: vec![offer(0, "film", "1:0.50;10:0.40")],
        suppliers: vec![supplier("A", "3.00")],
        rules: Rules::default(),
    };
    assert_eq!(solved(&order(5, 0)).totals.landed.text(2), "5.50");
    assert_eq!(solved(&order(0, 6)).totals.landed.text(2), "6.00");
    assert_eq!(solved(&order(5, 6)).totals.landed.text(2), "7.40");
    costs(&solved(&order(5, 0)), "first job alone");
    costs(&solved(&order(0, 6)), "second job alone");
    costs(&solved(&order(5, 6)), "two jobs in one order");
}

// Goods of 27.00 + 1.00 pay 6.00 of carriage, 34.00; two more at 1.00 make it 30.00 and free.
#[test]
fn free_carriage() {
    let mut terms = supplier("A", "6.00");
    terms.free_over = Some(money("30.00"));
    let problem = Problem {
        positions: [places("C", 3, &[0]), places("R", 1, &[1])].concat(),
        sources: vec![offer(0, "can", "1:9.00"), offer(0, "film", "1:1.00")],
        suppliers: vec![terms],
        rules: Rules::default(),
    };
    let purchase = solved(&problem);
    assert_eq!(lines(&problem, &purchase), ["3 can at 9.00", "3 film at 1.00"]);
    assert_eq!(purchase.totals.landed.text(2), "30.00");
    assert_eq!(purchase.totals.carriage.text(2), "0.00");
    costs(&purchase, "free carriage");
}

// The figures of the case of three suppliers stand in the text of the page, not in the table.
#[test]
fn the_page_has_the_case_of_three_suppliers() {
    let page = include_str!("../docs/purchase-model.md");
    assert!(page.contains("10.20 + 3.80 + 0.55 + 0.72 + 5.95 = **21.22**") && page.contains("together **29.80**"));
}

// Every row of the table is held to its figure by one of the tests above.
#[test]
fn every_example_of_the_page_is_tested() {
    let page = include_str!("../docs/purchase-model.md");
    let table = page.lines().skip_while(|l| !l.starts_with("| situation |")).skip(2);
    let rows: Vec<&str> = table.take_while(|l| l.starts_with('|')).filter_map(|l| l.split('|').nth(1)).collect();
    let tests = include_str!("purchase_examples.rs");
    assert!(rows.len() > 8, "{rows:?}");
    for row in rows {
        assert!(tests.contains(&format!(", \"{}\");", row.trim())), "{row}");
    }
}

// A matched pair with two to select from, out of one bag of four; a spare for each resistor offer used.
#[test]
fn matched_pair_and_spares() {
    let pair = Demand { any_of: vec![0, 1], count: 2, same_source: true, select_extra: 2 };
    let mut short = offer(0, "short", "1:0.10");
    short.stock = Some(3);
    let mut problem = Problem {
        positions: vec![Position {
            key: "R1, R2".to_owned(),
            arrangements: vec![Arrangement { demands: vec![pair], life_hours: 0 }],
        }],
        sources: vec![short, offer(0, "long", "1:0.15")],
        suppliers: vec![supplier("A", "3.00")],
        rules: Rules { spares: vec![1], over_ten: Percent::default(), max_suppliers: None, more_goods: false },
    };
    assert_eq!(lines(&problem, &solved(&problem)), ["4 long at 0.15"]);
    assert_eq!(solved(&problem).totals.landed.text(2), "3.60");
    costs(&solved(&problem), "matched pair");
    problem.sources[1].spares = Some(0);
    let purchase = solved(&problem);
    assert_eq!(lines(&problem, &purchase), ["5 long at 0.15"]);
    assert_eq!(purchase.buy[0].spare, [(SpareWhy::Policy, 1), (SpareWhy::Select, 2)]);
}
