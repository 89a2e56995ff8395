//! What a rectifier's sheet allows, and where a computed supply goes beyond it.

use super::SupplyError;
use super::circuit::{Circuit, Series, Supply};
use super::cold::Cold;
use super::formulas::{choke_input_mean, critical_inductance};
use super::loaded::{Conduction, Loaded};
use crate::units::{Ampere, Farad, Ohm, Volt};

/// Computed peaks within this part of their limit are amber. The model's peaks are good to about ten percent:
/// real mains are flat-topped and real transformers have leakage, both of which it leaves out.
const AMBER: f64 = 0.9;

/// Limits are compared with this much grace, so that a value equal to its limit but for rounding is not above it.
const GRACE: f64 = 1e-9;

/// The limits of one rectifier type; what is not known is not checked.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct RectifierLimits {
    /// Largest first capacitor.
    pub max_first: Option<Farad>,
    /// Highest steady peak current per anode.
    pub max_peak: Option<Ampere>,
    /// Highest switch-on current per anode.
    pub max_surge: Option<Ampere>,
    /// Largest direct current of the whole rectifier (for a double valve of both anodes together).
    pub max_average: Option<Ampere>,
    /// Least source resistance per anode at rms winding voltages per anode, in any order; capacitor input only.
    pub min_source: Vec<(Volt, Ohm)>,
    /// Highest rms winding voltage per anode with capacitor input.
    pub max_winding: Option<Volt>,
}

impl RectifierLimits {
    /// The least source resistance at a winding voltage, straight lines between the points of the table. Below the
    /// first point its resistance holds, above the last the line of the last two goes on.
    pub fn min_source_at(&self, winding: Volt) -> Option<Ohm> {
        let mut points = self.min_source.clone();
        points.sort_by(|(a, _), (b, _)| a.get().total_cmp(&b.get()));
        let (first, last) = (points.first()?, points.last()?);
        if winding <= first.0 {
            return Some(first.1);
        }
        let within = points.array_windows().find(|[_, (volt, _)]| winding <= *volt);
        let Some([(low, from), (high, to)]) = within.or(points.array_windows().last()) else { return Some(last.1) };
        let share = (winding - *low) / (*high - *low);
        Some(if share.is_finite() { *from + (*to - *from) * share } else { last.1 })
    }
}

/// What a warning is about. Nodes are counted from 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WarningKind {
    /// The first capacitor is larger than the rectifier may be given.
    ReservoirTooLarge,
    /// The source resistance is lower than the rectifier needs.
    SourceTooLow,
    /// The winding voltage is higher than the rectifier may be given with capacitor input.
    WindingTooHigh,
    /// The direct current is higher than the rectifier may carry.
    AverageTooHigh,
    /// The steady peak current is too high.
    PeakTooHigh,
    /// The current at switch-on is too high.
    SurgeTooHigh,
    /// The input choke is below the critical inductance at this load: the voltage rises above the choke-input value.
    ChokeBelowCritical,
    /// The dropper into the node (or the source) is too large for the load; there are no other figures.
    DropperTooLarge {
        /// The node.
        node: usize,
    },
    /// The node's voltage falls below zero in every period: its load cannot be a constant current, or its capacitor
    /// is missing.
    FallsBelowZero {
        /// The node.
        node: usize,
    },
}

impl WarningKind {
    /// The SI unit of the warning's value and limit.
    pub fn unit(self) -> &'static str {
        match self {
            Self::ReservoirTooLarge => "F",
            Self::SourceTooLow => "ohm",
            Self::AverageTooHigh | Self::PeakTooHigh | Self::SurgeTooHigh => "A",
            Self::ChokeBelowCritical => "H",
            Self::WindingTooHigh | Self::DropperTooLarge { .. } | Self::FallsBelowZero { .. } => "V",
        }
    }
}

/// One warning.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Warning {
    /// What it is about.
    pub kind: WarningKind,
    /// The figure, in the SI unit of its kind.
    pub value_si: f64,
    /// Its limit, likewise.
    pub limit_si: f64,
    /// Near the limit rather than beyond it.
    pub amber: bool,
}

