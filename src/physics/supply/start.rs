//! Where the search for the steady state starts.

use super::circuit::{Circuit, Supply};
use super::ladder::{AtNode, Cell, Ladder};
use super::network::State;

/// Node voltages and series currents at direct current with `input_v` at the ladder's input.
pub(super) fn direct_current(supply: &Supply, input_v: f64) -> Vec<AtNode> {
    // A stage without end: capacitors are open, chokes are their resistance.
    let ladder = Ladder::new(&supply.nodes, f64::INFINITY, false);
    let mut cells = vec![Cell::default(); supply.nodes.len()];
    let mut sources = vec![0.0; supply.nodes.len()];
    ladder.backward(&cells, 1.0, &mut sources);
    let mut found = Vec::with_capacity(cells.len());
    ladder.forward(input_v, &mut cells, &sources, |at| found.push(at));
    found
}

/// A start for the search: the usual output of the circuit less the direct-current drops.
pub(super) fn guess(supply: &Supply) -> State {
    let share = match supply.circuit {
        Circuit::Doubler | Circuit::DoublerHalfWave { .. } => 1.4,
        _ if supply.is_choke_input() => 0.64,
        _ => 0.9,
    };
    let input_v = share * supply.emf_crest_v();
    let direct = direct_current(supply, input_v);
    let cells = direct.iter().map(|at| Cell { cap_v: at.volt, series_a: at.series_a }).collect();
    let extra = match supply.circuit {
        Circuit::Doubler => [0.5 * input_v; 2],
        Circuit::DoublerHalfWave { .. } => [0.5 * input_v, 0.0],
        _ => [0.0; 2],
    };
    State { cells, extra }
}
