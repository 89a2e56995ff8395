//! The figures of a supply from its recorded steady state.

use super::circuit::{Circuit, Node, Series, Supply};
use super::cold;
use super::loaded::{CapacitorLoad, Conduction, Loaded, NodeLoad, RectifierLoad, Sample, SeriesLoad, Waveform};
use super::shooting::repeats_in_half;
use super::trace::{BranchTrace, NodeTrace, Trace};
use super::wave;
use crate::units::{Ampere, Second, Volt, Watt};

/// A rectifier current of less than this part of its peak counts as none.
const NO_CURRENT: f64 = 1e-6;

/// Samples in the waveform of a supply that does nothing.
const IDLE_SAMPLES: usize = 64;

/// The figures of a recorded steady state.
pub(super) fn figures(supply: &Supply, trace: &Trace) -> Loaded {
    let [one, two] = &trace.branches;
    // Over the other half of the mains period the two branches of a full-wave circuit change places.
    let first = if repeats_in_half(supply) { rectifier(&[one, two]) } else { rectifier(&[one]) };
    let nodes = supply.nodes.iter().zip(&trace.nodes).enumerate();
    Loaded {
        conduction: conduction(trace),
        rectifier: first,
        shunt_rectifier: is_series_doubler(supply).then(|| rectifier(&[two])),
        output: if repeats_in_half(supply) { first.average * 2.0 } else { first.average },
        winding_rms: winding_rms(supply, trace),
        nodes: nodes.map(|(index, (node, waves))| node_load(supply, index, node, waves)).collect(),
        series_capacitor: series_capacitor(supply, trace),
        waveform: waveform(supply, trace),
    }
}

fn is_series_doubler(supply: &Supply) -> bool {
    matches!(supply.circuit, Circuit::DoublerHalfWave { .. })
}

fn conduction(trace: &Trace) -> Conduction {
    let [one, two] = &trace.branches;
    let (mut least, mut most) = (f64::INFINITY, 0.0_f64);
    for (a, b) in one.amp.iter().zip(&two.amp) {
        least = least.min(a + b);
        most = most.max(a + b);
    }
    if least <= NO_CURRENT * most { Conduction::Pulsed } else { Conduction::Continuous }
}

/// One rectifier over the branches that it carries in turn.
fn rectifier(branches: &[&BranchTrace]) -> RectifierLoad {
    let mut amp = Vec::new();
    let mut heat_w = Vec::new();
    let mut inverse_v = 0.0_f64;
    for branch in branches {
        amp.extend_from_slice(&branch.amp);
        heat_w.extend_from_slice(&branch.heat_w);
        inverse_v = inverse_v.max(branch.inverse_v);
    }
    RectifierLoad {
        peak: Ampere::new(wave::highest(&amp)),
        average: Ampere::new(wave::mean(&amp)),
        rms: Ampere::new(wave::rms(&amp)),
        power: Watt::new(wave::mean(&heat_w)),
        inverse: Volt::new(inverse_v),
    }
}

fn winding_rms(supply: &Supply, trace: &Trace) -> Ampere {
    let [one, two] = &trace.branches;
    Ampere::new(match supply.circuit {
        Circuit::HalfWave => wave::rms(&one.amp),
        Circuit::CentreTap => f64::midpoint(wave::rms(&one.amp).powi(2), wave::rms(&two.amp).powi(2)).sqrt(),
        Circuit::Bridge | Circuit::Doubler | Circuit::DoublerHalfWave { .. } => {
            wave::rms(&difference(&one.amp, &two.amp))
        }
    })
}

fn difference(one: &[f64], two: &[f64]) -> Vec<f64> {
    one.iter().zip(two).map(|(a, b)| a - b).collect()
}

