//! The supplies on the screen: the ladder node by node, then the rectifier, then what is doubtful.

use super::block::{Align, Block, Cell, Column, Table};
use super::inspect_screen::closing;
use crate::model::plan::Inspection;
use crate::model::supply::{Conducting, NodeFigures, SupplyFigures};
use crate::units::Ampere;

/// How good the model is, said once.
const HOW_GOOD: &str = "Three figures are shown; the model is good to about 3 %, from the shape of the mains, \
                        leakage inductance and spread of the rectifier. Voltages are to the supply's return.";

/// Writes the supplies of one job.
pub fn blocks(inspection: &Inspection) -> Vec<Block> {
    let mut blocks = vec![Block::Title(inspection.chassis.clone(), "the supplies, computed".to_owned())];
    for outcome in &inspection.supplies {
        match outcome {
            Ok(figures) => blocks.extend(supply(figures)),
            Err(unproved) => {
                blocks.push(Block::Heading(format!("{}: UNPROVED", unproved.name)));
                blocks.push(Block::Text(format!(
                    "{}. Without it only \"not below the original rating\" is checked.",
                    unproved.says
                )));
            }
        }
    }
    if inspection.supplies.is_empty() {
        blocks.push(Block::Text("No supply is described in chassis.toml: add [[ht]] and its nodes.".to_owned()));
    } else {
        blocks.push(Block::Text(HOW_GOOD.to_owned()));
    }
    blocks.extend(closing(inspection, false));
    blocks
}

fn supply(figures: &SupplyFigures) -> Vec<Block> {
    let conduction = match figures.conducting {
        Conducting::Pulsed => "conducts in pulses",
        Conducting::Continuous => "conducts all the time",
    };
    let head = format!("{} ({}, {}, {}, {conduction})", figures.name, figures.circuit, figures.polarity, figures.hz);
    let mut blocks = vec![Block::Heading(head), Block::Table(ladder(figures)), Block::Table(capacitors(figures))];
    let r = &figures.rectifier;
    blocks.push(Block::Text(format!(
        "rectifier, each: peak {}, mean {}, rms {}, {} lost; surge {} switched on hot; {} reverse; winding {} rms",
        r.peak, r.average, r.rms, r.watts, r.surge, r.inverse, r.winding_rms
    )));
    let warnings: Vec<String> =
        r.warnings.iter().map(|w| format!("{}: {}", if w.near { "NEAR" } else { "LIMIT" }, w.says)).collect();
    if !warnings.is_empty() {
        blocks.push(Block::List(warnings));
    }
    blocks
}

/// Currents below this say nothing at a bench: in a symmetrical circuit they are only the arithmetic's rest.
const LEAST_SHOWN: Ampere = Ampere::new(1e-6);

/// A ripple current, or that there is next to none.
fn current(ampere: Ampere) -> String {
    if ampere < LEAST_SHOWN { format!("< {LEAST_SHOWN}") } else { ampere.to_string() }
}

fn column(head: &str) -> Column {
    Column { head: head.to_owned(), align: Align::Right }
}

fn ladder(figures: &SupplyFigures) -> Table {
    let columns = vec![
        Column::text("Node"),
        column("Loaded"),
        column("Measured"),
        column("Ripple p-p"),
        column("No load"),
        column("Highest"),
        column("Fed with"),
        column("Lost in feed"),
    ];
    let row = |n: &NodeFigures| {
        vec![
            Cell::text(n.name.to_string()),
            Cell::text(n.volts.to_string()),
            Cell::text(n.measured.map(|m| m.to_string()).unwrap_or_default()),
            Cell::text(n.ripple_pp.to_string()),
            Cell::text(n.no_load.to_string()),
            Cell::text(n.highest.to_string()),
            Cell::text(n.series.map(|s| s.to_string()).unwrap_or_default()),
            Cell::text(n.series_watts.map(|w| w.to_string()).unwrap_or_default()),
        ]
    };
    Table { columns, rows: figures.nodes.iter().map(row).collect(), total: None }
}

fn capacitors(figures: &SupplyFigures) -> Table {
    let columns = vec![
        Column::text("Capacitor"),
        Column::text("At"),
        column("Ripple"),
        column(&format!("at {}", figures.hz)),
        column(&format!("at {}", figures.hz * 2.0)),
        column("rest"),
        column("ESR"),
    ];
    let rows = figures.nodes.iter().flat_map(|n| n.capacitors.iter().map(move |c| (n, c))).map(|(n, c)| {
        vec![
            Cell::text(c.reference.clone()),
            Cell::text(n.name.to_string()),
            Cell::text(current(c.ripple.total)),
            Cell::text(current(c.ripple.at_f)),
            Cell::text(current(c.ripple.at_2f)),
            Cell::text(current(c.ripple.rest)),
            Cell::text(format!("{}{}", c.esr, if c.esr_assumed { " assumed" } else { "" })),
        ]
    });
    Table { columns, rows: rows.collect(), total: None }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_current_that_is_only_rounding_is_not_shown_as_a_figure() {
        assert_eq!(current(Ampere::new(6.07e-15)), "< 1 µA");
        assert_eq!(current(Ampere::new(22.9e-6)), "22.9 µA");
    }
}
