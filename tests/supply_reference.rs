//! Every figure of the reference supplies (ngspice 39.3, see `tests/data/supply/README.md`) against the library.

mod supply_cases;

use std::collections::BTreeMap;

use capjob::physics::supply::{CapacitorLoad, Cold, Loaded, solve_cold, solve_loaded};
use supply_cases::{Row, figure, supply, table};

/// Every figure within this, relative to its size or its floor.
const ANY_FIGURE: f64 = 0.003;

/// Mean and no-load voltages within this.
const MEAN_VOLTAGE: f64 = 0.000_2;

/// The library's figures under the names of the reference's columns.
fn computed(loaded: &Loaded, cold: &Cold) -> BTreeMap<String, f64> {
    let mut all = BTreeMap::new();
    for (index, (node, still)) in loaded.nodes.iter().zip(&cold.nodes).enumerate() {
        let q = index + 1;
        let mut put = |name: &str, value: f64| all.insert(name.replace('#', &q.to_string()), value);
        put("vdc#", node.mean.get());
        put("vmax#", node.crest.get());
        put("vpp#", node.ripple_pp.get());
        put("vrip#", node.ripple_rms.get());
        let CapacitorLoad { total, at_mains, at_twice, rest, .. } = node.capacitor.unwrap_or_default();
        put("ic#", total.get());
        put("ic#_1f", at_mains.get());
        put("ic#_2f", at_twice.get());
        put("ic#_hf", rest.get());
        put("iser#", node.series.mean.get());
        put("pser#", node.series.power.get());
        put("vcold_dc#", still.no_load.get());
        put("vcold_pk#", still.highest.get());
    }
    if let Some(series) = loaded.series_capacitor {
        all.insert("ics".to_owned(), series.total.get());
        // The reference counts it from the ladder's side to the winding's.
        all.insert("vcs".to_owned(), -series.mean.get());
    }
    for (name, value) in [
        ("id_pk", loaded.rectifier.peak.get()),
        ("id_avg", loaded.rectifier.average.get()),
        ("id_rms", loaded.rectifier.rms.get()),
        ("pd", loaded.rectifier.power.get()),
        ("is_rms", loaded.winding_rms.get()),
        ("i_surge", cold.surge.get()),
    ] {
        all.insert(name.to_owned(), value);
    }
    all
}

/// The least size that an error is taken relative to.
fn floor(column: &str, first_capacitor_a: f64) -> f64 {
    match column {
        _ if ["vdc", "vmax", "vcold", "vcs"].iter().any(|start| column.starts_with(start)) => 1.0,
        _ if column.starts_with('v') => 1e-3,
        _ if column.starts_with("ic") => 2e-3 * first_capacitor_a,
        _ if column.starts_with("iser") => 1e-5,
        _ if column.starts_with('p') => 1e-6,
        _ => 1e-9,
    }
}

fn is_result(column: &str) -> bool {
    let starts = ["vdc", "vpp", "vrip", "vmax", "ic", "iser", "pser", "vcold", "vcs", "id_", "pd", "is_rms", "i_surge"];
    starts.iter().any(|start| column.starts_with(start))
}

#[test]
fn every_figure_of_the_reference() {
    let rows = table("cases_public.csv");
    assert_eq!(rows.len(), 40);
    let mut faults = Vec::new();
    let mut worst = BTreeMap::<String, (f64, String)>::new();
    let mut compared = 0;
    for row in &rows {
        let id = &row["id"];
        let supply = supply(row);
        let loaded = solve_loaded(&supply).unwrap_or_else(|error| panic!("{id}: {error}"));
        let cold = solve_cold(&supply, figure(row, "vhi")).unwrap_or_else(|error| panic!("{id}: {error}"));
        for (column, error) in errors(row, &computed(&loaded, &cold)) {
            compared += 1;
            let group: String = column.chars().filter(|letter| !letter.is_ascii_digit()).collect();
            let limit = if group == "vdc" || group == "vcold_dc" { MEAN_VOLTAGE } else { ANY_FIGURE };
            if limit < error || error.is_nan() {
                faults.push(format!("{id} {column}: off by {:.4} %", error * 100.0));
            }
            let entry = worst.entry(group).or_default();
            if entry.0 < error {
                *entry = (error, id.clone());
            }
        }
    }
    for (group, (error, id)) in &worst {
        println!("{group:10} worst {:.4} % ({id})", error * 100.0);
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    assert_eq!(compared, 1_344);
}

/// The relative error of every figure that the reference gives.
fn errors(row: &Row, computed: &BTreeMap<String, f64>) -> Vec<(String, f64)> {
    let first_capacitor_a = figure(row, "ic1");
    let given = row.iter().filter(|(column, text)| is_result(column) && !text.is_empty());
    given
        .map(|(column, _)| {
            let reference = figure(row, column);
            let value = computed.get(column).copied().unwrap_or(f64::NAN);
            let error = (value - reference).abs() / reference.abs().max(floor(column, first_capacitor_a));
            (column.clone(), error)
        })
        .collect()
}
