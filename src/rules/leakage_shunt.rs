//! Screen and AGC bypasses: leakage against the resistance that they shunt.

use super::draft::find;
use super::held::is_under;
use super::say;
use super::{Rule, RuleMeta, Subject, Threshold};
use crate::limits::leakage::PAPER_RATIO;
use crate::model::finding::{Call, Finding, OwnerCause};
use crate::model::kind::{PartKind, Place};
use crate::model::part::Part;
use crate::sources::SourceId;
use crate::units::{Ampere, Ohm};

/// Leakage of bypasses.
#[derive(Debug)]
pub(super) struct LeakageShunt;

static TIMES: Threshold = Threshold {
    key: "leakage-shunt",
    default: 20.0,
    unit: "times",
    what: "least leakage resistance, multiple of the resistance that feeds the place",
    source: PAPER_RATIO.source,
};

static META: RuleMeta = RuleMeta {
    id: "leakage-shunt",
    title: "Bypass leaks against the resistance that it shunts",
    what: "The leakage resistance (test voltage over leakage current) of a screen, decoupling, bias or tone bypass, \
           against the largest resistor of the parts list at the same node.",
    why: "Behind 100 k a leak of 2 M takes a twentieth of the voltage; behind the 2 M of an AGC line it takes half.",
    not_where: "Electrolytics; parts whose leakage was not read with its voltage, or whose nodes are not known.",
    remedy: "Replace.",
    safety: "",
    thresholds: &[TIMES],
    sources: &[SourceId::PaperLeakage],
    owner: Some(OwnerCause::Passing),
};

impl Rule for LeakageShunt {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn check(&self, subject: &Subject<'_>, findings: &mut Vec<Finding>) {
        let part = subject.part;
        let place = matches!(part.place, Some(Place::Screen | Place::Decoupling | Place::Bias | Place::Tone));
        if !part.kind.is_capacitor() || part.kind == PartKind::Electrolytic || !place {
            return;
        }
        let reading = part.found.leakage.and_then(|l| l.at.map(|at| (at.abs(), l.current.abs())));
        let Some((at, current)) = reading.filter(|(_, current)| *current > Ampere::ZERO) else { return };
        let Some((feeder, shunted)) = fed_through(subject) else { return };
        let held = subject.held(&TIMES);
        let (leak, least) = (at / current, shunted * held.value);
        let times = leak / shunted;
        let says = format!(
            "leaks as {leak} would, behind {feeder} of {shunted} ({})",
            say::limit(&format!("at least {least}"), held.from_shop)
        );
        let call = if is_under(times, held.value) { Call::Replace } else { Call::Note };
        find(&META, held.source, call, says).held(times, &held).add_to(findings);
    }
}

/// The largest resistor that shares a node with the part, the chassis apart.
fn fed_through<'a>(subject: &Subject<'a>) -> Option<(&'a str, Ohm)> {
    let part = subject.part;
    let nodes = [part.plus.as_ref(), part.minus.as_ref()];
    let shares = |p: &Part| nodes.iter().flatten().any(|node| !node.is_chassis() && p.touches(node));
    let fed = subject.job.parts.iter().filter(|p| p.kind.is_resistor() && shares(p));
    fed.filter_map(|p| p.ohm().map(|ohm| (p.reference.as_str(), ohm))).max_by(|a, b| a.1.get().total_cmp(&b.1.get()))
}
