//! From what physics computed to the figures that documents show.

use super::build::{Built, build, high_over_loaded};
use super::capacitors::{Bank, Held};
use crate::model::chassis::{Circuit, HtSupply, Job, RectifierKind};
use crate::model::finding::RippleStress;
use crate::model::shop::Shop;
use crate::model::supply::{
    CapacitorFigures, Conducting, NodeFigures, RectifierFigures, SupplyFigures, SupplyOutcome, SupplyUnproved,
    SupplyWarning,
};
use crate::physics::supply::{self as physics, CapacitorLoad, Cold, Loaded, SupplyError};
use crate::units::{Hertz, Volt};

/// A measured node that is this far from the computed one is doubtful (our own rule).
const DOUBTFUL_PERCENT: f64 = 10.0;

/// Computes one supply.
pub(super) fn compute(job: &Job, supply: &HtSupply, shop: &Shop) -> SupplyOutcome {
    let built = build(job, supply, shop)?;
    let loaded = physics::solve_loaded(&built.circuit).map_err(|e| unproved(supply, e))?;
    let cold = physics::solve_cold(&built.circuit, high_over_loaded(job)).map_err(|e| unproved(supply, e))?;
    Ok(assemble(job, supply, shop, Solved { built, loaded, cold }))
}

struct Solved<'a> {
    built: Built<'a>,
    loaded: Loaded,
    cold: Cold,
}

/// A supply without figures, in the chassis sheet's own names.
fn unproved(supply: &HtSupply, error: SupplyError) -> SupplyUnproved {
    let node = |n: usize| supply.nodes.get(n).map(|n| n.name.to_string()).unwrap_or_default();
    let (says, fault) = match error {
        SupplyError::Collapsed { node: n, .. } => {
            (format!("the dropper before {} is too large for the loads given: nothing is left there", node(n)), true)
        }
        SupplyError::OutOfRange { node: Some(n), .. } => (format!("{error} ({})", node(n)), true),
        other => (other.to_string(), true),
    };
    SupplyUnproved { name: supply.name.clone(), says, fault }
}

fn assemble(job: &Job, supply: &HtSupply, shop: &Shop, solved: Solved<'_>) -> SupplyFigures {
    let Solved { built, loaded, cold } = solved;
    let peak = supply.warm_up_max.filter(|_| supply.rectifier == RectifierKind::ValveIndirect);
    let hz = built.circuit.mains;
    let nodes: Vec<NodeFigures> = (0..supply.nodes.len())
        .filter_map(|index| node(supply, index, Parts { built: &built, loaded: &loaded, cold: &cold, peak }))
        .collect();
    let mut figures = SupplyFigures {
        name: supply.name.clone(),
        circuit: supply.circuit,
        polarity: supply.polarity,
        hz,
        conducting: match loaded.conduction {
            physics::Conduction::Continuous => Conducting::Continuous,
            _ => Conducting::Pulsed,
        },
        rectifier: RectifierFigures { max_first: super::limits::max_first(supply, shop), ..rectifier(&loaded, &cold) },
        nodes,
        reservoir_wave: wave(&loaded),
        assumed: built.assumed.clone(),
    };
    if let Some(series) = loaded.series_capacitor
        && let (Some(reference), Some(first)) = (&supply.series, figures.nodes.first_mut())
    {
        first.capacitors.push(series_capacitor(job, reference, &series, hz));
    }
    figures.rectifier.warnings = super::limits::warnings(supply, shop, &built.circuit, (&loaded, &cold));
    figures.rectifier.warnings.extend(doubtful(&figures));
    figures
}

/// Two periods of the reservoir voltage.
fn wave(loaded: &Loaded) -> Vec<Volt> {
    let one: Vec<Volt> = loaded.waveform.samples.iter().map(|s| s.volts).collect();
    one.iter().chain(&one).copied().collect()
}

fn rectifier(loaded: &Loaded, cold: &Cold) -> RectifierFigures {
    RectifierFigures {
        peak: loaded.rectifier.peak,
        average: loaded.rectifier.average,
        rms: loaded.rectifier.rms,
        watts: loaded.rectifier.power,
        winding_rms: loaded.winding_rms,
        surge: cold.surge,
        inverse: cold.inverse.max(loaded.rectifier.inverse),
        max_first: None,
        warnings: Vec::new(),
    }
}

