//! What every part of a chassis sees: voltages, ripple, heat, and how each figure is known.
//!
//! Measured beats computed beats stated beats assumed, and the basis goes with the figure.
//! [`supplies`] computes the supplies from the chassis sheet and the parts list; [`of_job`] turns
//! them and the measurements into one [`Stress`] for each part.

mod build;
mod capacitors;
mod figures;
mod limits;
mod nodes;

use std::collections::BTreeMap;

use crate::model::chassis::{Circuit, HtSupply, Job, Polarity};
use crate::model::finding::{Basis, Known, RippleStress, Stress};
use crate::model::kind::{PartKind, Place};
use crate::model::part::{NodeName, Part};
use crate::model::shop::Shop;
use crate::model::supply::{SupplyFigures, SupplyOutcome};
use crate::units::{Ampere, Volt};

use capacitors::Bank;
use nodes::NodeTable;

/// Computes every supply of the chassis, in the order of the sheet.
pub fn supplies(job: &Job, shop: &Shop) -> Vec<SupplyOutcome> {
    job.chassis.supplies.iter().map(|s| figures::compute(job, s, shop)).collect()
}

/// What each part sees, in the order of the job's parts.
pub fn of_job(job: &Job, supplies: &[SupplyOutcome]) -> Vec<Stress> {
    let (nodes, strings) = (NodeTable::new(job, supplies), capacitors::strings(job));
    let around = Around { job, supplies, nodes: &nodes, strings: &strings, ripple: ripple_by_part(supplies) };
    job.parts.iter().map(|part| of_part(&around, part)).collect()
}

/// What every part of a job is looked at with.
struct Around<'a> {
    job: &'a Job,
    supplies: &'a [SupplyOutcome],
    nodes: &'a NodeTable,
    strings: &'a [capacitors::SeriesString<'a>],
    ripple: BTreeMap<&'a str, RippleStress>,
}

/// The computed ripple of each capacitor.
fn ripple_by_part(supplies: &[SupplyOutcome]) -> BTreeMap<&str, RippleStress> {
    let computed = supplies.iter().filter_map(|s| s.as_ref().ok()).flat_map(|s| &s.nodes).flat_map(|n| &n.capacitors);
    computed.map(|c| (c.reference.as_str(), c.ripple)).collect()
}

fn of_part(around: &Around<'_>, part: &Part) -> Stress {
    let Around { job, nodes, strings, .. } = *around;
    let computed = around.ripple.get(part.reference.as_str());
    let mut assumed = Vec::new();
    // A part of a series string is held against its share of what the whole string sees.
    let string = strings.iter().find(|s| s.members.iter().any(|m| m.reference == part.reference));
    let (ends, share) = match string {
        Some(string) => ((Some(&string.plus), Some(&string.minus)), string.share_of(&part.reference)),
        None => ((part.plus.as_ref(), part.minus.as_ref()), 1.0),
    };
    let measured = part.found.working.map(|v| Known::new(v.abs(), Basis::Measured));
    let mut worked_out = || surge_volts(around, part).or_else(|| working(part, nodes, ends, &mut assumed));
    let working = measured.or_else(|| worked_out().map(|k| Known::new(k.value * share, k.basis)));
    let highest = highest(part, nodes, ends).map(|k| Known::new(k.value * share, k.basis));
    let conditions = &job.chassis.conditions;
    let inside = if conditions.inside_given { Basis::Stated } else { Basis::Assumed };
    let heat = part.found.heat.map_or(Known::new(conditions.inside, inside), |h| Known::new(h, Basis::Measured));
    Stress {
        highest_proved: highest.is_some_and(|k| k.basis != Basis::Assumed),
        working,
        highest: part.found.highest.map(|v| Known::new(v.abs(), Basis::Measured)).or(highest),
        ripple: stated_ripple(job, part).or(computed.map(|r| Known::new(*r, Basis::Computed))),
        heat: Some(heat),
        assumed,
    }
}

