//! The circuits: how winding, rectifiers and ladder join, for one stage of the integration.
//!
//! Each circuit gives the two branches' drives as affine functions of the state, and the ladder's input voltage
//! as an affine function of the branch currents. The same functions, without emf and loads, move the tangents.

use super::branches::{Flow, Pair};
use super::circuit::{Circuit, Supply};
use super::ladder::{AtNode, Cell, Ladder};

/// The state of a whole supply.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct State {
    pub(super) cells: Vec<Cell>,
    /// Full-wave doubler: the two reservoirs' voltages. Half-wave doubler: the series capacitor's, then nothing.
    pub(super) extra: [f64; 2],
}

impl State {
    /// Everything discharged.
    pub(super) fn zero(nodes: usize) -> Self {
        Self { cells: vec![Cell::default(); nodes], extra: [0.0; 2] }
    }

    /// Every state in one fixed order.
    pub(super) fn values(&self) -> impl Iterator<Item = f64> + '_ {
        self.cells.iter().flat_map(|cell| [cell.cap_v, cell.series_a]).chain(self.extra)
    }

    /// Every state in the order of [`values`](Self::values), to be changed.
    pub(super) fn values_mut(&mut self) -> impl Iterator<Item = &mut f64> + '_ {
        self.cells.iter_mut().flat_map(|cell| [&mut cell.cap_v, &mut cell.series_a]).chain(&mut self.extra)
    }

    /// Becomes `start + factor·(self - start)`.
    pub(super) fn stretch(&mut self, start: &Self, factor: f64) {
        for (cell, from) in self.cells.iter_mut().zip(&start.cells) {
            cell.cap_v = from.cap_v + factor * (cell.cap_v - from.cap_v);
            cell.series_a = from.series_a + factor * (cell.series_a - from.series_a);
        }
        for (value, from) in self.extra.iter_mut().zip(start.extra) {
            *value = from + factor * (*value - from);
        }
    }

    /// Takes the values of another state of the same size without a new allocation.
    pub(super) fn copy_from(&mut self, other: &Self) {
        self.cells.copy_from_slice(&other.cells);
        self.extra = other.extra;
    }
}

/// What joins winding and ladder; all in Ω or S, for stages of one length.
#[derive(Debug, Clone, Copy)]
enum Front {
    HalfWave,
    CentreTap,
    Bridge,
    /// `cap_s`: one reservoir; `cap_ohm`: its voltage's move per ampere; `both`: `1/(cap_s + 2·input_s)`.
    Doubler {
        cap_s: f64,
        cap_ohm: f64,
        both: f64,
    },
    /// `cap_ohm`: the series capacitor's move per ampere.
    SeriesDoubler {
        cap_ohm: f64,
    },
}

/// A supply prepared for stages of one length.
#[derive(Debug, Clone)]
pub(super) struct Network {
    ladder: Ladder,
    front: Front,
    pair: Pair,
    /// `1/input_s` of the ladder.
    input_ohm: f64,
}

impl Network {
    /// The network for stages of `stage_s` seconds.
    pub(super) fn new(supply: &Supply, stage_s: f64) -> Self {
        let held_in_front = matches!(supply.circuit, Circuit::Doubler);
        let ladder = Ladder::new(&supply.nodes, stage_s, held_in_front);
        let input_s = ladder.input_s();
        let front = Front::new(supply, stage_s, input_s);
        let input_ohm = 1.0 / input_s;
        let count = if matches!(supply.circuit, Circuit::Bridge) { 2.0 } else { 1.0 };
        let [r11, r12, r22] = front.resistances(supply, input_s);
        let own_ohm = supply.rectifier.series_ohm();
        let own = count * own_ohm;
        // The floor stands for the wiring, and keeps an ideal source across an ideal resistance computable.
        let ohm = [(r11 + own).max(1e-6), r12, (r22 + own).max(1e-6)];
        Self { ladder, front, pair: Pair { law: supply.rectifier.law(), count, own_ohm, ohm }, input_ohm }
    }

    /// The two branches with their resistances.
    pub(super) fn pair(&self) -> &Pair {
        &self.pair
    }

    /// One stage under the emf `emf_v`: `state` holds the start of the stage and is left at its end.
    pub(super) fn stage(&self, state: &mut State, emf_v: f64, work: &mut [f64], see: impl FnMut(AtNode)) -> Met {
        let source_a = self.ladder.backward(&state.cells, 1.0, work);
        let drive_v = self.drive(state.extra, source_a, emf_v);
        let flow = self.pair.flow(drive_v);
        let input_v = self.meet(&mut state.extra, source_a, flow.amp);
        self.ladder.forward(input_v, &mut state.cells, work, see);
        Met { flow, drive_v }
    }

