//! What a supply is made of, and whether it can be computed at all.

use super::SupplyError;
use super::rectifier::Rectifier;
use crate::units::{Ampere, Farad, Henry, Hertz, Ohm, Volt};

/// The least series resistance that a capacitor is computed with, Ω; a smaller one is raised to it.
pub const LEAST_ESR_OHM: f64 = 1e-3;

/// More nodes than this in one supply are refused.
pub const MOST_NODES: usize = 24;

/// How the rectifiers stand between the winding and the first node.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Circuit {
    /// Two rectifiers, centre-tapped winding.
    CentreTap,
    /// Four rectifiers, plain winding.
    Bridge,
    /// One rectifier.
    HalfWave,
    /// Full-wave doubler: two rectifiers and two equal reservoirs in series, the winding to their
    /// midpoint. The capacitor of the first node is one of the two.
    Doubler,
    /// Half-wave doubler: series capacitor, shunt rectifier, series rectifier.
    DoublerHalfWave {
        /// The capacitor in series with the winding.
        series: Capacitor,
    },
}

/// A capacitor with its series resistance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Capacitor {
    /// Capacitance, above zero.
    pub farad: Farad,
    /// Equivalent series resistance, zero or more; at least [`LEAST_ESR_OHM`] is used.
    pub esr: Ohm,
}

/// What leads into a node from the one before it (for the first node: from the rectifier).
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Series {
    /// A wire.
    Direct,
    /// A dropper, zero or more.
    Resistor(Ohm),
    /// A choke; at the first node this makes a choke-input supply.
    Choke {
        /// Inductance at the working current, above zero.
        henry: Henry,
        /// Winding resistance, zero or more.
        dcr: Ohm,
    },
}

/// One node of the supply: what leads into it, what holds it up and what it feeds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Node {
    /// The element into the node.
    pub series: Series,
    /// The capacitance at the node; `None` where there is none (a mere joint).
    pub capacitor: Option<Capacitor>,
    /// What the valves draw from this node itself, zero or more; constant.
    pub load: Ampere,
    /// A bleeder or other resistive load, above zero.
    pub load_ohm: Option<Ohm>,
}

/// One rectifier and the nodes it feeds. A negative supply is the same circuit mirrored.
#[derive(Debug, Clone, PartialEq)]
pub struct Supply {
    /// The rectifier circuit.
    pub circuit: Circuit,
    /// Frequency of the mains.
    pub mains: Hertz,
    /// Open-circuit rms voltage of the winding; of one half of a centre-tapped one.
    pub winding: Volt,
    /// Source resistance per anode: the winding (one half), the primary reflected into it and any
    /// resistor in series with the anode.
    pub source: Ohm,
    /// The law of one rectifier.
    pub rectifier: Rectifier,
    /// The nodes from the rectifier on, at least one.
    pub nodes: Vec<Node>,
}

impl Supply {
    /// The crest of the winding's emf, V.
    pub(super) fn emf_crest_v(&self) -> f64 {
        self.winding.get() * std::f64::consts::SQRT_2
    }

    /// What an unloaded first node charges to, in crests of the emf.
    pub(super) fn multiple(&self) -> f64 {
        match self.circuit {
            Circuit::CentreTap | Circuit::Bridge | Circuit::HalfWave => 1.0,
            Circuit::Doubler | Circuit::DoublerHalfWave { .. } => 2.0,
        }
    }

    /// Whether a choke leads into the first node.
    pub fn is_choke_input(&self) -> bool {
        matches!(self.nodes.first().map(|node| node.series), Some(Series::Choke { .. }))
    }

    /// Whether any choke is fitted.
    pub(super) fn has_choke(&self) -> bool {
        self.nodes.iter().any(|node| matches!(node.series, Series::Choke { .. }))
    }

    /// Whether any node has a resistive load.
    pub(super) fn has_bleeder(&self) -> bool {
        self.nodes.iter().any(|node| node.load_ohm.is_some())
    }

    /// Whether any node has a capacitor.
    pub(super) fn has_capacitor(&self) -> bool {
        self.nodes.iter().any(|node| node.capacitor.is_some())
    }

    /// The same supply with its valves cold and the mains `high` times as high.
    pub(super) fn unloaded(&self, high: f64) -> Self {
        let nodes = self.nodes.iter().map(|node| Node { load: Ampere::ZERO, ..*node }).collect();
        Self { winding: self.winding * high, nodes, ..self.clone() }
    }

    /// Checks every figure against its range.
    pub(super) fn check(&self) -> Result<(), SupplyError> {
        if self.nodes.is_empty() || MOST_NODES < self.nodes.len() {
            return Err(SupplyError::Nodes { count: self.nodes.len() });
        }
        positive("mains frequency", None, self.mains.get())?;
        positive("winding voltage", None, self.winding.get())?;
        not_negative("source resistance", None, self.source.get())?;
        self.rectifier.check()?;
        if let Circuit::DoublerHalfWave { series } = self.circuit {
            series.check(None)?;
        }
        for (index, node) in self.nodes.iter().enumerate() {
            node.check(index)?;
        }
        self.check_reservoirs()
    }

    fn check_reservoirs(&self) -> Result<(), SupplyError> {
        if !matches!(self.circuit, Circuit::Doubler) {
            return Ok(());
        }
        match self.nodes.first() {
            Some(Node { series: Series::Direct, capacitor: Some(_), .. }) => Ok(()),
            _ => Err(SupplyError::DoublerWithoutReservoirs),
        }
    }
}

impl Capacitor {
    /// Series resistance as computed with, Ω.
    pub(super) fn esr_ohm(self) -> f64 {
        self.esr.get().max(LEAST_ESR_OHM)
    }

    fn check(self, node: Option<usize>) -> Result<(), SupplyError> {
        positive("capacitance", node, self.farad.get())?;
        not_negative("series resistance of a capacitor", node, self.esr.get())
    }
}

impl Node {
    /// What the node's own loads draw at a mean voltage, A.
    pub(super) fn draws_a(&self, mean_v: f64) -> f64 {
        self.load.get() + self.load_ohm.map_or(0.0, |ohm| mean_v / ohm.get())
    }

    fn check(&self, index: usize) -> Result<(), SupplyError> {
        let node = Some(index);
        match self.series {
            Series::Direct => {}
            Series::Resistor(ohm) => not_negative("series resistor", node, ohm.get())?,
            Series::Choke { henry, dcr } => {
                positive("inductance", node, henry.get())?;
                not_negative("resistance of a choke", node, dcr.get())?;
            }
        }
        if let Some(capacitor) = self.capacitor {
            capacitor.check(node)?;
        }
        not_negative("load current", node, self.load.get())?;
        self.load_ohm.map_or(Ok(()), |ohm| positive("load resistance", node, ohm.get()))
    }
}

/// Refuses anything that is not a finite number above zero.
pub(super) fn positive(what: &'static str, node: Option<usize>, value: f64) -> Result<(), SupplyError> {
    if value.is_finite() && 0.0 < value { Ok(()) } else { Err(SupplyError::OutOfRange { what, node, value }) }
}

/// Refuses anything that is not a finite number of zero or more.
pub(super) fn not_negative(what: &'static str, node: Option<usize>, value: f64) -> Result<(), SupplyError> {
    if value.is_finite() && 0.0 <= value { Ok(()) } else { Err(SupplyError::OutOfRange { what, node, value }) }
}
