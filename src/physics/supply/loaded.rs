//! The supply at work: the periodic steady state and its figures.

use super::SupplyError;
use super::circuit::Supply;
use super::figures::{figures, idle};
use super::shooting::{Orbit, repeats_in_half};
use super::start::{direct_current, guess};
use super::trace::{Trace, record};
use super::wave;
use crate::units::{Ampere, Second, Volt, Watt};

/// Steps per mains period in the first search, and in its second attempt.
const COARSE: u32 = 128;
const LESS_COARSE: u32 = 1024;

/// Steps per mains period for the figures: more where the pulses are too steep for the few.
const FINE: [u32; 3] = [1024, 4096, 16384];

/// The figures are good when what the rectifiers deliver is what the loads draw, to this part. The integration itself
/// balances exactly; what can be off is the sum over the samples.
const BALANCED: f64 = 2e-4;

/// A loaded supply.
#[derive(Debug, Clone, PartialEq)]
pub struct Loaded {
    /// Whether current flows all the time.
    pub conduction: Conduction,
    /// One rectifier; in the half-wave doubler the one in series with the output.
    pub rectifier: RectifierLoad,
    /// The other rectifier of the half-wave doubler, across the winding and its series capacitor.
    pub shunt_rectifier: Option<RectifierLoad>,
    /// The supply's direct current: what all rectifiers deliver together.
    pub output: Ampere,
    /// Rms current of the winding (of one half, where it is centre-tapped).
    pub winding_rms: Ampere,
    /// The nodes, in the order of the supply.
    pub nodes: Vec<NodeLoad>,
    /// The series capacitor of the half-wave doubler.
    pub series_capacitor: Option<CapacitorLoad>,
    /// The first node over one mains period.
    pub waveform: Waveform,
}

/// How the rectifiers pass current.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Conduction {
    /// In pulses, with gaps.
    Pulsed,
    /// Without a gap, as above the critical inductance of a choke-input supply.
    Continuous,
    /// Not at all: nothing draws current.
    None,
}

/// What one rectifier (one anode, one diode) carries.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct RectifierLoad {
    /// Highest current in the steady state.
    pub peak: Ampere,
    /// Mean current.
    pub average: Ampere,
    /// Rms current.
    pub rms: Ampere,
    /// Heat in the rectifier.
    pub power: Watt,
    /// Highest reverse voltage in the steady state.
    pub inverse: Volt,
}

/// A node at work.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct NodeLoad {
    /// Mean voltage.
    pub mean: Volt,
    /// Highest voltage.
    pub crest: Volt,
    /// Lowest voltage; below zero means that the loads cannot be what was stated.
    pub trough: Volt,
    /// Ripple, peak to peak.
    pub ripple_pp: Volt,
    /// Ripple, rms of the alternating part.
    pub ripple_rms: Volt,
    /// The element into the node.
    pub series: SeriesLoad,
    /// The capacitor at the node (full-wave doubler, first node: one of the two).
    pub capacitor: Option<CapacitorLoad>,
}

/// The element into a node at work.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct SeriesLoad {
    /// Mean current.
    pub mean: Ampere,
    /// Rms current, the direct part included.
    pub rms: Ampere,
    /// Least current in a period.
    pub least: Ampere,
    /// Heat in its resistance.
    pub power: Watt,
}

/// A capacitor at work.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct CapacitorLoad {
    /// Mean voltage across it.
    pub mean: Volt,
    /// Rms current.
    pub total: Ampere,
    /// Rms of the part at the mains frequency.
    pub at_mains: Ampere,
    /// Rms of the part at twice the mains frequency.
    pub at_twice: Ampere,
    /// Rms of all the rest.
    pub rest: Ampere,
}

/// Samples over one mains period from the emf's rise through zero, equally spaced.
#[derive(Debug, Clone, PartialEq)]
pub struct Waveform {
    /// The mains period.
    pub period: Second,
    /// The samples; the first is one spacing after the start, the last at the end.
    pub samples: Vec<Sample>,
}

/// One instant at the first node.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sample {
    /// Voltage of the first node.
    pub volts: Volt,
    /// Current of all rectifiers together.
    pub current: Ampere,
}

/// Computes the loaded supply at the mains voltage that its winding voltage stands for.
///
/// # Errors
/// A figure out of its range, a supply with nothing to hold its voltage, or a load that pulls a node's mean
/// voltage to zero ([`SupplyError::Collapsed`]).
pub fn solve_loaded(supply: &Supply) -> Result<Loaded, SupplyError> {
    supply.check()?;
    let crest_v = supply.emf_crest_v() * supply.multiple();
    let direct = direct_current(supply, crest_v);
    refuse_collapsed(direct.iter().map(|at| at.volt))?;
    let draws = supply.nodes.iter().any(|node| 0.0 < node.load.get());
    if !draws && !supply.has_bleeder() {
        return Ok(idle(supply, crest_v));
    }
    if !supply.has_capacitor() && !supply.has_bleeder() {
        return Err(SupplyError::NothingHoldsVoltage);
    }
    let trace = steady(supply)?;
    refuse_collapsed(trace.nodes.iter().map(|node| wave::mean(&node.volt)))?;
    Ok(figures(supply, &trace))
}

fn refuse_collapsed(volts: impl Iterator<Item = f64>) -> Result<(), SupplyError> {
    match volts.enumerate().find(|(_, volt)| *volt <= 0.0) {
        Some((node, volt)) => Err(SupplyError::Collapsed { node, mean: Volt::new(volt) }),
        None => Ok(()),
    }
}

/// The steady state, searched in few steps first and then in as many as its pulses need.
pub(super) fn steady(supply: &Supply) -> Result<Trace, SupplyError> {
    let first = Orbit::new(supply, COARSE).close(guess(supply));
    let near = first.or_else(|_| Orbit::new(supply, LESS_COARSE).close(guess(supply)))?;
    let mut trace = Trace::default();
    for per_mains_period in FINE {
        let mut orbit = Orbit::new(supply, per_mains_period);
        let state = orbit.close_again(&near)?;
        trace = record(supply, &mut orbit, state);
        if unbalance(supply, &trace) <= BALANCED {
            break;
        }
    }
    Ok(trace)
}

/// How far the current into the ladder is from what its loads draw, relative to that.
fn unbalance(supply: &Supply, trace: &Trace) -> f64 {
    let loads = supply.nodes.iter().zip(&trace.nodes);
    let drawn_a: f64 = loads.map(|(node, waves)| node.draws_a(wave::mean(&waves.volt))).sum();
    let [upper, lower] = trace.branches.each_ref().map(|branch| wave::mean(&branch.amp));
    let given_a = if repeats_in_half(supply) { upper + lower } else { upper };
    ((given_a - drawn_a) / drawn_a).abs()
}
