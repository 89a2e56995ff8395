//! The computed figures of one supply, as every document shows them.

use super::chassis::{Circuit, Polarity};
use super::finding::RippleStress;
use super::part::NodeName;
use crate::units::{Ampere, Farad, Hertz, Ohm, Volt, Watt};

/// Whether the rectifier conducts in pulses or all the time (choke input above its critical value).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Conducting {
    /// In pulses.
    Pulsed,
    /// Continuously.
    Continuous,
}

/// A limit of the supply that is reached or nearly so.
#[derive(Debug, Clone, PartialEq)]
pub struct SupplyWarning {
    /// Short id: `first-capacitor`, `source-resistance`, `average`, `peak`, `surge`, `choke`, `dropper`,
    /// `measured-differs`, `winding`.
    pub id: &'static str,
    /// In words, with figures.
    pub says: String,
    /// Below the limit, but within a tenth of it.
    pub near: bool,
    /// The node that it is about, where it is about one.
    pub node: Option<NodeName>,
    /// The figure, in `unit`; for `measured-differs` the measured one.
    pub value: f64,
    /// What it is held against, in `unit`; for `measured-differs` the computed figure.
    pub limit: f64,
    /// Unit of both.
    pub unit: &'static str,
}

/// What the rectifier carries.
#[derive(Debug, Clone, PartialEq)]
pub struct RectifierFigures {
    /// Repetitive peak of one anode.
    pub peak: Ampere,
    /// Mean of one anode.
    pub average: Ampere,
    /// Rms of one anode.
    pub rms: Ampere,
    /// Mean power lost in one anode.
    pub watts: Watt,
    /// Rms in the winding (one half of a centre-tapped one).
    pub winding_rms: Ampere,
    /// Highest single-anode current of a hot switch-on.
    pub surge: Ampere,
    /// Peak inverse voltage of one anode.
    pub inverse: Volt,
    /// Largest first capacitor by the chassis sheet or the shop's table, where either says.
    pub max_first: Option<Farad>,
    /// Limits reached.
    pub warnings: Vec<SupplyWarning>,
}

/// One capacitor's share of the ripple.
#[derive(Debug, Clone, PartialEq)]
pub struct CapacitorFigures {
    /// Reference.
    pub reference: String,
    /// Ripple current.
    pub ripple: RippleStress,
    /// Whether its series resistance was assumed from the loss-factor limit.
    pub esr_assumed: bool,
    /// Series resistance used.
    pub esr: Ohm,
}

/// One node.
#[derive(Debug, Clone, PartialEq)]
pub struct NodeFigures {
    /// Name.
    pub name: NodeName,
    /// Mean, loaded.
    pub volts: Volt,
    /// Crest, loaded.
    pub crest: Volt,
    /// Ripple, peak to peak.
    pub ripple_pp: Volt,
    /// Ripple, rms.
    pub ripple_rms: Volt,
    /// Mean current in the series element; `None` at a node straight from the rectifier.
    pub series: Option<Ampere>,
    /// Power in the series element's resistance.
    pub series_watts: Option<Watt>,
    /// Steady voltage with no valve drawing.
    pub no_load: Volt,
    /// The most that can be there, switch-on transient included.
    pub highest: Volt,
    /// Measured voltage, where there is one.
    pub measured: Option<Volt>,
    /// Capacitors from this node to the return.
    pub capacitors: Vec<CapacitorFigures>,
}

/// One supply, computed.
#[derive(Debug, Clone, PartialEq)]
pub struct SupplyFigures {
    /// Name.
    pub name: String,
    /// Circuit.
    pub circuit: Circuit,
    /// Polarity.
    pub polarity: Polarity,
    /// Mains frequency.
    pub hz: Hertz,
    /// Conduction.
    pub conducting: Conducting,
    /// Rectifier.
    pub rectifier: RectifierFigures,
    /// Nodes from the rectifier on.
    pub nodes: Vec<NodeFigures>,
    /// Voltage at the reservoir over two mains periods, evenly spaced samples.
    pub reservoir_wave: Vec<Volt>,
    /// What was assumed, as printed.
    pub assumed: Vec<String>,
}

/// A supply that could not be computed, and why.
#[derive(Debug, Clone, PartialEq)]
pub struct SupplyUnproved {
    /// Name of the supply.
    pub name: String,
    /// Why, in words.
    pub says: String,
    /// Whether the sheet contradicts itself (a collapsed supply), as against lacking data.
    pub fault: bool,
}

/// Outcome for one supply.
pub type SupplyOutcome = Result<SupplyFigures, SupplyUnproved>;
