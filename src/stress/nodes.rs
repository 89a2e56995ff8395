//! The voltage of every known node: working, and the most that can be there.

use std::collections::BTreeMap;

use crate::model::chassis::{Circuit, HtNode, Job, Polarity};
use crate::model::finding::{Basis, Known};
use crate::model::kind::Place;
use crate::model::part::NodeName;
use crate::model::supply::{NodeFigures, SupplyOutcome};
use crate::units::Volt;

/// One node, with voltages to chassis; negative supplies count downwards.
#[derive(Debug, Clone, PartialEq)]
struct NodeVolts {
    working: Option<Known<Volt>>,
    highest: Option<Known<Volt>>,
    polarity: Polarity,
    /// For the middle of a full-wave doubler: the node that it is half of.
    half_of: Option<NodeName>,
}

/// How many resistors in a row a node may hang on.
const ROUNDS: usize = 8;

/// The nodes of all supplies.
#[derive(Debug, Clone)]
pub(super) struct NodeTable {
    nodes: BTreeMap<NodeName, NodeVolts>,
    returns: Vec<NodeName>,
}

impl NodeTable {
    /// From the sheet and the computed supplies.
    pub(super) fn new(job: &Job, outcomes: &[SupplyOutcome]) -> Self {
        let mut nodes = BTreeMap::new();
        let mut returns = vec![NodeName::chassis()];
        for (supply, outcome) in job.chassis.supplies.iter().zip(outcomes) {
            returns.push(supply.return_to.clone());
            for (index, node) in supply.nodes.iter().enumerate() {
                let figures = outcome.as_ref().ok().and_then(|f| f.nodes.get(index));
                let measured_peak = supply.warm_up_max.filter(|_| supply.rectifier.is_valve());
                let volts = volts_of(node, figures, measured_peak, supply.polarity);
                if let Some(middle) =
                    supply.middle.as_ref().filter(|_| index == 0 && supply.circuit == Circuit::Doubler)
                {
                    nodes.insert(middle.clone(), half(&volts, &node.name));
                }
                nodes.insert(node.name.clone(), volts);
            }
        }
        let mut table = Self { nodes, returns };
        for _ in 0..ROUNDS {
            if !table.feed(job) {
                break;
            }
        }
        table
    }

    /// Gives every node that hangs on a known one by a resistor the most that can be there, which is no more than
    /// at the node that feeds it; whether any was given.
    fn feed(&mut self, job: &Job) -> bool {
        let mut found: BTreeMap<NodeName, NodeVolts> = BTreeMap::new();
        for part in job.parts.iter().filter(|p| p.kind.is_resistor()) {
            let (Some(plus), Some(minus)) = (&part.plus, &part.minus) else { continue };
            for (from, to) in [(plus, minus), (minus, plus)] {
                let fed = self.nodes.get(from).filter(|n| feeds(part.place, n.polarity));
                let Some((node, highest)) = fed.and_then(|n| Some((n, n.highest?))) else { continue };
                if self.nodes.contains_key(to) || self.returns.contains(to) {
                    continue;
                }
                let more = found.get(to).and_then(|n| n.highest).is_none_or(|known| known.value < highest.value);
                if more {
                    let volts =
                        NodeVolts { working: None, highest: Some(highest), polarity: node.polarity, half_of: None };
                    found.insert(to.clone(), volts);
                }
            }
        }
        let any = !found.is_empty();
        self.nodes.extend(found);
        any
    }

    /// Working voltage between two ends.
    pub(super) fn working_between(&self, plus: Option<&NodeName>, minus: Option<&NodeName>) -> Option<Known<Volt>> {
        self.between(plus, minus, |n| n.working, false)
    }

    /// The most that can be between two ends: of two HT nodes, the higher one may be up while the
    /// other is still down only in the first instant, so the difference of both counts for parts
    /// between them, and the whole voltage against chassis or return.
    pub(super) fn highest_between(&self, plus: Option<&NodeName>, minus: Option<&NodeName>) -> Option<Known<Volt>> {
        self.between(plus, minus, |n| n.highest, true)
    }