/// What one node's figures are made from.
#[derive(Clone, Copy)]
struct Parts<'a> {
    built: &'a Built<'a>,
    loaded: &'a Loaded,
    cold: &'a Cold,
    peak: Option<Volt>,
}

fn node(supply: &HtSupply, index: usize, parts: Parts<'_>) -> Option<NodeFigures> {
    let sheet = supply.nodes.get(index)?;
    let load = parts.loaded.nodes.get(index)?;
    let cold = parts.cold.nodes.get(index)?;
    let bank = parts.built.banks.get(index)?;
    let circuit = parts.built.circuit.nodes.get(index)?;
    let direct = matches!(circuit.series, physics::Series::Direct);
    let hz = parts.built.circuit.mains;
    let halves = supply.circuit == Circuit::Doubler && index == 0;
    // With indirectly heated rectifiers the loads come up with the supply: the measured warm-up
    // maximum is the most that is ever at the first node, and no later node rises above it.
    let highest = match parts.peak {
        Some(peak) if index == 0 => peak.abs(),
        Some(peak) => cold.highest.min(peak.abs()),
        None => cold.highest,
    };
    Some(NodeFigures {
        name: sheet.name.clone(),
        volts: load.mean,
        crest: load.crest,
        ripple_pp: load.ripple_pp,
        ripple_rms: load.ripple_rms,
        series: (!direct).then_some(load.series.mean),
        series_watts: (!direct).then_some(load.series.power),
        no_load: cold.no_load,
        highest,
        measured: sheet.measured,
        capacitors: load.capacitor.map(|c| shares(bank, &c, hz, halves)).unwrap_or_default(),
    })
}

/// The current of the node's capacitance divided among its capacitors in proportion to them; each of
/// the two reservoirs of a doubler carries all of its half's.
fn shares(bank: &Bank<'_>, load: &CapacitorLoad, hz: Hertz, halves: bool) -> Vec<CapacitorFigures> {
    let total = bank.farad();
    let share = |h: &Held<'_>| if halves { 1.0 } else { h.farad / total };
    let rows = bank.held.iter().flat_map(|held| {
        let ripple = ripple(load, share(held), hz);
        held.parts.iter().map(move |part| CapacitorFigures {
            reference: part.reference.clone(),
            ripple,
            esr_assumed: held.esr_assumed,
            esr: held.esr,
        })
    });
    rows.collect()
}

fn ripple(load: &CapacitorLoad, share: f64, hz: Hertz) -> RippleStress {
    RippleStress {
        total: load.total * share,
        at_f: load.at_mains * share,
        at_2f: load.at_twice * share,
        rest: load.rest * share,
        f: hz,
    }
}

fn series_capacitor(job: &Job, reference: &str, load: &CapacitorLoad, hz: Hertz) -> CapacitorFigures {
    let held = job.part(reference).and_then(super::capacitors::single);
    CapacitorFigures {
        reference: reference.to_owned(),
        ripple: ripple(load, 1.0, hz),
        esr_assumed: held.as_ref().is_some_and(|h| h.esr_assumed),
        esr: held.map_or(crate::units::Ohm::ZERO, |h| h.esr),
    }
}

/// Nodes that were measured and compute far off: never averaged, always said.
fn doubtful(figures: &SupplyFigures) -> Vec<SupplyWarning> {
    let far = figures
        .nodes
        .iter()
        .filter_map(|n| n.measured.map(|m| (n, m.abs())))
        .filter(|(n, measured)| (*measured - n.volts.abs()).abs() > n.volts.abs() * (DOUBTFUL_PERCENT / 100.0));
    far.map(|(node, measured)| SupplyWarning {
        id: "measured-differs",
        says: format!(
            "{}: {measured} measured, {} computed: load or source data doubtful, or a fault here",
            node.name, node.volts
        ),
        near: false,
        node: Some(node.name.clone()),
        value: measured.get(),
        limit: node.volts.abs().get(),
        unit: "V",
    })
    .collect()
}
