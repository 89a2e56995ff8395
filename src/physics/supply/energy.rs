//! The states of a supply weighed by what they store: `Σ C·v² + Σ L·i²`.

use super::circuit::{Circuit, Series, Supply};
use super::network::State;

/// A Newton step this small, relative to the whole, is the last: convergence is quadratic.
const LAST_STEP: f64 = 1e-8;

/// What each state weighs: capacitance or inductance, in the states' order; zero where there is no state.
#[derive(Debug)]
pub(super) struct Energy {
    weights: Vec<Weight>,
}

#[derive(Debug, Clone, Copy)]
enum Weight {
    None,
    Farad(f64),
    Henry(f64),
}

impl Weight {
    fn get(self) -> f64 {
        match self {
            Self::None => 0.0,
            Self::Farad(weight) | Self::Henry(weight) => weight,
        }
    }
}

impl Energy {
    pub(super) fn new(supply: &Supply) -> Self {
        let mut weights = Vec::with_capacity(2 * supply.nodes.len() + 2);
        let doubler = matches!(supply.circuit, Circuit::Doubler);
        let first = supply.nodes.first().and_then(|node| node.capacitor).map(|part| part.farad.get());
        for (index, node) in supply.nodes.iter().enumerate() {
            let held = node.capacitor.filter(|_| !(doubler && index == 0));
            weights.push(held.map_or(Weight::None, |part| Weight::Farad(part.farad.get())));
            weights.push(match node.series {
                Series::Choke { henry, .. } => Weight::Henry(henry.get()),
                Series::Direct | Series::Resistor(_) => Weight::None,
            });
        }
        let extra = match supply.circuit {
            Circuit::Doubler => [first.map_or(Weight::None, Weight::Farad); 2],
            Circuit::DoublerHalfWave { series } => [Weight::Farad(series.farad.get()), Weight::None],
            Circuit::CentreTap | Circuit::Bridge | Circuit::HalfWave => [Weight::None; 2],
        };
        weights.extend(extra);
        Self { weights }
    }

    /// The square root of twice the energy.
    pub(super) fn size(&self, values: impl Iterator<Item = f64>) -> f64 {
        self.weights.iter().zip(values).map(|(weight, value)| weight.get() * value * value).sum::<f64>().sqrt()
    }

    /// The size of the difference of two states.
    pub(super) fn distance(&self, one: &State, other: &State) -> f64 {
        self.size(one.values().zip(other.values()).map(|(a, b)| a - b))
    }

    /// The values of the real states only.
    pub(super) fn active<'a>(&'a self, values: impl Iterator<Item = f64> + 'a) -> impl Iterator<Item = f64> + 'a {
        self.weights.iter().zip(values).filter(|(weight, _)| 0.0 < weight.get()).map(|(_, value)| value)
    }

    /// Values of the real states put back among all.
    pub(super) fn spread(&self, values: &[f64]) -> Vec<f64> {
        let mut values = values.iter();
        let mut next = |weight: &Weight| if 0.0 < weight.get() { values.next().copied().unwrap_or(0.0) } else { 0.0 };
        self.weights.iter().map(&mut next).collect()
    }

    /// One unit change for each real state.
    pub(super) fn directions(&self, like: &State) -> Vec<State> {
        let real = self.weights.iter().enumerate().filter(|(_, weight)| 0.0 < weight.get());
        real.map(|(index, _)| {
            let mut state = State::zero(like.cells.len());
            state.values_mut().skip(index).take(1).for_each(|value| *value = 1.0);
            state
        })
        .collect()
    }

    /// The part of a step that moves no voltage by more than `most_v`.
    pub(super) fn limit(&self, step: &[f64], most_v: f64) -> f64 {
        let voltages = self.weights.iter().zip(step).filter(|(weight, _)| matches!(weight, Weight::Farad(_)));
        let largest = voltages.fold(0.0_f64, |most, (_, value)| most.max(value.abs()));
        if most_v < largest { most_v / largest } else { 1.0 }
    }

    /// Whether a step no longer matters, in any voltage and in any state's share of the energy.
    pub(super) fn is_last(&self, state: &State, step: &[f64], crest_v: f64) -> bool {
        let whole = self.size(state.values());
        self.weights.iter().zip(step).all(|(weight, change)| {
            let small = weight.get().sqrt() * change.abs() <= LAST_STEP * whole;
            small && (!matches!(weight, Weight::Farad(_)) || change.abs() <= LAST_STEP * crest_v)
        })
    }
}
