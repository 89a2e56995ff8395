//! From the chassis sheet and the parts list to the circuit that physics computes.

use super::capacitors::{self, Bank};
use crate::model::chassis::{Circuit, DiodeLaw, Feed, HtNode, HtSupply, Job};
use crate::model::part::{NodeName, Part, Reading};
use crate::model::shop::{RectifierData, Shop};
use crate::model::supply::SupplyUnproved;
use crate::physics::supply as physics;
use crate::units::{Ampere, Farad, Ohm};

/// The diode taken when the sheet gives none: a general-purpose silicon rectifier of about 1 A
/// (common practice, no source; the supply's figures hardly depend on it).
const GENERAL_DIODE: DiodeLaw = DiodeLaw { is: Ampere::new(1e-9), n: 1.8, ohm: Ohm::new(0.05) };

/// A supply ready to be computed, with what it was made from.
pub(super) struct Built<'a> {
    /// The circuit at the mains as measured (or as tapped).
    pub(super) circuit: physics::Supply,
    /// The capacitors of each node.
    pub(super) banks: Vec<Bank<'a>>,
    /// What was assumed, as printed.
    pub(super) assumed: Vec<String>,
}

/// Builds the circuit.
///
/// # Errors
/// Says what is missing or contradicts itself.
pub(super) fn build<'a>(job: &'a Job, supply: &HtSupply, shop: &Shop) -> Result<Built<'a>, SupplyUnproved> {
    let unproved = |says: &str| SupplyUnproved { name: supply.name.clone(), says: says.to_owned(), fault: false };
    let winding = supply.winding.ok_or_else(|| unproved("winding voltage not given"))?;
    let mut assumed = Vec::new();
    let data = supply.designation.as_deref().and_then(|d| shop.rectifier(d));
    let rectifier = rectifier(supply, data, &mut assumed);
    let banks: Vec<Bank<'a>> = match supply.circuit {
        Circuit::Doubler => doubler_banks(job, supply)?,
        _ => supply.nodes.iter().map(|n| super::bank_at(job, supply, &n.name)).collect(),
    };
    let nodes = supply
        .nodes
        .iter()
        .zip(&banks)
        .map(|(node, bank)| circuit_node(job, supply, node, bank, &mut assumed))
        .collect::<Result<Vec<_>, _>>()?;
    tell_of_capacitors(&banks, supply, &mut assumed);
    if supply.source.is_none() {
        assumed.push(format!(
            "{}: source resistance not given: none taken, so peaks and ripple come out high",
            supply.name
        ));
    }
    let circuit = physics::Supply {
        circuit: circuit_kind(job, supply)?,
        mains: job.chassis.mains.frequency(),
        winding: winding * job.chassis.mains.loaded_factor(),
        source: supply.source.unwrap_or(Ohm::ZERO),
        rectifier,
        nodes,
    };
    Ok(Built { circuit, banks, assumed })
}

/// The law of the rectifier. A valve without a perveance is computed as silicon, the harder case.
fn rectifier(supply: &HtSupply, data: Option<&RectifierData>, assumed: &mut Vec<String>) -> physics::Rectifier {
    let kind = supply.rectifier;
    let perveance = supply.perveance.or(data.and_then(|d| d.perveance)).filter(|_| kind.is_valve());
    if let Some(perveance) = perveance {
        return physics::Rectifier::Valve { perveance_a_per_v15: perveance };
    }
    if kind.is_valve() {
        let name = supply.designation.as_deref().unwrap_or("the rectifier valve");
        assumed.push(format!("{}: perveance of {name} not known: computed as silicon, the harder case", supply.name));
    }
    let law = supply.diode.unwrap_or(GENERAL_DIODE);
    physics::Rectifier::Diode { saturation: law.is, emission: law.n, ohm: law.ohm }
}

fn circuit_kind(job: &Job, supply: &HtSupply) -> Result<physics::Circuit, SupplyUnproved> {
    Ok(match supply.circuit {
        Circuit::CentreTap => physics::Circuit::CentreTap,
        Circuit::Bridge => physics::Circuit::Bridge,
        Circuit::HalfWave => physics::Circuit::HalfWave,
        Circuit::Doubler => physics::Circuit::Doubler,
        Circuit::DoublerHalfWave => physics::Circuit::DoublerHalfWave { series: series_capacitor(job, supply)? },
    })
}

fn series_capacitor(job: &Job, supply: &HtSupply) -> Result<physics::Capacitor, SupplyUnproved> {
    let unproved = |says: String| SupplyUnproved { name: supply.name.clone(), says, fault: false };
    let reference = supply.series.as_deref().ok_or_else(|| unproved("series capacitor not named".to_owned()))?;
    let part = job
        .part(reference)
        .ok_or_else(|| unproved(format!("series capacitor {reference} is not in the parts list")))?;
    let held = capacitors::single(part)
        .ok_or_else(|| unproved(format!("value of the series capacitor {reference} not known")))?;
    Ok(physics::Capacitor { farad: held.farad, esr: held.esr })
}

