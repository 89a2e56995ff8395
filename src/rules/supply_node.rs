//! Supply capacitors whose node is no node of the chassis sheet: misspelt, or forgotten there.

use super::draft::find;
use super::{Rule, RuleMeta, Subject};
use crate::model::chassis::Job;
use crate::model::finding::{Call, Finding, MeasureStage};
use crate::model::kind::Place;
use crate::model::part::{NodeName, Part};
use crate::sources::SourceId;
use crate::units::parse::nearest;

/// Nodes of supply capacitors.
#[derive(Debug)]
pub(super) struct SupplyNode;

static META: RuleMeta = RuleMeta {
    id: "supply-node",
    title: "Supply capacitor at a node of no supply",
    what: "A reservoir or smoothing capacitor neither of whose nodes is one of chassis.toml; a decoupling capacitor \
           whose node is like one of them and is on no other part.",
    why: "The supply is computed without it: its ripple comes out too high, and the part's voltage and ripple current \
          are not known. Mostly the name is misspelt.",
    not_where: "Jobs without a supply in chassis.toml, parts without nodes, and nodes that hang on a supply's node by \
                another part.",
    remedy: "Write the name as it stands in chassis.toml, or add the node there.",
    safety: "",
    thresholds: &[],
    sources: &[SourceId::MissingIsNotGood],
    owner: None,
};

impl Rule for SupplyNode {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn check(&self, subject: &Subject<'_>, findings: &mut Vec<Finding>) {
        let (part, job) = (subject.part, subject.job);
        let sure = matches!(part.place, Some(Place::Reservoir | Place::Smoothing));
        if !part.kind.is_capacitor() || !(sure || part.place == Some(Place::Decoupling)) {
            return;
        }
        let ends: Vec<&NodeName> = [&part.plus, &part.minus].into_iter().flatten().collect();
        let own: Vec<&NodeName> = ends.iter().copied().filter(|n| !is_return(job, n)).collect();
        let names = names(job);
        let known = |node: &NodeName| names.contains(&node.as_str());
        if names.is_empty() || own.is_empty() || own.iter().any(|n| known(n)) {
            return;
        }
        let like = own.iter().find_map(|n| nearest(n.as_str(), &names).map(|name| (*n, name)));
        let others = |node: &NodeName| job.parts.iter().any(|p| p.reference != part.reference && p.touches(node));
        let hangs = |node: &NodeName| job.parts.iter().any(|p| p.touches(node) && touches_any(p, &names));
        let found = match (sure, like) {
            (true, _) => !own.iter().any(|n| hangs(n)),
            (false, Some((node, _))) => !others(node),
            (false, None) => false,
        };
        let Some(node) = own.first().filter(|_| found) else { return };
        let meant = like.map_or_else(String::new, |(_, name)| format!("; nearest {name}"));
        let says = format!("{node} is no node of chassis.toml{meant}: the supply is computed without it");
        find(&META, SourceId::MissingIsNotGood, Call::Test, says)
            .measure(MeasureStage::Look, "see how its node is spelt in chassis.toml")
            .add_to(findings);
    }
}

/// The names of all nodes of the sheet's supplies, middles of doublers included.
fn names(job: &Job) -> Vec<&str> {
    let supplies = || job.chassis.supplies.iter();
    let nodes = supplies().flat_map(|s| s.nodes.iter().map(|n| n.name.as_str()));
    nodes.chain(supplies().filter_map(|s| s.middle.as_ref()).map(NodeName::as_str)).collect()
}

fn is_return(job: &Job, node: &NodeName) -> bool {
    node.is_chassis() || job.chassis.supplies.iter().any(|s| s.return_to == *node)
}

fn touches_any(part: &Part, names: &[&str]) -> bool {
    names.iter().any(|name| part.touches(&NodeName::new(name)))
}
