//! Which capacitors hold a node: in parallel between the node and the return, or as a series string.

use crate::model::chassis::Job;
use crate::model::kind::PartKind;
use crate::model::part::{NodeName, Part};
use crate::physics::electrolytic;
use crate::units::{Farad, Hertz, Ohm};

/// The frequency at which loss factors are given (general-purpose data sheets).
const LOSS_HZ: Hertz = Hertz::new(120.0);

/// A capacitor as the supply sees it.
#[derive(Debug, Clone)]
pub(super) struct Held<'a> {
    /// The parts: one, or the members of a string.
    pub(super) parts: Vec<&'a Part>,
    /// Capacitance.
    pub(super) farad: Farad,
    /// Series resistance.
    pub(super) esr: Ohm,
    /// Whether the series resistance was assumed.
    pub(super) esr_assumed: bool,
}

/// All capacitors at one node.
#[derive(Debug, Clone, Default)]
pub(super) struct Bank<'a> {
    /// The capacitors.
    pub(super) held: Vec<Held<'a>>,
    /// Capacitors of unknown value, which cannot be counted.
    pub(super) unknown: Vec<&'a Part>,
    /// Capacitors that go to chassis although the supply returns elsewhere.
    pub(super) to_chassis: Vec<&'a Part>,
}

impl Bank<'_> {
    /// The sum.
    pub(super) fn farad(&self) -> Farad {
        self.held.iter().map(|h| h.farad).sum()
    }

    /// The series resistance of the sum: exact where the current divides by capacitance.
    pub(super) fn esr(&self) -> Ohm {
        let total = self.farad();
        self.held.iter().map(|h| h.esr * (h.farad / total) * (h.farad / total)).sum()
    }
}

/// Two capacitors in series over a node of their own.
#[derive(Debug, Clone)]
pub(super) struct SeriesString<'a> {
    /// The end towards plus.
    pub(super) plus: NodeName,
    /// The end towards minus.
    pub(super) minus: NodeName,
    /// The members, plus side first.
    pub(super) members: Vec<&'a Part>,
}

impl SeriesString<'_> {
    /// The share of the string's voltage that a member is held against: by its rating, so that every
    /// member passes exactly where the string's summed rating does; equal where a rating is missing.
    pub(super) fn share_of(&self, reference: &str) -> f64 {
        let ratings: Option<Vec<f64>> =
            self.members.iter().map(|m| m.rating.volts.map(crate::units::Volt::get)).collect();
        let own = self.members.iter().position(|m| m.reference == reference);
        match (ratings, own) {
            (Some(ratings), Some(own)) if ratings.iter().all(|r| *r > 0.0) => {
                ratings.get(own).map_or(1.0, |r| r / ratings.iter().sum::<f64>())
            }
            _ => 1.0 / f64::from(u32::try_from(self.members.len().max(1)).unwrap_or(1)),
        }
    }
}

/// Every series string of the job: a node of exactly two capacitor lines, plus of one and minus of
/// the other, that is a node of no supply. The string itself hangs on a supply: its upper end is a
/// node of one. Two signal capacitors that meet in a network of their own are no string.
pub(super) fn strings(job: &Job) -> Vec<SeriesString<'_>> {
    let capacitors = || job.parts.iter().filter(|p| p.kind.is_capacitor());
    let mut strings = Vec::new();
    for upper in capacitors() {
        let (Some(plus), Some(joint)) = (&upper.plus, &upper.minus) else { continue };
        let on_lines = job.parts.iter().filter(|p| p.touches(joint)).count();
        let hangs_on_supply = is_supply_node(job, plus);
        if !hangs_on_supply || joint.is_chassis() || is_supply_node(job, joint) || on_lines != 2 {
            continue;
        }
        let lower = capacitors().find(|p| p.plus.as_ref() == Some(joint) && p.reference != upper.reference);
        if let Some((lower, minus)) = lower.and_then(|l| l.minus.clone().map(|m| (l, m))) {
            strings.push(SeriesString { plus: plus.clone(), minus, members: vec![upper, lower] });
        }
    }
    strings
}

fn is_supply_node(job: &Job, node: &NodeName) -> bool {
    job.chassis.supplies.iter().any(|s| s.return_to == *node || s.nodes.iter().any(|n| n.name == *node))
}

/// The capacitors between a node and the return. Where the return is not the chassis (back bias),
/// those from the node to the chassis count too: the bias resistor between both is small against
/// what it is in series with.
pub(super) fn bank<'a>(job: &'a Job, node: &NodeName, return_to: &NodeName) -> Bank<'a> {
    let mut bank = Bank::default();
    for part in job.parts.iter().filter(|p| p.kind.is_capacitor()) {
        let to_return = spans(part.plus.as_ref(), part.minus.as_ref(), node, return_to);
        let to_chassis = !to_return && spans(part.plus.as_ref(), part.minus.as_ref(), node, &NodeName::chassis());
        if !(to_return || to_chassis) {
            continue;
        }
        if to_chassis {
            bank.to_chassis.push(part);
        }
        match single(part) {
            Some(held) => bank.held.push(held),
            None => bank.unknown.push(part),
        }
    }
    for string in strings(job) {
        if spans(Some(&string.plus), Some(&string.minus), node, return_to) {
            match in_series(&string) {
                Some(held) => bank.held.push(held),
                None => bank.unknown.extend(string.members),
            }
        }
    }
    bank
}

fn spans(plus: Option<&NodeName>, minus: Option<&NodeName>, a: &NodeName, b: &NodeName) -> bool {
    (plus == Some(a) && minus == Some(b)) || (plus == Some(b) && minus == Some(a))
}

/// One capacitor with its series resistance; `None` without a value.
pub(super) fn single(part: &Part) -> Option<Held<'_>> {
    let farad = part.farad().filter(|f| *f > Farad::ZERO)?;
    let (esr, esr_assumed) = match part.found.esr {
        Some(reading) => (reading.ohm, false),
        None => (assumed_esr(part, farad), true),
    };
    Some(Held { parts: vec![part], farad, esr, esr_assumed })
}

/// The series resistance of a new part at its loss-factor limit; none worth counting for other kinds.
fn assumed_esr(part: &Part, farad: Farad) -> Ohm {
    if part.kind != PartKind::Electrolytic {
        return Ohm::ZERO;
    }
    let limit = part.rating.volts.and_then(|rated| electrolytic::new_esr(rated, farad, LOSS_HZ));
    limit.map_or(Ohm::ZERO, |l| l.value)
}

/// The members of a string as one capacitor.
fn in_series<'a>(string: &SeriesString<'a>) -> Option<Held<'a>> {
    let members: Vec<Held<'a>> = string.members.iter().map(|m| single(m)).collect::<Option<_>>()?;
    let inverse: f64 = members.iter().map(|m| 1.0 / m.farad.get()).sum();
    Some(Held {
        parts: string.members.clone(),
        farad: Farad::new(1.0 / inverse),
        esr: members.iter().map(|m| m.esr).sum(),
        esr_assumed: members.iter().any(|m| m.esr_assumed),
    })
}
