//! A supply of the reference as a deck for ngspice.

use std::f64::consts::SQRT_2;
use std::fmt::Write as _;

use capjob::physics::supply::Loaded;

use super::supply_cases::{Row, figure};

/// Periods of the mains that ngspice follows; the last is measured.
pub(crate) const PERIODS: f64 = 12.0;
/// Steps in a period, as many as the library takes.
const STEPS: f64 = 512.0;

/// The deck: source and rectifier, ladder, the run, the mean of the last node.
pub(crate) fn write(row: &Row, loaded: &Loaded) -> String {
    let mut deck = format!("{}\n.temp 27\n.options method=gear reltol=1e-5\n", row["id"]);
    if row["rect"] != "vac" {
        let _ = writeln!(deck, ".model D1 D(IS={} N={} RS={} CJO=100p)", row["d_is"], row["d_n"], row["d_r"]);
    }
    source(&mut deck, row);
    let count: usize = row["nnodes"].parse().expect("a number of nodes");
    // The run begins where the emf rises through zero, which is also where the library's period ends.
    let first = loaded.waveform.samples.last().map_or(0.0, |s| s.volts.get());
    for q in 1..=count {
        let volts = if q == 1 { first } else { loaded.nodes[q - 1].mean.get() };
        node(&mut deck, row, q, volts);
    }
    let period = 1.0 / figure(row, "f");
    let (step, end) = (period / STEPS, period * PERIODS);
    let _ = writeln!(deck, ".tran {step:e} {end:e} 0 {step:e} uic");
    let _ = writeln!(deck, ".meas tran mean AVG v(n{count}) from={:e} to={end:e}", end - period);
    deck.push_str(".end\n");
    deck
}

/// The mean that ngspice printed.
pub(crate) fn mean(said: &str) -> Option<f64> {
    let line = said.lines().find(|l| l.starts_with("mean"))?;
    line.split('=').nth(1)?.split_whitespace().next()?.parse().ok()
}

/// A rectifier from `anode` to `cathode`. A winding that floats between blocked rectifiers is held by a
/// little capacitance or conductance across them; it carries less than a microampere.
fn rectifier(deck: &mut String, row: &Row, name: &str, (anode, cathode): (&str, &str)) {
    if row["rect"] == "vac" {
        let k = &row["d_k"];
        let v = format!("v({anode},{cathode})");
        let _ = writeln!(deck, "B{name} {anode} {cathode} I = {v} > 0 ? {k}*{v}*sqrt({v}) : 0");
        let _ = writeln!(deck, "RG{name} {anode} {cathode} 1e10");
    } else {
        let _ = writeln!(deck, "D{name} {anode} {cathode} D1");
    }
}

/// A capacitor with its series resistance.
fn capacitor(deck: &mut String, name: &str, (plus, minus): (&str, &str), (farad, esr): (&str, &str), volts: f64) {
    let _ = writeln!(deck, "C{name} {plus} e{name} {farad} ic={volts}");
    let _ = writeln!(deck, "RE{name} e{name} {minus} {esr}");
}

/// Winding, source resistance and rectifiers; the output is node `k`.
fn source(deck: &mut String, row: &Row) {
    let crest = figure(row, "vrms") * SQRT_2;
    let (hertz, rs) = (&row["f"], &row["rs"]);
    match row["topo"].as_str() {
        "fwct" => {
            let _ = writeln!(deck, "V1 a 0 SIN(0 {crest} {hertz})\nV2 b 0 SIN(0 {} {hertz})", -crest);
            let _ = writeln!(deck, "RS1 a p {rs}\nRS2 b q {rs}");
            rectifier(deck, row, "1", ("p", "k"));
            rectifier(deck, row, "2", ("q", "k"));
        }
        "bridge" => {
            let _ = writeln!(deck, "V1 a q SIN(0 {crest} {hertz})\nRS1 a p {rs}");
            for (name, ends) in [("1", ("p", "k")), ("2", ("q", "k")), ("3", ("0", "p")), ("4", ("0", "q"))] {
                rectifier(deck, row, name, ends);
            }
        }
        "hw" => {
            let _ = writeln!(deck, "V1 a 0 SIN(0 {crest} {hertz})\nRS1 a p {rs}");
            rectifier(deck, row, "1", ("p", "k"));
        }
        // The two reservoirs in series are the first node's capacitor; the winding's cold end is between them.
        "dbl_fw" => {
            let _ = writeln!(deck, "V1 a m SIN(0 {crest} {hertz})\nRS1 a p {rs}");
            rectifier(deck, row, "1", ("p", "k"));
            rectifier(deck, row, "2", ("0", "p"));
        }
        "dbl_hw" => {
            let _ = writeln!(deck, "V1 a 0 SIN(0 {crest} {hertz})\nRS1 a p {rs}");
            capacitor(deck, "s", ("y", "p"), (&row["cs"], &row["esrs"]), figure(row, "vcs"));
            rectifier(deck, row, "1", ("y", "k"));
            rectifier(deck, row, "2", ("0", "y"));
        }
        other => panic!("{other}"),
    }
}

/// The series element into a node, its capacitor and its loads.
fn node(deck: &mut String, row: &Row, q: usize, volts: f64) {
    let before = if q == 1 { "k".to_owned() } else { format!("n{}", q - 1) };
    let cell = |name: &str| row[&format!("{name}{q}")].as_str();
    let _ = match cell("s") {
        "R" => writeln!(deck, "R{q} {before} n{q} {}", cell("r")),
        "L" => writeln!(deck, "R{q} {before} l{q} {}\nL{q} l{q} n{q} {} ic={}", cell("r"), cell("l"), cell("iser")),
        _ => writeln!(deck, "V{q}S {before} n{q} 0"),
    };
    let here = format!("n{q}");
    if q == 1 && row["topo"] == "dbl_fw" {
        capacitor(deck, "1a", (&here, "m"), (cell("c"), cell("esr")), volts / 2.0);
        capacitor(deck, "1b", ("m", "0"), (cell("c"), cell("esr")), volts / 2.0);
    } else {
        capacitor(deck, &q.to_string(), (&here, "0"), (cell("c"), cell("esr")), volts);
    }
    if figure(row, &format!("i{q}")) > 0.0 {
        let _ = writeln!(deck, "I{q} n{q} 0 {}", cell("i"));
    }
    if figure(row, &format!("rl{q}")) > 0.0 {
        let _ = writeln!(deck, "RL{q} n{q} 0 {}", cell("rl"));
    }
}