fn node_load(supply: &Supply, index: usize, node: &Node, waves: &NodeTrace) -> NodeLoad {
    let (crest, trough, mean) = (wave::highest(&waves.volt), wave::lowest(&waves.volt), wave::mean(&waves.volt));
    let series_rms = Ampere::new(wave::rms(&waves.series_a));
    let halved = matches!(supply.circuit, Circuit::Doubler) && index == 0;
    let across = if halved { mean / 2.0 } else { mean };
    NodeLoad {
        mean: Volt::new(mean),
        crest: Volt::new(crest),
        trough: Volt::new(trough),
        ripple_pp: Volt::new(crest - trough),
        ripple_rms: Volt::new(wave::alternating_rms(&waves.volt)),
        series: SeriesLoad {
            mean: Ampere::new(wave::mean(&waves.series_a)),
            rms: series_rms,
            least: Ampere::new(wave::lowest(&waves.series_a)),
            power: match node.series {
                Series::Direct => Watt::ZERO,
                Series::Resistor(ohm) | Series::Choke { dcr: ohm, .. } => series_rms.heat_in(ohm),
            },
        },
        capacitor: node.capacitor.map(|_| capacitor_load(&waves.cap_a, across, repeats_in_half(supply))),
    }
}

fn capacitor_load(current: &[f64], mean_v: f64, half: bool) -> CapacitorLoad {
    let total = wave::rms(current);
    let (at_mains, at_twice) = if half {
        (0.0, wave::component_rms(current, 1.0))
    } else {
        (wave::component_rms(current, 1.0), wave::component_rms(current, 2.0))
    };
    let rest = (total.powi(2) - at_mains.powi(2) - at_twice.powi(2)).max(0.0).sqrt();
    CapacitorLoad {
        mean: Volt::new(mean_v),
        total: Ampere::new(total),
        at_mains: Ampere::new(at_mains),
        at_twice: Ampere::new(at_twice),
        rest: Ampere::new(rest),
    }
}

fn series_capacitor(supply: &Supply, trace: &Trace) -> Option<CapacitorLoad> {
    let [one, two] = &trace.branches;
    is_series_doubler(supply)
        .then(|| capacitor_load(&difference(&two.amp, &one.amp), wave::mean(&trace.extra_v), false))
}

fn waveform(supply: &Supply, trace: &Trace) -> Waveform {
    let [one, two] = &trace.branches;
    let volts = trace.nodes.first().map_or(&[][..], |node| node.volt.as_slice());
    let turn = volts
        .iter()
        .zip(one.amp.iter().zip(&two.amp))
        .map(|(volt, (a, b))| Sample { volts: Volt::new(*volt), current: Ampere::new(a + b) });
    let samples = if repeats_in_half(supply) { turn.clone().chain(turn).collect() } else { turn.collect() };
    Waveform { period: Second::new(1.0 / supply.mains.get()), samples }
}

/// A supply that nothing draws from stands at the crest of its emf (twice that in a doubler).
pub(super) fn idle(supply: &Supply, crest_v: f64) -> Loaded {
    let crest = Volt::new(crest_v);
    let rectifier = RectifierLoad { inverse: cold::inverse(supply, crest), ..RectifierLoad::default() };
    let still = |mean: Volt| CapacitorLoad { mean, ..CapacitorLoad::default() };
    let halved = |index: usize| matches!(supply.circuit, Circuit::Doubler) && index == 0;
    let node = |(index, node): (usize, &Node)| NodeLoad {
        mean: crest,
        crest,
        trough: crest,
        capacitor: node.capacitor.map(|_| still(if halved(index) { crest / 2.0 } else { crest })),
        ..NodeLoad::default()
    };
    let sample = Sample { volts: crest, current: Ampere::ZERO };
    Loaded {
        conduction: Conduction::None,
        rectifier,
        shunt_rectifier: is_series_doubler(supply).then_some(rectifier),
        output: Ampere::ZERO,
        winding_rms: Ampere::ZERO,
        nodes: supply.nodes.iter().enumerate().map(node).collect(),
        series_capacitor: is_series_doubler(supply).then(|| still(crest / 2.0)),
        waveform: Waveform { period: Second::new(1.0 / supply.mains.get()), samples: vec![sample; IDLE_SAMPLES] },
    }
}