/// The reservoirs of a full-wave doubler stand from the first node to the middle and from there to
/// the return; the later nodes are as everywhere.
fn doubler_banks<'a>(job: &'a Job, supply: &HtSupply) -> Result<Vec<Bank<'a>>, SupplyUnproved> {
    let unproved = |says: String| SupplyUnproved { name: supply.name.clone(), says, fault: false };
    let (Some(middle), Some(first)) = (&supply.middle, supply.nodes.first()) else {
        return Err(unproved("the node between the two reservoirs (middle) is not named".to_owned()));
    };
    let mut upper = capacitors::bank(job, &first.name, middle);
    let lower = capacitors::bank(job, middle, &supply.return_to);
    if upper.held.is_empty() || lower.held.is_empty() {
        return Err(unproved(format!("no capacitor of known value from {} to {middle} or from there on", first.name)));
    }
    upper.held.extend(lower.held);
    upper.unknown.extend(lower.unknown);
    let rest = supply.nodes.iter().skip(1).map(|n| super::bank_at(job, supply, &n.name));
    Ok(std::iter::once(upper).chain(rest).collect())
}

fn circuit_node(
    job: &Job,
    supply: &HtSupply,
    node: &HtNode,
    bank: &Bank<'_>,
    assumed: &mut Vec<String>,
) -> Result<physics::Node, SupplyUnproved> {
    let series = match &node.feed {
        Feed::Direct => physics::Series::Direct,
        Feed::Choke { henry, ohm } => physics::Series::Choke { henry: *henry, dcr: *ohm },
        Feed::Ohm(ohm) => physics::Series::Resistor(*ohm),
        Feed::Through(reference) => physics::Series::Resistor(dropper(job, supply, &node.name, reference)?),
    };
    if node.load.is_none() && node.load_ohm.is_none() {
        assumed.push(format!("{}: load at {} not given: none taken", supply.name, node.name));
    }
    let is_first_of_doubler = supply.circuit == Circuit::Doubler && supply.nodes.first() == Some(node);
    let capacitor = if is_first_of_doubler { one_of_two(bank) } else { sum(bank) };
    Ok(physics::Node { series, capacitor, load: node.load.unwrap_or(Ampere::ZERO), load_ohm: node.load_ohm })
}

fn sum(bank: &Bank<'_>) -> Option<physics::Capacitor> {
    (bank.farad() > Farad::ZERO).then(|| physics::Capacitor { farad: bank.farad(), esr: bank.esr() })
}

/// Two reservoirs in series as two equal ones of the same series capacitance.
fn one_of_two(bank: &Bank<'_>) -> Option<physics::Capacitor> {
    let inverse: f64 = bank.held.iter().map(|h| 1.0 / h.farad.get()).sum();
    let esr: Ohm = bank.held.iter().map(|h| h.esr).sum();
    (inverse > 0.0).then(|| physics::Capacitor { farad: Farad::new(2.0 / inverse), esr: esr / 2.0 })
}

fn dropper(job: &Job, supply: &HtSupply, node: &NodeName, reference: &str) -> Result<Ohm, SupplyUnproved> {
    let says = |why: &str| SupplyUnproved {
        name: supply.name.clone(),
        says: format!("{node} is fed through {reference}, {why}"),
        fault: false,
    };
    let part = job.part(reference).ok_or_else(|| says("which is not in the parts list"))?;
    part.ohm().ok_or_else(|| says("whose value is not known"))
}

/// How far a reading may be off the marked value and is not told.
const READ_NEAR: f64 = 0.10;

/// The reading and the marked value of a capacitor that reads far off it.
fn read_off(part: &Part) -> Option<(Farad, Farad)> {
    let marked = part.farad().filter(|c| Farad::ZERO < *c)?;
    match part.found.reads {
        Some(Reading::Farad(reads)) if READ_NEAR < (reads / marked - 1.0).abs() => Some((reads, marked)),
        _ => None,
    }
}

/// Says which capacitors were taken how.
fn tell_of_capacitors(banks: &[Bank<'_>], supply: &HtSupply, assumed: &mut Vec<String>) {
    for held in banks.iter().flat_map(|b| &b.held).filter(|h| h.esr_assumed && h.esr > Ohm::ZERO) {
        let names: Vec<&str> = held.parts.iter().map(|p| p.reference.as_str()).collect();
        assumed.push(format!(
            "{}: series resistance of {} not measured: {}, the loss-factor limit of a new part, taken",
            supply.name,
            names.join(" and "),
            held.esr
        ));
    }
    for part in banks.iter().flat_map(|b| &b.held).flat_map(|h| &h.parts) {
        if let Some((reads, marked)) = read_off(part) {
            assumed.push(format!(
                "{}: {} reads {reads}; its marked {marked} taken, as after the work, so ripple and hum differ as found",
                supply.name, part.reference
            ));
        }
    }
    for part in banks.iter().flat_map(|b| &b.unknown) {
        assumed.push(format!("{}: value of {} not known: left out of the computation", supply.name, part.reference));
    }
    for part in banks.iter().flat_map(|b| &b.to_chassis) {
        assumed.push(format!(
            "{}: {} goes to chassis and the supply returns to {}: taken as going there",
            supply.name, part.reference, supply.return_to
        ));
    }
}

/// The factor from the circuit's winding voltage to the highest mains.
pub(super) fn high_over_loaded(job: &Job) -> f64 {
    job.chassis.mains.high_factor() / job.chassis.mains.loaded_factor()
}
