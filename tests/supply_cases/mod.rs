//! The reference supplies as the library's own types.

#![expect(clippy::unwrap_used, clippy::panic, reason = "a fault in the reference must stop the test that reads it")]

use std::collections::BTreeMap;
use std::path::PathBuf;

use capjob::physics::supply::{Capacitor, Circuit, Node, Rectifier, Series, Supply};
use capjob::units::{Ampere, Farad, Henry, Hertz, Ohm, Volt};

/// One row of a table, by column.
pub(crate) type Row = BTreeMap<String, String>;

/// Reads a table of the reference.
pub(crate) fn table(name: &str) -> Vec<Row> {
    let package = PathBuf::from(env!("CARGO_MANIFEST_DIR"));
    // The benchmark, a package of its own beside the data, reads the same tables.
    let folder = ["tests/data", "../data"].map(|data| package.join(data)).into_iter().find(|data| data.is_dir());
    let path = folder.unwrap().join("supply").join(name);
    let mut reader = csv::Reader::from_path(path).unwrap();
    reader.deserialize::<Row>().map(Result::unwrap).collect()
}

/// A figure of a row.
pub(crate) fn figure(row: &Row, column: &str) -> f64 {
    row[column].parse().unwrap_or_else(|_| panic!("{column}: {:?}", row[column]))
}

/// The supply of a reference row.
pub(crate) fn supply(row: &Row) -> Supply {
    let count = row["nnodes"].parse::<usize>().unwrap();
    let capacitor =
        |farad: &str, esr: &str| Capacitor { farad: Farad::new(figure(row, farad)), esr: Ohm::new(figure(row, esr)) };
    let circuit = match row["topo"].as_str() {
        "fwct" => Circuit::CentreTap,
        "bridge" => Circuit::Bridge,
        "hw" => Circuit::HalfWave,
        "dbl_fw" => Circuit::Doubler,
        "dbl_hw" => Circuit::DoublerHalfWave { series: capacitor("cs", "esrs") },
        other => panic!("{other}"),
    };
    let rectifier = match row["rect"].as_str() {
        "vac" => Rectifier::Valve { perveance_a_per_v15: figure(row, "d_k") },
        _ => Rectifier::Diode {
            saturation: Ampere::new(figure(row, "d_is")),
            emission: figure(row, "d_n"),
            ohm: Ohm::new(figure(row, "d_r")),
        },
    };
    let node = |q: usize| {
        let bleeder = figure(row, &format!("rl{q}"));
        let ohm = Ohm::new(figure(row, &format!("r{q}")));
        Node {
            series: match row[&format!("s{q}")].as_str() {
                "R" => Series::Resistor(ohm),
                "L" => Series::Choke { henry: Henry::new(figure(row, &format!("l{q}"))), dcr: ohm },
                _ => Series::Direct,
            },
            capacitor: Some(capacitor(&format!("c{q}"), &format!("esr{q}"))),
            load: Ampere::new(figure(row, &format!("i{q}"))),
            load_ohm: (0.0 < bleeder).then(|| Ohm::new(bleeder)),
        }
    };
    Supply {
        circuit,
        mains: Hertz::new(figure(row, "f")),
        winding: Volt::new(figure(row, "vrms")),
        source: Ohm::new(figure(row, "rs")),
        rectifier,
        nodes: (1..=count).map(node).collect(),
    }
}
