//! The periodic steady state by shooting: Newton on "the state after one period equals the state before".
//!
//! The network is passive and a rectifier's current never falls as its voltage rises, so that two solutions of one supply can only
//! draw nearer to each other when distance is measured in stored energy (`Σ C·Δv² + Σ L·Δi²`). The steady state is
//! therefore unique, and the residual in that measure is a sound guide for shortening Newton's steps.

use super::SupplyError;
use super::circuit::{Circuit, Supply};
use super::energy::Energy;
use super::ladder::AtNode;
use super::linear;
use super::network::State;
use super::step::March;

/// Newton steps given at one resolution; the supplies of the reference need three to seven.
const MOST_NEWTON: u32 = 60;

/// How many of them are taken in full.
const FULL_STEPS: u32 = 30;

/// How often a Newton step is halved before a plain period is marched instead.
const MOST_HALVINGS: usize = 5;

/// Periods given to closing again with known tangents, and the least by which each must lower the residual.
const MOST_CHORDS: usize = 8;
const LEAST_GAIN: f64 = 0.3;

/// Residual of one period that rounding may leave, relative to the whole: large chokes in short steps are a difference
/// of large numbers. It is accepted only after this many steps, when Newton gains no more.
const ROUNDING: f64 = 1e-9;
const MANY: u32 = 12;

/// Whether the waveforms repeat in half a mains period, the two branches changing places.
pub(super) fn repeats_in_half(supply: &Supply) -> bool {
    match supply.circuit {
        Circuit::CentreTap | Circuit::Bridge => true,
        Circuit::HalfWave | Circuit::Doubler | Circuit::DoublerHalfWave { .. } => false,
    }
}

/// A supply marched round its period in a fixed number of steps.
#[derive(Debug)]
pub(super) struct Orbit {
    pub(super) march: March,
    steps: u32,
    energy: Energy,
    crest_v: f64,
    /// Whether each of the two branches has to work in every turn: in the doublers.
    needs_both: bool,
}

impl Orbit {
    /// `per_mains_period` steps in one period of the mains.
    pub(super) fn new(supply: &Supply, per_mains_period: u32) -> Self {
        let step_s = 1.0 / (supply.mains.get() * f64::from(per_mains_period));
        Self {
            march: March::new(supply, step_s, 0.0),
            steps: if repeats_in_half(supply) { per_mains_period / 2 } else { per_mains_period },
            energy: Energy::new(supply),
            crest_v: supply.emf_crest_v() * supply.multiple(),
            needs_both: matches!(supply.circuit, Circuit::Doubler | Circuit::DoublerHalfWave { .. }),
        }
    }

    pub(super) fn steps(&self) -> u32 {
        self.steps
    }

    /// Finds the state that repeats, from any state.
    pub(super) fn close(&mut self, start: State) -> Result<Closed, SupplyError> {
        let mut here = self.around(start);
        for round in 0..MOST_NEWTON {
            if !here.flowed {
                here = self.around(here.lowered());
                continue;
            }
            let Some(step) = self.newton_step(&here.start, &here.end, &here.tangents) else {
                here = self.around(here.end);
                continue;
            };
            let rounded = MANY < round && here.residual <= self.rounding(&here.start);
            if rounded || self.energy.is_last(&here.start, &step, self.crest_v) {
                return Ok(Closed { state: moved(&here.start, &step, 1.0), tangents: here.tangents });
            }
            here = self.advance(here, &step, round);
            if round < 2 {
                here = self.around(here.end);
            }
        }
        Err(SupplyError::NotSettled)
    }

    /// Closes again what was closed with other steps. How a period answers to its start hardly depends on the steps, so that
    /// the tangents found before serve here too, and a period without tangents costs a fraction.
    pub(super) fn close_again(&mut self, near: &Closed) -> Result<State, SupplyError> {
        let mut start = near.state.clone();
        let mut residual = f64::INFINITY;
        for _ in 0..MOST_CHORDS {
            let mut end = start.clone();
            self.march_round(&mut end, &mut []);
            let error = self.energy.distance(&end, &start);
            let Some(step) = self.newton_step(&start, &end, &near.tangents) else { break };
            start = moved(&start, &step, 1.0);
            if self.energy.is_last(&start, &step, self.crest_v) {
                return Ok(start);
            }
            if LEAST_GAIN * residual < error {
                if error <= self.rounding(&start) {
                    return Ok(start);
                }
                break;
            }
            residual = error;
        }
        self.close(near.state.clone()).map(|closed| closed.state)
    }

