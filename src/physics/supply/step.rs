//! One step in time: a two-stage diagonally implicit Runge-Kutta rule of second order, L-stable.
//!
//! With `g = 1 - 1/√2` both stages are implicit Euler steps of length `g·h`; the second starts from
//! `x + ((1 - g)/g)·(x1 - x)` and ends at the end of the step (R. Alexander, SIAM J. Numer. Anal. 14, 1977: from memory).
//! L-stability matters: ahead of a choke the trapezoidal rule rings for ever once the rectifier has opened.

use super::circuit::Supply;
use super::ladder::AtNode;
use super::network::{Met, Network, State};

/// Length of a stage, in steps.
const STAGE: f64 = 1.0 - std::f64::consts::FRAC_1_SQRT_2;

/// How far the second stage's start lies beyond the first stage's end.
const STRETCH: f64 = (1.0 - STAGE) / STAGE;

/// A supply with its step length, ready to be marched.
#[derive(Debug)]
pub(super) struct March {
    network: Network,
    step_s: f64,
    crest_v: f64,
    turn_rad_per_s: f64,
    /// Angle of the emf at the start, rad.
    angle_rad: f64,
    sources: Vec<f64>,
    start: State,
}

impl March {
    /// Steps of `step_s` seconds, the emf starting at `angle_rad`.
    pub(super) fn new(supply: &Supply, step_s: f64, angle_rad: f64) -> Self {
        Self {
            network: Network::new(supply, step_s * STAGE),
            step_s,
            crest_v: supply.emf_crest_v(),
            turn_rad_per_s: std::f64::consts::TAU * supply.mains.get(),
            angle_rad,
            sources: vec![0.0; supply.nodes.len()],
            start: State::zero(supply.nodes.len()),
        }
    }

    pub(super) fn network(&self) -> &Network {
        &self.network
    }

    /// The emf after `steps` steps, V.
    pub(super) fn emf_v(&self, steps: f64) -> f64 {
        self.crest_v * (self.turn_rad_per_s * self.step_s * steps + self.angle_rad).sin()
    }

    /// Step number `index`: moves `state`, and `tangents` with it; `see` is told of each node at its end.
    pub(super) fn step(
        &mut self,
        index: f64,
        state: &mut State,
        tangents: &mut [State],
        see: impl FnMut(AtNode),
    ) -> Met {
        let (first_v, last_v) = (self.emf_v(index + STAGE), self.emf_v(index + 1.0));
        self.start.copy_from(state);
        let first = self.network.stage(state, first_v, &mut self.sources, |_| ());
        state.stretch(&self.start, STRETCH);
        let last = self.network.stage(state, last_v, &mut self.sources, see);
        for tangent in tangents {
            self.start.copy_from(tangent);
            self.network.tangent(tangent, &first.flow, &mut self.sources);
            tangent.stretch(&self.start, STRETCH);
            self.network.tangent(tangent, &last.flow, &mut self.sources);
        }
        last
    }
}