    /// The same stage for a small change of the state.
    pub(super) fn tangent(&self, change: &mut State, flow: &Flow, work: &mut [f64]) {
        let source_a = self.ladder.backward(&change.cells, 0.0, work);
        let amp = flow.response(self.drive(change.extra, source_a, 0.0));
        let input_v = self.meet(&mut change.extra, source_a, amp);
        self.ladder.forward(input_v, &mut change.cells, work, |_| ());
    }

    /// The drives of the two branches: what is across them while no current flows.
    fn drive(&self, extra: [f64; 2], source_a: f64, emf_v: f64) -> [f64; 2] {
        let open_v = source_a * self.input_ohm;
        let [a, b] = extra;
        match self.front {
            // The second branch is not there; with no drive it never conducts.
            Front::HalfWave => [emf_v - open_v, 0.0],
            Front::CentreTap | Front::Bridge => [emf_v - open_v, -emf_v - open_v],
            Front::Doubler { cap_s, both, .. } => {
                let shared_a = self.doubler_load(cap_s * (a + b) * both + 2.0 * source_a * both, source_a);
                [emf_v - (a - shared_a / cap_s), -emf_v - (b - shared_a / cap_s)]
            }
            Front::SeriesDoubler { .. } => [emf_v + a - open_v, -emf_v - a],
        }
    }

    /// The ladder's input voltage with the branch currents flowing; moves the states held in front of it.
    fn meet(&self, extra: &mut [f64; 2], source_a: f64, amp: [f64; 2]) -> f64 {
        let [i1, i2] = amp;
        match self.front {
            Front::HalfWave => (source_a + i1) * self.input_ohm,
            Front::CentreTap | Front::Bridge => (source_a + i1 + i2) * self.input_ohm,
            Front::Doubler { cap_s, cap_ohm, both } => {
                let [a, b] = *extra;
                let sum_v = (cap_s * (a + b) + 2.0 * source_a + i1 + i2) * both;
                let load_a = self.doubler_load(sum_v, source_a);
                *extra = [a + cap_ohm * (i1 - load_a), b + cap_ohm * (i2 - load_a)];
                sum_v
            }
            Front::SeriesDoubler { cap_ohm } => {
                let [a, rest] = *extra;
                *extra = [a + cap_ohm * (i2 - i1), rest];
                (source_a + i1) * self.input_ohm
            }
        }
    }

    /// What the ladder draws from the two reservoirs in series.
    fn doubler_load(&self, sum_v: f64, source_a: f64) -> f64 {
        self.ladder.input_s() * sum_v - source_a
    }
}

/// Where a stage ended, in front of the ladder.
#[derive(Debug, Clone, Copy)]
pub(super) struct Met {
    pub(super) flow: Flow,
    pub(super) drive_v: [f64; 2],
}

impl Front {
    fn new(supply: &Supply, stage_s: f64, input_s: f64) -> Self {
        let first = supply.nodes.first().and_then(|node| node.capacitor);
        match (supply.circuit, first) {
            (Circuit::CentreTap, _) => Self::CentreTap,
            (Circuit::Bridge, _) => Self::Bridge,
            (Circuit::DoublerHalfWave { series }, _) => Self::SeriesDoubler { cap_ohm: stage_s / series.farad.get() },
            (Circuit::Doubler, Some(reservoir)) => {
                let cap_ohm = stage_s / reservoir.farad.get();
                let cap_s = 1.0 / (reservoir.esr_ohm() + cap_ohm);
                Self::Doubler { cap_s, cap_ohm, both: 1.0 / (cap_s + 2.0 * input_s) }
            }
            (Circuit::HalfWave, _) | (Circuit::Doubler, None) => Self::HalfWave,
        }
    }

    /// `r11`, `r12`, `r22` without the rectifiers' own.
    fn resistances(self, supply: &Supply, input_s: f64) -> [f64; 3] {
        let (source, input_ohm) = (supply.source.get(), 1.0 / input_s);
        match self {
            Self::HalfWave => [source + input_ohm, 0.0, source],
            Self::CentreTap => [source + input_ohm, input_ohm, source + input_ohm],
            Self::Bridge => [source + input_ohm, input_ohm - source, source + input_ohm],
            Self::Doubler { cap_s, both, .. } => {
                let own = (1.0 - input_s * both) / cap_s;
                let mutual = -input_s * both / cap_s;
                [source + own, mutual - source, source + own]
            }
            Self::SeriesDoubler { cap_ohm } => {
                let esr = match supply.circuit {
                    Circuit::DoublerHalfWave { series } => series.esr_ohm(),
                    _ => 0.0,
                };
                let loop_ohm = source + esr + cap_ohm;
                [loop_ohm + input_ohm, -loop_ohm, loop_ohm]
            }
        }
    }
}