    /// Takes as much of the step as is good, else marches a period. A full step is good where current still flows
    /// after it: with resistors and capacitors only, the period's answer is convex, and full steps close in on
    /// the solution from below whatever the residual does. A guarded step must also lower the residual.
    fn advance(&mut self, here: Turn, step: &[f64], round: u32) -> Turn {
        let mut part = self.energy.limit(step, self.longest_v(round));
        for _ in 0..MOST_HALVINGS {
            let next = self.around(moved(&here.start, step, part));
            if next.flowed && (round < FULL_STEPS || next.residual < here.residual * (1.0 - 1e-3 * part)) {
                return next;
            }
            part *= 0.5;
        }
        self.around(here.end)
    }

    /// The most that a step may move a voltage by: half the crest at first, more as the search goes on, because a
    /// supply that its loads have collapsed comes to rest far below zero.
    fn longest_v(&self, round: u32) -> f64 {
        0.5 * self.crest_v * f64::from(round / 4).exp2()
    }

    /// Marches once round with the tangents of all states.
    fn around(&mut self, start: State) -> Turn {
        let mut tangents = self.energy.directions(&start);
        let mut end = start.clone();
        let flowed = self.march_round(&mut end, &mut tangents);
        let residual = self.energy.distance(&end, &start);
        // Without states there is nothing to close and no current is missed.
        Turn { flowed: flowed || tangents.is_empty(), start, end, tangents, residual }
    }

    /// The residual that rounding excuses.
    fn rounding(&self, state: &State) -> f64 {
        ROUNDING * self.energy.size(state.values())
    }

    /// Moves everything once round; says whether every rectifier that must work has worked.
    fn march_round(&mut self, state: &mut State, tangents: &mut [State]) -> bool {
        let mut flowed = [false; 2];
        for index in 0..self.steps {
            let met = self.march.step(f64::from(index), state, tangents, |_: AtNode| ());
            let [one, two] = met.flow.amp;
            flowed = [flowed[0] || 0.0 < one, flowed[1] || 0.0 < two];
        }
        flowed[0] && (flowed[1] || !self.needs_both)
    }

    /// Newton's step in all states, from one turn and how it answers to its start.
    fn newton_step(&self, start: &State, end: &State, tangents: &[State]) -> Option<Vec<f64>> {
        let active = |state: &State| -> Vec<f64> { self.energy.active(state.values()).collect() };
        let (start, end) = (active(start), active(end));
        let columns: Vec<Vec<f64>> = tangents.iter().map(active).collect();
        let rows = start.iter().zip(&end).enumerate().map(|(row, (from, to))| {
            let unit = |column: usize| if column == row { 1.0 } else { 0.0 };
            let left = columns.iter().enumerate().map(|(c, column)| unit(c) - column.get(row).unwrap_or(&0.0));
            left.chain([to - from]).collect()
        });
        let step = linear::solve(rows.collect())?;
        Some(self.energy.spread(&step))
    }
}

/// A closed period: where it starts, and how it answers to a change of the start.
#[derive(Debug)]
pub(super) struct Closed {
    pub(super) state: State,
    tangents: Vec<State>,
}

/// One turn round the period.
#[derive(Debug)]
struct Turn {
    start: State,
    end: State,
    tangents: Vec<State>,
    residual: f64,
    flowed: bool,
}

impl Turn {
    /// A lower start: with no current in a whole period the supply has been charged too high.
    fn lowered(&self) -> State {
        let mut state = self.start.clone();
        state.values_mut().for_each(|value| *value *= 0.85);
        state
    }
}

/// `start + part·step`.
fn moved(start: &State, step: &[f64], part: f64) -> State {
    let mut state = start.clone();
    for (value, change) in state.values_mut().zip(step) {
        *value += part * change;
    }
    state
}
