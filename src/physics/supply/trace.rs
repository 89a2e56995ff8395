//! Everything recorded over one turn of the steady state.

use super::circuit::{Circuit, Supply};
use super::network::State;
use super::shooting::Orbit;

/// One node's waveforms, a sample per step.
#[derive(Debug, Clone, Default)]
pub(super) struct NodeTrace {
    pub(super) volt: Vec<f64>,
    pub(super) series_a: Vec<f64>,
    /// Current into the capacitor (full-wave doubler, first node: into the upper of the two).
    pub(super) cap_a: Vec<f64>,
}

/// One rectifier branch's waveforms.
#[derive(Debug, Clone, Default)]
pub(super) struct BranchTrace {
    pub(super) amp: Vec<f64>,
    /// Heat in one rectifier of the branch, W.
    pub(super) heat_w: Vec<f64>,
    /// Highest reverse voltage on one rectifier of the branch, V.
    pub(super) inverse_v: f64,
}

/// All waveforms over one turn.
#[derive(Debug, Clone, Default)]
pub(super) struct Trace {
    pub(super) nodes: Vec<NodeTrace>,
    pub(super) branches: [BranchTrace; 2],
    /// Voltage of the series capacitor of the half-wave doubler.
    pub(super) extra_v: Vec<f64>,
}

/// Marches once round from `state`.
pub(super) fn record(supply: &Supply, orbit: &mut Orbit, mut state: State) -> Trace {
    let mut trace = Trace { nodes: vec![NodeTrace::default(); supply.nodes.len()], ..Trace::default() };
    for index in 0..orbit.steps() {
        let mut nodes = trace.nodes.iter_mut();
        let met = orbit.march.step(f64::from(index), &mut state, &mut [], |at| {
            if let Some(node) = nodes.next() {
                node.volt.push(at.volt);
                node.series_a.push(at.series_a);
                node.cap_a.push(at.cap_a);
            }
        });
        let across_v = orbit.march.network().pair().across(met.drive_v, &met.flow);
        let met = met.flow.amp.into_iter().zip(across_v);
        for (branch, (amp, volt)) in trace.branches.iter_mut().zip(met) {
            branch.amp.push(amp);
            branch.heat_w.push(amp * volt.max(0.0));
            branch.inverse_v = branch.inverse_v.max(-volt);
        }
        trace.extra_v.extend(state.extra.first());
    }
    if matches!(supply.circuit, Circuit::Doubler) {
        trace.correct_reservoir();
    }
    trace
}

impl Trace {
    /// The doubler's reservoirs are not part of the ladder: the upper one takes what the ladder leaves.
    fn correct_reservoir(&mut self) {
        let [upper, _] = &self.branches;
        if let Some(node) = self.nodes.first_mut() {
            let left = upper.amp.iter().zip(&node.series_a).map(|(branch, ladder)| branch - ladder);
            node.cap_a = left.collect();
        }
    }
}
