//! Which capacitors drain together: everything on one supply, through its chokes and resistors.
//!
//! A resistor clipped across one of them draws off the charge of all, so one alone says too little.

use std::collections::BTreeMap;

use crate::model::chassis::{Feed, HtSupply, Job};
use crate::model::kind::Place;
use crate::model::part::{NodeName, Part};
use crate::units::{Farad, Ohm, Second};

/// Capacitors that drain together.
#[derive(Debug, Clone, PartialEq)]
pub struct Drained {
    /// Name of the supply.
    pub supply: String,
    /// References that are counted; those in series with one another stand together, `C1+C2`.
    pub counted: Vec<String>,
    /// All of it, each at the upper end of its tolerance.
    pub farad: Farad,
    /// What the resistors between them add to the time constant of the discharge.
    pub lag: Second,
}

impl Drained {
    /// Whether this part is counted.
    pub fn counts(&self, reference: &str) -> bool {
        self.counted.iter().any(|names| names.split('+').any(|name| name == reference))
    }
}

/// The capacitors of each supply of the job; `most` is the capacitance of a part at the upper end of its tolerance.
pub fn drained(job: &Job, most: impl Fn(&Part) -> Option<Farad>) -> Vec<Drained> {
    job.chassis.supplies.iter().filter_map(|supply| of_supply(job, supply, &most)).collect()
}

fn of_supply(job: &Job, supply: &HtSupply, most: &impl Fn(&Part) -> Option<Farad>) -> Option<Drained> {
    let reached = reached(job, supply);
    let ground = |node: &NodeName| node.is_chassis() || *node == supply.return_to;
    let capacitors: Vec<&Part> = job.parts.iter().filter(|p| p.kind.is_capacitor()).collect();
    let (mut counted, mut farad, mut lag) = (Vec::new(), Farad::ZERO, Second::ZERO);
    let mut add = |names: String, c: Farad, path: Ohm| {
        counted.push(names);
        farad = farad + c;
        lag = lag + path * c;
    };
    for part in &capacitors {
        let Some((path, other)) = ends(part).find_map(|(one, other)| Some((*reached.get(one)?, other))) else {
            continue;
        };
        if ground(other) {
            if let Some(c) = most(part) {
                add(part.reference.clone(), c, path);
            }
        } else if !reached.contains_key(other) && is_supply(part) {
            // A string of two, as the halves of a doubler: the one from here to a node between, the other from there.
            let second = capacitors.iter().find(|p| {
                p.reference != part.reference && is_supply(p) && ends(p).any(|(one, far)| one == other && ground(far))
            });
            if let Some((upper, lower)) = second.and_then(|p| Some((most(part)?, (most(p)?, p)))) {
                let (lower, second) = lower;
                let both = Farad::new(1.0 / (1.0 / upper.get() + 1.0 / lower.get()));
                add(format!("{}+{}", part.reference, second.reference), both, path);
            }
        }
    }
    (!counted.is_empty()).then(|| Drained { supply: supply.name.clone(), counted, farad, lag })
}

/// Whether a capacitor is one of a supply; others in a row, as couplings, are no string.
fn is_supply(part: &Part) -> bool {
    part.place.is_some_and(Place::is_ht_supply)
}

/// Both ways to look at a part's ends.
fn ends(part: &Part) -> impl Iterator<Item = (&NodeName, &NodeName)> {
    let both = part.plus.as_ref().zip(part.minus.as_ref());
    both.into_iter().flat_map(|(plus, minus)| [(plus, minus), (minus, plus)])
}

/// Every node that hangs on the supply by chokes and resistors, with the resistance on the way from its first node.
fn reached(job: &Job, supply: &HtSupply) -> BTreeMap<NodeName, Ohm> {
    let mut reached = BTreeMap::new();
    let mut along = Ohm::ZERO;
    for node in &supply.nodes {
        along = along
            + match &node.feed {
                Feed::Direct => Ohm::ZERO,
                Feed::Choke { ohm, .. } | Feed::Ohm(ohm) => *ohm,
                Feed::Through(part) => job.part(part).and_then(Part::ohm).unwrap_or(Ohm::ZERO),
            };
        reached.insert(node.name.clone(), along);
    }
    let links: Vec<&Part> = job.parts.iter().filter(|p| p.kind.is_resistor() && feeds(p)).collect();
    loop {
        let next = links.iter().find_map(|link| {
            ends(link).find_map(|(one, other)| {
                let new = !other.is_chassis() && *other != supply.return_to && !reached.contains_key(other);
                let path = *reached.get(one)? + link.ohm().unwrap_or(Ohm::ZERO);
                new.then(|| (other.clone(), path))
            })
        });
        let Some((node, path)) = next else { return reached };
        reached.insert(node, path);
    }
}

/// Whether a resistor passes a supply on; the middle of a string is no node that a supply feeds.
fn feeds(part: &Part) -> bool {
    matches!(
        part.place,
        None | Some(
            Place::Dropper
                | Place::Decoupling
                | Place::Smoothing
                | Place::Screen
                | Place::Anode
                | Place::Stopper
                | Place::Bias
        )
    )
}
