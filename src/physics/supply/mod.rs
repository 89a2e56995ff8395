//! The HT supply of a valve chassis: rectifier and filter, loaded and at switch-on.
//!
//! The method in one breath: a linear ladder and one nonlinear element, stepped implicitly, closed over one period by
//! shooting. It is explained in `docs/supply-method.md`. Reading order of the files: `circuit`, `rectifier`; `ladder`,
//! `branches`, `network` (one stage); `step`, `shooting` (the steady state); `trace`, `figures`, `loaded`, `cold`; `formulas`
//! and `warnings` stand for themselves.

mod branches;
mod circuit;
mod cold;
mod energy;
mod figures;
mod formulas;
mod ladder;
mod linear;
mod loaded;
mod network;
mod rectifier;
mod shooting;
mod start;
mod step;
mod trace;
mod warnings;
mod wave;

use crate::units::Volt;

pub use circuit::{Capacitor, Circuit, LEAST_ESR_OHM, MOST_NODES, Node, Series, Supply};
pub use cold::{Cold, ColdNode, solve_cold};
pub use formulas::{Wave, choke_input_mean, choke_input_ripple_factor, critical_inductance, endless_capacitor_output};
pub use loaded::{
    CapacitorLoad, Conduction, Loaded, NodeLoad, RectifierLoad, Sample, SeriesLoad, Waveform, solve_loaded,
};
pub use rectifier::{Rectifier, perveance_from_drop};
pub use warnings::{RectifierLimits, Warning, WarningKind, warnings};

/// Why a supply has no figures. Nodes are counted from 0, in the order of the supply.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum SupplyError {
    /// No node, or more than [`MOST_NODES`].
    #[error("a supply needs 1 to {MOST_NODES} nodes, got {count}")]
    Nodes {
        /// How many there are.
        count: usize,
    },
    /// A figure outside its range.
    #[error("{what} must be a finite number in its range, got {value}")]
    OutOfRange {
        /// Which figure.
        what: &'static str,
        /// The node it belongs to.
        node: Option<usize>,
        /// The figure, SI.
        value: f64,
    },
    /// A full-wave doubler whose first node is not a capacitor straight from the rectifiers.
    #[error("a full-wave doubler needs its two reservoirs at the first node, straight from the rectifiers")]
    DoublerWithoutReservoirs,
    /// No capacitor and no resistive load anywhere, yet constant loads: between the crests nothing sets a voltage.
    #[error("neither a capacitor nor a resistive load holds the voltage under the constant loads")]
    NothingHoldsVoltage,
    /// The stated loads pull a node to zero or below: its dropper (at the first node the source or the series
    /// capacitor) is too much for the load.
    #[error("what leads into the node is too large for the load: its mean voltage would be {mean}")]
    Collapsed {
        /// The first such node.
        node: usize,
        /// The mean voltage that the linear loads would ask for (at best), zero or less.
        mean: Volt,
    },
    /// The search for the steady state did not settle; no supply is known that does this.
    #[error("the search for the steady state did not settle")]
    NotSettled,
}
