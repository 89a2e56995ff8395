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
    let nodes = NodeTable::new(job, supplies);
    let ripple = ripple_by_part(supplies);
    let strings = capacitors::strings(job);
    job.parts.iter().map(|part| of_part(job, part, &nodes, &strings, ripple.get(part.reference.as_str()))).collect()
}

/// The computed ripple of each capacitor.
fn ripple_by_part(supplies: &[SupplyOutcome]) -> BTreeMap<&str, RippleStress> {
    let computed = supplies.iter().filter_map(|s| s.as_ref().ok()).flat_map(|s| &s.nodes).flat_map(|n| &n.capacitors);
    computed.map(|c| (c.reference.as_str(), c.ripple)).collect()
}

fn of_part(
    job: &Job,
    part: &Part,
    nodes: &NodeTable,
    strings: &[capacitors::SeriesString],
    computed: Option<&RippleStress>,
) -> Stress {
    let mut assumed = Vec::new();
    // A part of a series string is held against its share of what the whole string sees.
    let string = strings.iter().find(|s| s.members.iter().any(|m| m.reference == part.reference));
    let (ends, share) = match string {
        Some(string) => ((Some(&string.plus), Some(&string.minus)), string.share_of(&part.reference)),
        None => ((part.plus.as_ref(), part.minus.as_ref()), 1.0),
    };
    let working = working(part, nodes, ends, &mut assumed).map(|k| Known::new(k.value * share, k.basis));
    let highest = highest(part, nodes, ends).map(|k| Known::new(k.value * share, k.basis));
    let conditions = &job.chassis.conditions;
    let inside = if conditions.inside_given { Basis::Stated } else { Basis::Assumed };
    let heat = part.found.heat.map_or(Known::new(conditions.inside, inside), |h| Known::new(h, Basis::Measured));
    Stress {
        highest_proved: highest.is_some(),
        working: part.found.working.map(|v| Known::new(v.abs(), Basis::Measured)).or(working),
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

/// The most that can be across a part: between its nodes where both are of a supply; the whole HT
/// where one end hangs on an anode or a grid that can rise to it.
fn highest(part: &Part, nodes: &NodeTable, ends: Ends<'_>) -> Option<Known<Volt>> {
    if let Some(known) = nodes.highest_between(ends.0, ends.1) {
        return Some(known);
    }
    match part.place? {
        Place::Coupling
        | Place::Screen
        | Place::OutputAnode
        | Place::Anode
        | Place::Decoupling
        | Place::Smoothing
        | Place::Reservoir => nodes.highest_of(Polarity::Positive),
        Place::Bias => nodes.highest_of(Polarity::Negative),
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
