//! The filter as a linear ladder, seen through one implicit stage of the integration.
//!
//! Over a stage of length `g` a capacitor is a conductance `1/(esr + g/C)` driven from its voltage at the start, and
//! a choke is a resistance `dcr + L/g` with the source `(L/g)·i` of its current at the start. What stands to
//! the right of a node is then a conductance and a current source. That form (rather than a resistance
//! and a voltage) needs no division by zero where a node has neither capacitor nor resistive load.

use super::circuit::{Node, Series};

/// The state of one node: the capacitor's voltage and the current of the element into the node.
/// The current is a state only where that element is a choke.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Cell {
    pub(super) cap_v: f64,
    pub(super) series_a: f64,
}

/// One node's coefficients for a stage.
#[derive(Debug, Clone, Copy)]
struct Section {
    /// Series element, Ω, a choke's `L/g` included.
    series_ohm: f64,
    /// `L/g`, Ω; zero where there is no choke.
    choke_ohm: f64,
    /// Capacitor branch, S; zero where there is none.
    cap_s: f64,
    /// `g/C`, Ω: what the capacitor's voltage moves by per ampere.
    cap_ohm: f64,
    load_a: f64,
    /// All that hangs on the node and right of it, S.
    total_s: f64,
    /// `1/(1 + total·series)`: the part of the source that is seen through the series element.
    share: f64,
}

/// What happens at a node at the end of a stage.
#[derive(Debug, Clone, Copy)]
pub(super) struct AtNode {
    pub(super) volt: f64,
    pub(super) series_a: f64,
    pub(super) cap_a: f64,
}

/// The ladder's coefficients for stages of one length.
#[derive(Debug, Clone)]
pub(super) struct Ladder {
    sections: Vec<Section>,
    input_s: f64,
}

impl Ladder {
    /// The ladder for stages of `stage_s` seconds. The first capacitor is left out where the circuit itself holds it.
    pub(super) fn new(nodes: &[Node], stage_s: f64, without_first_capacitor: bool) -> Self {
        let mut right_s = 0.0;
        let mut sections: Vec<Section> = nodes
            .iter()
            .enumerate()
            .rev()
            .map(|(index, node)| {
                let section = Section::new(node, stage_s, right_s, without_first_capacitor && index == 0);
                right_s = section.total_s * section.share;
                section
            })
            .collect();
        sections.reverse();
        Self { sections, input_s: right_s }
    }

    /// Conductance at the input, S.
    pub(super) fn input_s(&self) -> f64 {
        self.input_s
    }

    /// Sweeps from the last node to the first. Returns the current source seen at the input, A, and leaves each
    /// node's own in `sources`. `loads` is 1 for the state and 0 for its tangents.
    pub(super) fn backward(&self, cells: &[Cell], loads: f64, sources: &mut [f64]) -> f64 {
        let mut right_a = 0.0;
        for ((section, cell), source) in self.sections.iter().zip(cells).zip(sources).rev() {
            *source = section.cap_s * cell.cap_v - loads * section.load_a + right_a;
            let choke_v = section.choke_ohm * cell.series_a;
            right_a = (*source - section.total_s * choke_v) * section.share;
        }
        right_a
    }

    /// Sweeps from the input at `input_v` to the last node and moves the cells to the end of the stage.
    pub(super) fn forward(&self, input_v: f64, cells: &mut [Cell], sources: &[f64], mut see: impl FnMut(AtNode)) {
        let mut volt = input_v;
        for ((section, cell), source) in self.sections.iter().zip(cells).zip(sources) {
            let driven = volt + section.choke_ohm * cell.series_a;
            let series_a = (section.total_s * driven - source) * section.share;
            volt = driven - section.series_ohm * series_a;
            let cap_a = section.cap_s * (volt - cell.cap_v);
            cell.cap_v += section.cap_ohm * cap_a;
            cell.series_a = series_a;
            see(AtNode { volt, series_a, cap_a });
        }
    }
}

impl Section {
    fn new(node: &Node, stage_s: f64, right_s: f64, without_capacitor: bool) -> Self {
        let (series_ohm, choke_ohm) = match node.series {
            Series::Direct => (0.0, 0.0),
            Series::Resistor(ohm) => (ohm.get(), 0.0),
            Series::Choke { henry, dcr } => (dcr.get() + henry.get() / stage_s, henry.get() / stage_s),
        };
        let capacitor = node.capacitor.filter(|_| !without_capacitor);
        let cap_ohm = capacitor.map_or(0.0, |part| stage_s / part.farad.get());
        let cap_s = capacitor.map_or(0.0, |part| 1.0 / (part.esr_ohm() + cap_ohm));
        let total_s = cap_s + node.load_ohm.map_or(0.0, |ohm| 1.0 / ohm.get()) + right_s;
        let share = 1.0 / (1.0 + total_s * series_ohm);
        Self { series_ohm, choke_ohm, cap_s, cap_ohm, load_a: node.load.get(), total_s, share }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{Ampere, Ohm};

    #[test]
    fn a_divider_by_hand() {
        // 100 V into 1 kΩ, a joint with 10 mA, 2 kΩ, then 3 kΩ to ground: (100 - 1000·(0.01 + i)) = 5000·i, i = 15 mA.
        let node = |ohm: f64, load: f64, load_ohm: Option<f64>| Node {
            series: Series::Resistor(Ohm::new(ohm)),
            capacitor: None,
            load: Ampere::new(load),
            load_ohm: load_ohm.map(Ohm::new),
        };
        let nodes = [node(1000.0, 0.01, None), node(2000.0, 0.0, Some(3000.0))];
        let ladder = Ladder::new(&nodes, 1.0, false);
        let (mut cells, mut sources) = ([Cell::default(); 2], [0.0; 2]);
        ladder.backward(&cells, 1.0, &mut sources);
        let mut seen = Vec::new();
        ladder.forward(100.0, &mut cells, &sources, |at| seen.push(at));
        for (at, (volt, amp)) in seen.iter().zip([(75.0, 0.025), (45.0, 0.015)]) {
            assert!((at.volt - volt).abs() < 1e-9 && (at.series_a - amp).abs() < 1e-12, "{at:?}");
        }
    }
}
