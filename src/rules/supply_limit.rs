//! Rectifiers beyond their limits, told at the rectifier and at the first capacitor.

use super::draft::find;
use super::held::is_over;
use super::{Rule, RuleMeta, Subject};
use crate::model::finding::{Call, Finding, MeasureStage, OwnerCause};
use crate::model::kind::PartKind;
use crate::model::supply::{SupplyFigures, SupplyWarning};
use crate::sources::SourceId;

/// Limits of rectifiers.
#[derive(Debug)]
pub(super) struct SupplyLimit;

static META: RuleMeta = RuleMeta {
    id: "supply-limit",
    title: "Rectifier beyond its limits",
    what: "The computed supply against what its rectifier may be given: the first capacitor, the peak and mean \
           current, the current when it is switched on hot, the source resistance. Told at the rectifier and at the \
           first capacitor; also where the technician asks (accept) for more than the rectifier may see.",
    why: "A first capacitor that is too large makes the current peaks higher. They wear the cathode of a valve \
          rectifier, or strike an arc in it when it is switched on hot.",
    not_where: "Rectifiers without limits in the chassis sheet or in rectifiers.csv; supplies that could not be \
                computed; choke input, as to the first capacitor.",
    remedy: "A first capacitor within the limit. For peaks also a resistor in each anode lead: but mind that the HT \
             falls with it.",
    safety: "",
    thresholds: &[],
    sources: &[SourceId::FirstCapacitor, SourceId::RectifierSheet],
    owner: Some(OwnerCause::Overloaded),
};

/// Warnings that the first capacitor has a hand in.
const OF_THE_FIRST: &[&str] = &["first-capacitor", "peak", "surge"];

/// Warnings that are the rectifier's.
const OF_THE_RECTIFIER: &[&str] = &["first-capacitor", "peak", "surge", "average", "source-resistance", "winding"];

impl Rule for SupplyLimit {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn check(&self, subject: &Subject<'_>, findings: &mut Vec<Finding>) {
        for supply in subject.supplies.iter().filter_map(|s| s.as_ref().ok()) {
            let first = is_first(subject, supply);
            if !first && !is_rectifier(subject, supply) {
                continue;
            }
            let concerned = if first { OF_THE_FIRST } else { OF_THE_RECTIFIER };
            for warning in supply.rectifier.warnings.iter().filter(|w| concerned.contains(&w.id)) {
                tell(supply, warning, first, findings);
            }
            if first {
                wanted(subject, supply, findings);
            }
        }
    }
}

/// Whether the part is a capacitor at the first node.
fn is_first(subject: &Subject<'_>, supply: &SupplyFigures) -> bool {
    supply.nodes.first().is_some_and(|n| n.capacitors.iter().any(|c| c.reference == subject.part.reference))
}

/// Whether the part is this supply's rectifier: by its type, or a rectifier on the first node.
fn is_rectifier(subject: &Subject<'_>, supply: &SupplyFigures) -> bool {
    let part = subject.part;
    let sheet = subject.job.chassis.supplies.iter().find(|s| s.name == supply.name);
    let named = sheet.and_then(|s| s.designation.as_deref()).zip(part.designation());
    let by_type = named.is_some_and(|(a, b)| a.eq_ignore_ascii_case(b.trim()));
    let at_first = supply.nodes.first().is_some_and(|n| part.touches(&n.name));
    match part.kind {
        PartKind::Valve => by_type,
        PartKind::Rectifier => by_type || at_first,
        _ => false,
    }
}

/// One warning at one part. Too large a first capacitor is a fault of the capacitor, where there is one
/// alone; everything else is told.
fn tell(supply: &SupplyFigures, warning: &SupplyWarning, first: bool, findings: &mut Vec<Finding>) {
    let near = if warning.near { ", close to it" } else { "" };
    let says = format!("{}: {}{near}", supply.name, warning.says);
    let draft =
        |call, source| find(&META, source, call, says.clone()).against(warning.value, warning.limit, warning.unit);
    if warning.id != "first-capacitor" {
        draft(Call::Note, SourceId::RectifierSheet).add_to(findings);
    } else if !first {
        draft(Call::Note, SourceId::FirstCapacitor).add_to(findings);
    } else if supply.nodes.first().is_some_and(|n| n.capacitors.len() == 1) {
        draft(Call::Replace, SourceId::FirstCapacitor).add_to(findings);
    } else {
        draft(Call::Test, SourceId::FirstCapacitor)
            .measure(MeasureStage::Look, "see by the service sheet which capacitors belong at the first node")
            .add_to(findings);
    }
}

/// What the technician asks for, where that is more than the rectifier may see.
fn wanted(subject: &Subject<'_>, supply: &SupplyFigures, findings: &mut Vec<Finding>) {
    let direct = supply.nodes.first().is_some_and(|n| n.series.is_none());
    let asked = subject.part.accept.farad.map(|(_, most)| most);
    let Some((most, limit)) = asked.zip(supply.rectifier.max_first).filter(|_| direct) else { return };
    if is_over(most.get(), limit.get()) {
        let says = format!("{}: up to {most} asked for, the rectifier may see {limit} at most", supply.name);
        find(&META, SourceId::FirstCapacitor, Call::Note, says)
            .against(most.get() * 1e6, limit.get() * 1e6, "µF")
            .add_to(findings);
    }
}