/// A ripple current that the technician states outranks the computed one; without its frequency it
/// is taken at the place's own: twice the mains for a full-wave supply, the mains for a half-wave one.
fn stated_ripple(job: &Job, part: &Part) -> Option<Known<RippleStress>> {
    let total = part.found.ripple?;
    let mains = job.chassis.mains.frequency();
    let half_wave = |s: &HtSupply| !matches!(s.circuit, Circuit::CentreTap | Circuit::Bridge);
    let own = if job.chassis.supplies.iter().any(half_wave) { mains } else { mains * 2.0 };
    let at = part.found.ripple_at.unwrap_or(own);
    let ripple = RippleStress { total, at_f: total, at_2f: Ampere::ZERO, rest: Ampere::ZERO, f: at };
    Some(Known::new(ripple, Basis::Stated))
}

/// The two ends of a part (or of the string that it is in).
type Ends<'a> = (Option<&'a NodeName>, Option<&'a NodeName>);

/// Working voltage from the nodes; for an HT supply capacitor without them nine tenths of its
/// rating are assumed and printed.
fn working(part: &Part, nodes: &NodeTable, ends: Ends<'_>, assumed: &mut Vec<String>) -> Option<Known<Volt>> {
    if let Some(known) = nodes.working_between(ends.0, ends.1) {
        return Some(known);
    }
    let supply_place = part.place.is_some_and(Place::is_ht_supply) && part.kind == PartKind::Electrolytic;
    let rated = part.rating.volts.filter(|_| supply_place)?;
    assumed.push(format!("working voltage not known: nine tenths of the rating, {}, taken", rated * 0.9));
    Some(Known::new(rated * 0.9, Basis::Assumed))
}

/// The rms voltage across the surge resistor of a set fed straight from the mains: it carries what its rectifier
/// does. It is the dropper between a mains line and a node of no supply that is no more than the source resistance
/// (a heater dropper is far more).
fn surge_volts(around: &Around<'_>, part: &Part) -> Option<Known<Volt>> {
    let at_mains =
        |n: &NodeName| ["LINE", "LIVE", "L", "MAINS", "NEUTRAL", "N"].contains(&n.as_str().to_uppercase().as_str());
    let ohm = part.ohm().filter(|_| part.place == Some(Place::Dropper) && part.kind.is_resistor())?;
    let on_line = [&part.plus, &part.minus].into_iter().flatten().any(at_mains);
    let supplies = around.job.chassis.supplies.iter().zip(around.supplies);
    let own = |s: &HtSupply| {
        let half_wave = matches!(s.circuit, Circuit::HalfWave | Circuit::DoublerHalfWave);
        half_wave && s.source.is_some_and(|source| ohm <= source) && !s.has_end(part)
    };
    let found = supplies.filter(|(s, _)| on_line && own(s)).find_map(|(_, outcome)| outcome.as_ref().ok());
    found.map(|figures| Known::new(figures.rectifier.rms * ohm, Basis::Computed))
}

/// The most that can be across a part: between its nodes where both are of a supply; else what feeds its nodes
/// through resistors; else, where it may be on HT by its place, the whole HT: computed at an output anode, which
/// is there by its name, and assumed elsewhere.
fn highest(part: &Part, nodes: &NodeTable, ends: Ends<'_>) -> Option<Known<Volt>> {
    if let Some(known) = nodes.highest_between(ends.0, ends.1) {
        return Some(known);
    }
    let assumed = |known: Known<Volt>| Known::new(known.value, Basis::Assumed);
    match part.place? {
        Place::OutputAnode => nodes.highest_of(Polarity::Positive),
        Place::Coupling | Place::Screen | Place::Anode | Place::Decoupling | Place::Smoothing | Place::Reservoir => {
            nodes.highest_at(ends.0, ends.1).or_else(|| nodes.highest_of(Polarity::Positive).map(assumed))
        }
        Place::Bias => nodes.highest_at(ends.0, ends.1).or_else(|| nodes.highest_of(Polarity::Negative).map(assumed)),
        _ => None,
    }
}

/// The figures of one supply by its name.
pub fn supply_of<'a>(supplies: &'a [SupplyOutcome], name: &str) -> Option<&'a SupplyFigures> {
    supplies.iter().filter_map(|s| s.as_ref().ok()).find(|s| s.name == name)
}

/// All capacitors between a node and the return of a supply.
fn bank_at<'a>(job: &'a Job, supply: &HtSupply, node: &NodeName) -> Bank<'a> {
    capacitors::bank(job, node, &supply.return_to)
}
