//! The supply that a first capacitor belongs to, and how much capacitance its rectifier may see.

use super::context::NeedContext;
use crate::model::chassis::{Feed, HtSupply, RectifierKind};
use crate::model::kind::Place;
use crate::model::part::{NodeName, Part};
use crate::units::Farad;

/// What is known of the rectifier before a first capacitor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct First {
    /// Whether it is (or may be) a valve.
    pub(super) valve: bool,
    /// Whether its kind is known.
    pub(super) known: bool,
    /// This capacitor's share of the largest capacitance that the rectifier may see.
    pub(super) limit: Option<Farad>,
}

/// The rectifier before this first capacitor; `None` where a choke stands between both.
pub(super) fn first(context: &NeedContext<'_>) -> Option<First> {
    let supplies = &context.job.chassis.supplies;
    let own = supplies.iter().find(|s| feeds(s, context.part));
    let Some(supply) = own.or(if supplies.len() == 1 { supplies.first() } else { None }) else {
        let none_is_valve = !supplies.is_empty() && supplies.iter().all(|s| is_known_semiconductor(s.rectifier));
        return Some(First { valve: !none_is_valve, known: none_is_valve, limit: None });
    };
    if matches!(supply.nodes.first().map(|n| &n.feed), Some(Feed::Choke { .. })) {
        return None;
    }
    let listed = || supply.designation.as_deref().and_then(|d| context.shop.rectifier(d)).and_then(|r| r.max_first);
    let limit = supply.max_first.or_else(listed);
    Some(First {
        valve: !is_known_semiconductor(supply.rectifier),
        known: supply.rectifier != RectifierKind::Unknown,
        limit: limit.map(|l| l * share(context)),
    })
}

/// Whether the part sits at the first node of the supply.
pub(super) fn feeds(supply: &HtSupply, part: &Part) -> bool {
    let first: Option<&NodeName> = supply.nodes.first().map(|n| &n.name);
    first.is_some_and(|node| part.touches(node)) || supply.middle.as_ref().is_some_and(|node| part.touches(node))
}

/// Whether the kind is known and no valve.
const fn is_known_semiconductor(kind: RectifierKind) -> bool {
    matches!(kind, RectifierKind::Silicon | RectifierKind::Selenium)
}

/// This part's share of the capacitance at its node: a limit counts for all of it together.
fn share(context: &NeedContext<'_>) -> f64 {
    let part = context.part;
    let beside = |other: &&Part| {
        other.place == Some(Place::Reservoir)
            && other.plus.is_some()
            && other.plus == part.plus
            && other.minus == part.minus
    };
    let all: Farad = context.job.parts.iter().filter(beside).filter_map(Part::farad).sum();
    match part.farad() {
        Some(own) if own < all => own / all,
        _ => 1.0,
    }
}
