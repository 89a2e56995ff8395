//! Reads an order with a known optimum straight from its tables, without the program's own readers.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use capjob::money::Money;
use capjob::purchase::{Arrangement, Demand, Position, Problem, Rules, Source, Supplier, Tier};

/// The records of a table, by heading.
fn table(path: &Path) -> Vec<BTreeMap<String, String>> {
    let mut reader = csv::Reader::from_path(path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    reader.deserialize().map(|r| r.unwrap()).collect()
}

fn money(text: &str) -> Option<Money> {
    (!text.is_empty()).then(|| Money::parse(text).unwrap())
}

fn number(text: &str) -> Option<u32> {
    (!text.is_empty()).then(|| text.parse().unwrap())
}

/// `1:0.42;10:0.36`.
fn tiers(text: &str) -> Vec<Tier> {
    let tier = |t: &str| {
        let (from, each) = t.split_once(':').unwrap();
        Tier { from: from.parse().unwrap(), each: Money::parse(each).unwrap() }
    };
    text.split(';').map(tier).collect()
}

/// The order in the folder `dir`.
pub(crate) fn read(dir: &Path) -> Problem {
    let mut problem = Problem { rules: Rules::default(), ..Problem::default() };
    let mut supplier_of = BTreeMap::new();
    for row in table(&dir.join("shop/suppliers.csv")) {
        assert_eq!(row["currency"], "EUR");
        supplier_of.insert(row["supplier"].clone(), problem.suppliers.len());
        problem.suppliers.push(Supplier {
            name: row["supplier"].clone(),
            carriage: money(&row["carriage"]).unwrap(),
            free_over: money(&row["free_over"]),
            minimum_order: money(&row["minimum_order"]),
            small_order_fee: money(&row["small_order_fee"]),
        });
    }
    let mut named: BTreeMap<String, Vec<usize>> = BTreeMap::new();
    for row in table(&dir.join("shop/catalog/all.csv")) {
        named.entry(row["designation"].clone()).or_default().push(problem.sources.len());
        problem.sources.push(Source {
            number: row["number"].clone(),
            supplier: Some(supplier_of[&row["supplier"]]),
            tiers: tiers(&row["prices"]),
            pack: number(&row["pack"]).unwrap_or(1),
            minimum: number(&row["minimum"]).unwrap_or(0),
            stock: number(&row["stock"]),
            spares: None,
            life_hours: 0,
        });
    }
    for row in table(&dir.join("shop/shelf.csv")) {
        named.entry(row["designation"].clone()).or_default().push(problem.sources.len());
        problem.sources.push(Source {
            number: row["number"].clone(),
            supplier: None,
            tiers: vec![Tier { from: 1, each: Money::ZERO }],
            pack: 1,
            minimum: 0,
            stock: number(&row["quantity"]),
            spares: None,
            life_hours: 0,
        });
    }
    let mut equal: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for row in table(&dir.join("shop/equivalents.csv")) {
        equal.entry(row["designation"].clone()).or_default().insert(row["equivalent"].clone());
    }
    let mut jobs: Vec<_> = std::fs::read_dir(dir).unwrap().map(|e| e.unwrap().path()).collect();
    jobs.retain(|p| p.file_name().unwrap().to_str().unwrap().starts_with("job"));
    jobs.sort();
    for job in jobs {
        for row in table(&job.join("parts.csv")) {
            let part = &row["marked"];
            let designations = equal.get(part).into_iter().flatten().chain(std::iter::once(part));
            let any_of = designations.filter_map(|d| named.get(d)).flatten().copied().collect();
            let demand = Demand { any_of, count: 1, same_source: false, select_extra: 0 };
            problem.positions.push(Position {
                key: format!("{}/{}", job.file_name().unwrap().to_str().unwrap(), row["ref"]),
                arrangements: vec![Arrangement { demands: vec![demand], life_hours: 0 }],
            });
        }
    }
    problem
}

/// The orders and their optima.
pub(crate) fn optima(dir: &Path) -> Vec<(String, Money)> {
    let rows = table(&dir.join("optimum.csv"));
    rows.iter().map(|r| (r["instance"].clone(), Money::parse(&r["optimum"]).unwrap())).collect()
}
