//! The DC that may be on the grids behind the coupling capacitors.

use std::borrow::Cow;

use super::bias;
use super::expected::{Expected, Sign};
use super::limits;
use super::row::{AfterRow, Read, Unit, What};
use crate::model::chassis::Job;
use crate::model::finding::Decision;
use crate::model::grid::{GridRest, grid_limit};
use crate::model::kind::Place;
use crate::model::part::Part;
use crate::model::plan::Inspection;
use crate::units::Volt;

/// Every coupling capacitor's grid; due where one is fitted anew, or was tested. `factor` carries a bias line
/// over to the mains now.
pub(super) fn grids(job: &Job, inspection: &Inspection, factor: f64) -> Vec<Expected> {
    let couplings = || job.parts.iter().filter(|p| p.kind.is_capacitor() && p.place == Some(Place::Coupling));
    let output_known = couplings().any(|p| is_output(job, inspection, p) == Some(true));
    couplings().map(|p| grid(job, inspection, p, (factor, output_known))).collect()
}

/// Whether the grid is an output stage's: by its bias, or by a bias line that it returns to; `None`: not known.
fn is_output(job: &Job, inspection: &Inspection, part: &Part) -> Option<bool> {
    if matches!(job.grid_rest(part), GridRest::Bias { .. }) || job.grid_back(part).is_some() {
        return Some(true);
    }
    part.found.bias.map(|bias| inspection.grid.small_bias < bias.abs())
}

fn grid(job: &Job, inspection: &Inspection, part: &Part, (factor, output_known): (f64, bool)) -> Expected {
    let judged = inspection.judgements.iter().find(|j| j.reference == part.reference);
    let renewed = judged.is_some_and(|j| j.decision == Decision::Replace);
    let urgent = judged.is_some_and(|j| j.urgent);
    let output = is_output(job, inspection, part);
    let rest = job.grid_rest(part);
    let volts = rest.volts().or_else(|| of_supply(inspection, &rest)).map(|v| v * factor);
    let working = part.found.bias.or_else(|| volts.filter(|v| *v < Volt::ZERO));
    let shift = grid_limit(working, inspection.grid).shift;
    let basis = match &rest {
        GridRest::Chassis => job
            .grid_back(part)
            .map_or(Cow::Borrowed(""), |node| Cow::Owned(format!("read from {node}, or with its valve out"))),
        GridRest::Bias { node, .. } => {
            let drifted = bias::drifted(job, inspection, |_| true);
            let moved = drifted.iter().map(|(p, _)| *p).find(|p| p.place == Some(Place::Bias) || job.feeds_bias(p));
            Cow::Owned(match moved {
                Some(part) => format!("bias line {node} as found: read it first, it moves with {}", part.reference),
                None => format!("bias line {node}"),
            })
        }
        GridRest::Elsewhere(node) => Cow::Owned(format!("returns to {node}: compare with that")),
    };
    Expected {
        figure: volts.filter(|v| *v != Volt::ZERO).map(Volt::get),
        high: volts.map(|v| (v + shift).get()),
        sign: Sign::AsRead,
        basis,
        source: limits::GRID_SOURCE,
        due: renewed || part.found.grid.is_some(),
        needed: renewed && (urgent || output == Some(true) || (output.is_none() && !output_known)),
        ..Expected::open(What::Grid(part.reference.clone()), Unit::Volt)
    }
}

/// The computed voltage of the bias line, below zero.
fn of_supply(inspection: &Inspection, rest: &GridRest) -> Option<Volt> {
    let GridRest::Bias { node, .. } = rest else { return None };
    let nodes = inspection.supplies.iter().filter_map(|s| s.as_ref().ok()).flat_map(|s| &s.nodes);
    nodes.filter(|n| n.name == *node).map(|n| Volt::ZERO - n.volts.abs()).next()
}

/// A grid with fixed bias, held against its bias line as it was read after the work: the node that it returns
/// to, or else the output stage's bias. A bias that was set anew is no leakage.
pub(super) fn against_reading(job: &Job, expected: Expected, rows: &[AfterRow]) -> Expected {
    let (What::Grid(reference), Some(figure), Some(high)) = (&expected.what, expected.figure, expected.high) else {
        return expected;
    };
    let Some(GridRest::Bias { node, .. }) = job.part(reference).map(|p| job.grid_rest(p)) else { return expected };
    let read = |what: &What| {
        rows.iter().find(|r| r.what == *what).and_then(|r| match r.read {
            Read::Figure(si, Unit::Volt) if si < 0.0 => Some(si),
            _ => None,
        })
    };
    match read(&What::Node(node)).or_else(|| read(&What::Bias)) {
        Some(now) => Expected { figure: Some(now), high: Some(high - figure + now), ..expected },
        None => expected,
    }
}