    fn between(
        &self,
        plus: Option<&NodeName>,
        minus: Option<&NodeName>,
        figure: impl Fn(&NodeVolts) -> Option<Known<Volt>>,
        cold: bool,
    ) -> Option<Known<Volt>> {
        let (plus, minus) = (plus?, minus?);
        match (self.nodes.get(plus), self.nodes.get(minus)) {
            // The middle of a doubler rises with its upper end, cold and warm.
            (Some(a), Some(_)) if a.half_of.as_ref() == Some(minus) => figure(a),
            (Some(_), Some(b)) if b.half_of.as_ref() == Some(plus) => figure(b),
            (Some(a), Some(b)) => {
                let opposite = a.polarity != b.polarity;
                let (a, b) = (figure(a)?, figure(b)?);
                let value = match (opposite, cold) {
                    (true, _) => a.value + b.value,
                    // Cold, a part between two nodes may see the whole of the higher one.
                    (false, true) => a.value.max(b.value),
                    (false, false) => (a.value - b.value).abs(),
                };
                Some(Known::new(value, a.basis.max(b.basis)))
            }
            (Some(node), None) if self.returns.contains(minus) => figure(node),
            (None, Some(node)) if self.returns.contains(plus) => figure(node),
            _ => None,
        }
    }

    /// The most that can be at either end of a part, of which nothing is known of the other; `None` where nothing
    /// is known of both.
    pub(super) fn highest_at(&self, plus: Option<&NodeName>, minus: Option<&NodeName>) -> Option<Known<Volt>> {
        let known = [plus, minus].into_iter().flatten().filter_map(|end| self.nodes.get(end)?.highest);
        known.reduce(|a, b| if b.value > a.value { b } else { a })
    }

    /// The highest of all supplies of this polarity.
    pub(super) fn highest_of(&self, polarity: Polarity) -> Option<Known<Volt>> {
        let highest = self.nodes.values().filter(|n| n.polarity == polarity).filter_map(|n| n.highest);
        highest.reduce(|a, b| if b.value > a.value { b } else { a })
    }
}

/// Whether a resistor at this place brings a node the voltage of a supply of this polarity.
fn feeds(place: Option<Place>, polarity: Polarity) -> bool {
    let always = matches!(place, Some(Place::Dropper | Place::Decoupling));
    let own = match polarity {
        Polarity::Positive => matches!(place, Some(Place::Anode | Place::Screen)),
        Polarity::Negative => matches!(place, Some(Place::Bias | Place::GridLeak)),
    };
    always || own
}

/// The middle of a doubler: half of its first node.
fn half(first: &NodeVolts, name: &NodeName) -> NodeVolts {
    let half = |known: Known<Volt>| Known::new(known.value / 2.0, Basis::Computed);
    NodeVolts {
        working: first.working.map(half),
        highest: first.highest.map(half),
        polarity: first.polarity,
        half_of: Some(name.clone()),
    }
}

fn volts_of(node: &HtNode, figures: Option<&NodeFigures>, peak: Option<Volt>, polarity: Polarity) -> NodeVolts {
    let measured = node.measured.map(|v| Known::new(v.abs(), Basis::Measured));
    let computed = figures.map(|f| Known::new(f.volts.abs(), Basis::Computed));
    let stated = node.sheet.map(|v| Known::new(v.abs(), Basis::Stated));
    let highest = figures.map(|f| {
        let basis = if peak.is_some() { Basis::Measured } else { Basis::Computed };
        Known::new(f.highest.abs(), basis)
    });
    let highest = highest.or(peak.map(|v| Known::new(v.abs(), Basis::Measured)));
    NodeVolts { working: measured.or(computed).or(stated), highest, polarity, half_of: None }
}
