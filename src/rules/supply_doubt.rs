//! Parts at nodes whose voltage is in doubt: measured and computed far apart, or not computed.

use super::draft::find;
use super::{Rule, RuleMeta, Subject};
use crate::model::finding::{Call, Finding, MeasureStage};
use crate::model::supply::{SupplyFigures, SupplyUnproved};
use crate::sources::SourceId;

/// Doubtful voltages.
#[derive(Debug)]
pub(super) struct SupplyDoubt;

static META: RuleMeta = RuleMeta {
    id: "supply-doubt",
    title: "Voltage at the part's node is in doubt",
    what: "A capacitor or resistor at a node that was measured more than a tenth off what the supply computes; at a \
           node that computes below zero; or at a node of a supply that could not be computed.",
    why: "Either the load or the source data on the sheet are wrong, or there is a fault at the node. Until that is \
          known, the highest voltage there, which is computed, is no better than the data.",
    not_where: "Nodes that were not measured; parts on no node of a supply.",
    remedy: "Measure the node again, then the loads and the winding. The measured figure is used for the working \
             voltage, never the mean of both.",
    safety: "Readings at voltage: one hand, insulated probes.",
    thresholds: &[],
    sources: &[SourceId::CircuitLaw, SourceId::MissingIsNotGood],
    owner: None,
};

/// Warnings about one node.
const OF_A_NODE: &[&str] = &["measured-differs", "below-zero"];

impl Rule for SupplyDoubt {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn check(&self, subject: &Subject<'_>, findings: &mut Vec<Finding>) {
        if !subject.part.kind.is_capacitor() && !subject.part.kind.is_resistor() {
            return;
        }
        for supply in subject.supplies {
            match supply {
                Ok(figures) => doubted(subject, figures, findings),
                Err(unproved) => not_computed(subject, unproved, findings),
            }
        }
    }
}

/// Nodes of the part whose figures contradict each other.
fn doubted(subject: &Subject<'_>, supply: &SupplyFigures, findings: &mut Vec<Finding>) {
    let here = |w: &&crate::model::supply::SupplyWarning| {
        OF_A_NODE.contains(&w.id) && w.node.as_ref().is_some_and(|n| subject.part.touches(n))
    };
    for warning in supply.rectifier.warnings.iter().filter(here) {
        find(&META, SourceId::CircuitLaw, Call::Note, format!("{}: {}", supply.name, warning.says))
            .against(warning.value, warning.limit, warning.unit)
            .measure(MeasureStage::AtVoltage, "read the voltage of its node again")
            .add_to(findings);
    }
}

/// A part on a node of a supply without figures.
fn not_computed(subject: &Subject<'_>, unproved: &SupplyUnproved, findings: &mut Vec<Finding>) {
    let sheet = subject.job.chassis.supplies.iter().find(|s| s.name == unproved.name);
    if sheet.is_some_and(|s| s.nodes.iter().any(|n| subject.part.touches(&n.name))) {
        let says = format!("{} not computed: {}", unproved.name, unproved.says);
        find(&META, SourceId::MissingIsNotGood, Call::Note, says).add_to(findings);
    }
}
