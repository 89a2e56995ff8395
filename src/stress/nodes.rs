//! The voltage of every known node: working, and the most that can be there.

use std::collections::BTreeMap;

use crate::model::chassis::{HtNode, Job, Polarity};
use crate::model::finding::{Basis, Known};
use crate::model::part::NodeName;
use crate::model::supply::{NodeFigures, SupplyOutcome};
use crate::units::Volt;

/// One node, with voltages to chassis; negative supplies count downwards.
#[derive(Debug, Clone, Copy, PartialEq)]
struct NodeVolts {
    working: Option<Known<Volt>>,
    highest: Option<Known<Volt>>,
    polarity: Polarity,
}

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
                nodes.insert(node.name.clone(), volts_of(node, figures, measured_peak, supply.polarity));
            }
        }
        Self { nodes, returns }
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
            (Some(a), Some(b)) => {
                let (a, b) = (figure(a)?, figure(b)?);
                // Cold, a part between two nodes may see the whole of the higher one.
                let value = if cold { a.value.max(b.value) } else { (a.value - b.value).abs() };
                Some(Known::new(value, a.basis.max(b.basis)))
            }
            (Some(node), None) if self.returns.contains(minus) => figure(node),
            (None, Some(node)) if self.returns.contains(plus) => figure(node),
            _ => None,
        }
    }

    /// The highest of all supplies of this polarity.
    pub(super) fn highest_of(&self, polarity: Polarity) -> Option<Known<Volt>> {
        let highest = self.nodes.values().filter(|n| n.polarity == polarity).filter_map(|n| n.highest);
        highest.reduce(|a, b| if b.value > a.value { b } else { a })
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
    NodeVolts { working: measured.or(computed).or(stated), highest, polarity }
}