/// All warnings of a supply, in a fixed order. `loaded` and `cold` are what was computed of it; what could not be
/// computed for another reason than a collapse is not judged.
pub fn warnings(
    supply: &Supply,
    loaded: Result<&Loaded, &SupplyError>,
    cold: Option<&Cold>,
    limits: &RectifierLimits,
) -> Vec<Warning> {
    let mut found = Vec::new();
    if !supply.is_choke_input() {
        found.extend(capacitor_input(supply, limits));
    }
    match loaded {
        Ok(loaded) => {
            let rectifier = loaded.rectifier;
            found.extend(above(WarningKind::AverageTooHigh, loaded.output.get(), limits.max_average.map(Ampere::get)));
            found.extend(near(WarningKind::PeakTooHigh, rectifier.peak.get(), limits.max_peak.map(Ampere::get)));
            found.extend(choke(supply, loaded));
            found.extend(below_zero(loaded));
        }
        Err(&SupplyError::Collapsed { node, mean }) => {
            let kind = WarningKind::DropperTooLarge { node };
            found.push(Warning { kind, value_si: mean.get(), limit_si: 0.0, amber: false });
        }
        Err(_) => {}
    }
    let surge =
        cold.and_then(|cold| near(WarningKind::SurgeTooHigh, cold.surge.get(), limits.max_surge.map(Ampere::get)));
    found.extend(surge);
    found
}

/// What concerns capacitor input only.
fn capacitor_input(supply: &Supply, limits: &RectifierLimits) -> Vec<Warning> {
    let first = supply.nodes.first().and_then(|node| node.capacitor).map_or(0.0, |part| part.farad.get());
    let mut found = Vec::new();
    found.extend(above(WarningKind::ReservoirTooLarge, first, limits.max_first.map(Farad::get)));
    let source = supply.source.get();
    let least = limits.min_source_at(supply.winding).map(Ohm::get).filter(|least| source < least * (1.0 - GRACE));
    found.extend(least.map(|limit_si| Warning {
        kind: WarningKind::SourceTooLow,
        value_si: source,
        limit_si,
        amber: false,
    }));
    found.extend(above(WarningKind::WindingTooHigh, supply.winding.get(), limits.max_winding.map(Volt::get)));
    found
}

/// A warning where the value is above the limit.
fn above(kind: WarningKind, value_si: f64, limit: Option<f64>) -> Option<Warning> {
    let limit_si = limit?;
    (limit_si * (1.0 + GRACE) < value_si).then_some(Warning { kind, value_si, limit_si, amber: false })
}

/// A warning where the value is near the limit or beyond it.
fn near(kind: WarningKind, value_si: f64, limit: Option<f64>) -> Option<Warning> {
    let limit_si = limit?;
    (AMBER * limit_si <= value_si).then_some(Warning { kind, value_si, limit_si, amber: value_si < limit_si })
}

/// An input choke whose current stops in every half period. Its limit counts the drops in the source and the rectifier to
/// the load, since they share the mean voltage of the rectified emf. Half-wave circuits have no critical inductance, and a
/// supply without load has no finite one: its no-load voltage says all.
fn choke(supply: &Supply, loaded: &Loaded) -> Option<Warning> {
    let Series::Choke { henry, .. } = supply.nodes.first()?.series else { return None };
    let full_wave = matches!(supply.circuit, Circuit::CentreTap | Circuit::Bridge);
    if !full_wave || loaded.conduction != Conduction::Pulsed {
        return None;
    }
    let load = choke_input_mean(Volt::new(supply.emf_crest_v())) / loaded.output;
    let limit_si = critical_inductance(load, supply.mains).get();
    Some(Warning { kind: WarningKind::ChokeBelowCritical, value_si: henry.get(), limit_si, amber: false })
}

fn below_zero(loaded: &Loaded) -> impl Iterator<Item = Warning> + '_ {
    let low = loaded.nodes.iter().enumerate().filter(|(_, load)| load.trough < Volt::ZERO);
    low.map(|(node, load)| Warning {
        kind: WarningKind::FallsBelowZero { node },
        value_si: load.trough.get(),
        limit_si: 0.0,
        amber: false,
    })
}
