//! The supply at switch-on: valves cold and drawing nothing, bleeders there, the rectifier hot.

use super::SupplyError;
use super::circuit::{Circuit, Supply};
use super::loaded::steady;
use super::network::{Network, State};
use super::step::March;
use super::wave;
use crate::units::{Ampere, Volt};

/// Steps per mains period in the switch-on transient.
const STEPS: u32 = 128;

/// Length of the transient: at least, at most, s.
const LEAST_S: f64 = 1.0;
const MOST_S: f64 = 3.0;

/// A stage so short that every capacitor is its series resistance and every choke is open.
const INSTANT_S: f64 = 1e-12;

/// A supply before its valves draw.
#[derive(Debug, Clone, PartialEq)]
pub struct Cold {
    /// The nodes, in the order of the supply.
    pub nodes: Vec<ColdNode>,
    /// Highest current of one rectifier when switched on hot with everything discharged.
    pub surge: Ampere,
    /// Highest reverse voltage on one rectifier, from the highest voltages.
    pub inverse: Volt,
}

/// A node before the valves draw.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ColdNode {
    /// Crest of the steady state without the valves' loads.
    pub no_load: Volt,
    /// The most that can be there, the switch-on transient included.
    pub highest: Volt,
}

/// Computes the supply with no valve drawing, the mains `high` times the voltage that the winding voltage stands
/// for (1.1: ten percent high). Bleeders stay.
///
/// # Errors
/// A figure out of its range (`high` included).
pub fn solve_cold(supply: &Supply, high: f64) -> Result<Cold, SupplyError> {
    supply.check()?;
    super::circuit::positive("head-room of the mains", None, high)?;
    let supply = supply.unloaded(high);
    let no_load = no_load(&supply)?;
    let switched = switch_on(&supply);
    let nodes: Vec<ColdNode> = no_load
        .iter()
        .zip(&switched.highest_v)
        .map(|(&steady, &transient)| ColdNode { no_load: Volt::new(steady), highest: Volt::new(steady.max(transient)) })
        .collect();
    let first = nodes.first().map_or(Volt::ZERO, |node| node.highest);
    Ok(Cold {
        nodes,
        surge: Ampere::new(switched.surge_a.max(instant_surge(&supply))),
        inverse: inverse(&supply, first),
    })
}

/// Crest of each node in the steady state without load, V.
fn no_load(supply: &Supply) -> Result<Vec<f64>, SupplyError> {
    if !supply.has_bleeder() {
        // Nothing draws, so that everything stands at the crest; no rectifier drop is credited.
        return Ok(vec![supply.emf_crest_v() * supply.multiple(); supply.nodes.len()]);
    }
    Ok(steady(supply)?.nodes.iter().map(|node| wave::highest(&node.volt)).collect())
}

/// The reverse voltage on one rectifier when the first node stands at `first` and the emf is at its other crest.
pub(super) fn inverse(supply: &Supply, first: Volt) -> Volt {
    let crest = Volt::new(supply.emf_crest_v());
    match supply.circuit {
        Circuit::CentreTap | Circuit::HalfWave => first + crest,
        Circuit::Bridge => first.max(crest),
        Circuit::Doubler => first / 2.0 + crest,
        Circuit::DoublerHalfWave { .. } => first.max(crest * 2.0),
    }
}

/// The surge into discharged capacitors when the mains closes at its crest: a static equation.
fn instant_surge(supply: &Supply) -> f64 {
    if !supply.has_capacitor() && !supply.has_bleeder() {
        return 0.0;
    }
    let crest_v = supply.emf_crest_v();
    let mut work = vec![0.0; supply.nodes.len()];
    let network = Network::new(supply, INSTANT_S);
    let mut surge = |emf_v: f64| {
        let mut state = State::zero(supply.nodes.len());
        let met = network.stage(&mut state, emf_v, &mut work, |_| ());
        met.flow.amp.iter().fold(0.0_f64, |most, amp| most.max(*amp))
    };
    surge(crest_v).max(surge(-crest_v))
}

/// What the transients reached.
struct Switched {
    highest_v: Vec<f64>,
    surge_a: f64,
}

/// Switches on from discharged. Without chokes nothing can overshoot: a network of resistors, capacitors and rectifiers keeps
/// two states in order, so that the one that starts lower never rises above the steady one.
fn switch_on(supply: &Supply) -> Switched {
    let mut switched = Switched { highest_v: vec![0.0; supply.nodes.len()], surge_a: 0.0 };
    if !supply.has_choke() || !(supply.has_capacitor() || supply.has_bleeder()) {
        return switched;
    }
    let angles: &[f64] = match supply.circuit {
        Circuit::DoublerHalfWave { .. } => &[0.0, 0.25, 0.75],
        _ => &[0.0, 0.25],
    };
    for turns in angles {
        switched.transient(supply, *turns);
    }
    switched
}

/// How long a transient is followed: well past the first half swing of everything in series, s.
fn duration_s(supply: &Supply) -> f64 {
    let (mut farad, mut henry) = (0.0, 0.0);
    for node in &supply.nodes {
        farad += node.capacitor.map_or(0.0, |part| part.farad.get());
        if let super::circuit::Series::Choke { henry: choke, .. } = node.series {
            henry += choke.get();
        }
    }
    (1.5 * std::f64::consts::PI * (farad * henry).sqrt()).clamp(LEAST_S, MOST_S)
}

impl Switched {
    fn transient(&mut self, supply: &Supply, turns: f64) {
        let step_s = 1.0 / (supply.mains.get() * f64::from(STEPS));
        let mut march = March::new(supply, step_s, turns * std::f64::consts::TAU);
        let mut state = State::zero(supply.nodes.len());
        let last = duration_s(supply) / step_s;
        let mut recent = vec![[0.0; 2]; supply.nodes.len()];
        let mut index = 0.0;
        while index < last {
            let mut nodes = recent.iter_mut().zip(&mut self.highest_v);
            let met = march.step(index, &mut state, &mut [], |at| {
                if let Some((recent, highest)) = nodes.next() {
                    watch(recent, highest, at.volt);
                }
            });
            self.surge_a = met.flow.amp.iter().fold(self.surge_a, |most, amp| most.max(*amp));
            index += 1.0;
        }
    }
}

/// Raises `highest` to the top of the parabola wherever the middle of the last three samples is a maximum.
fn watch(recent: &mut [f64; 2], highest: &mut f64, volt: f64) {
    let [before, middle] = *recent;
    if before <= middle && volt <= middle && *highest < middle {
        *highest = highest.max(wave::vertex(before, middle, volt));
    }
    *highest = highest.max(volt);
    *recent = [middle, volt];
}
