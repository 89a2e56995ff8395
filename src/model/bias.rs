//! What becomes of a bias when a resistor that sets it, and that has drifted, is renewed.

use super::chassis::{Feed, HtSupply, Job, Polarity};
use super::kind::Place;
use super::part::{NodeName, Part, Reading};
use crate::units::{Ampere, Ohm, Volt};

/// A reading this near to the marked value changes no bias that could be told from the spread of valves, share
/// (our own rule).
const NO_CHANGE: f64 = 0.05;

/// A resistor that sets bias and reads off its marking.
#[derive(Debug, Clone, PartialEq)]
pub struct BiasDrift {
    /// As it reads.
    pub read: Ohm,
    /// As it will be: the marked value.
    pub nominal: Ohm,
    /// Everything between the ends at which the bias stands, as it reads: more than `read` where it is one of several.
    pub old: Ohm,
    /// The same after the work.
    pub new: Ohm,
    /// The voltage across all of that as found; `None` where nothing tells it.
    pub volts: Option<Volt>,
}

impl BiasDrift {
    /// New over old.
    pub fn ratio(&self) -> f64 {
        self.new / self.old
    }

    /// Where a bias of this size that valve current makes across it settles afterwards, least and most. A smaller
    /// resistor lowers the bias, which raises the current, which makes up for some of it: the bias ends between what the
    /// old current would give and what it was (Ohm's law, and more bias means less current).
    pub fn settles(&self, found: Volt) -> (Volt, Volt) {
        let moved = found * self.ratio();
        (found.min(moved), found.max(moved))
    }

    /// The current as found and the one that it tends to, where the voltage is known.
    pub fn currents(&self) -> Option<(Ampere, Ampere)> {
        let volts = self.volts?;
        Some((volts / self.old, volts / self.new))
    }
}

impl Job {
    /// How a resistor that sets bias has drifted: at a cathode, in the return or the bias supply, or one that feeds a
    /// node of a negative supply. `None` for every other part, and where it reads as marked or was not read.
    /// `is_renewed` tells which parts are as marked after the work.
    pub fn bias_drift(&self, part: &Part, is_renewed: impl Fn(&Part) -> bool) -> Option<BiasDrift> {
        let sets = matches!(part.place, Some(Place::Bias | Place::Cathode)) || self.feeds_bias(part);
        let (Some(nominal), Some(Reading::Ohm(read))) = (part.ohm(), part.found.reads) else { return None };
        let off = (nominal / read - 1.0).abs();
        let counts = sets && part.kind.is_resistor() && NO_CHANGE < off && off.is_finite();
        if !counts {
            return None;
        }
        let alone = BiasDrift { read, nominal, old: read, new: nominal, volts: self.volts_across(part) };
        let string = self.back_bias().filter(|(string, _)| string.iter().any(|p| p.reference == part.reference));
        let Some((string, volts)) = string else { return Some(alone) };
        let now = |p: &Part| match p.found.reads {
            Some(Reading::Ohm(read)) => Some(read),
            _ => p.ohm(),
        };
        let then = |p: &Part| if is_renewed(p) { p.ohm() } else { now(p) };
        let old: Option<Vec<Ohm>> = string.iter().map(|p| now(p)).collect();
        let new: Option<Vec<Ohm>> = string.iter().map(|p| then(p)).collect();
        let Some((old, new)) = old.zip(new) else { return Some(alone) };
        Some(BiasDrift { old: old.into_iter().sum(), new: new.into_iter().sum(), volts, ..alone })
    }

    /// Whether the part feeds a node of a negative supply.
    pub fn feeds_bias(&self, part: &Part) -> bool {
        self.bias_supply_through(part).is_some()
    }

    /// The negative supply of which a node is fed through the part.
    pub fn bias_supply_through(&self, part: &Part) -> Option<&HtSupply> {
        let through = |feed: &Feed| matches!(feed, Feed::Through(reference) if *reference == part.reference);
        let negative = |s: &&HtSupply| s.polarity == Polarity::Negative && s.nodes.iter().any(|n| through(&n.feed));
        self.chassis.supplies.iter().find(negative)
    }

    /// The resistors of a back bias, in one string from the chassis to the return of the supply, with the voltage
    /// across all of them as found; `None` where they are no such string.
    fn back_bias(&self) -> Option<(Vec<&Part>, Option<Volt>)> {
        let supply = self.chassis.supplies.iter().find(|s| !s.return_to.is_chassis())?;
        let placed = |p: &&Part| p.place == Some(Place::Bias) && p.kind.is_resistor();
        let string: Vec<&Part> = self.parts.iter().filter(placed).collect();
        let ends: Vec<&NodeName> = string.iter().flat_map(|p| [&p.plus, &p.minus]).flatten().collect();
        let once = |node: &&&NodeName| ends.iter().filter(|other| *other == *node).count() == 1;
        let single: Vec<&&NodeName> = ends.iter().filter(once).collect();
        let twice = ends.iter().all(|node| ends.iter().filter(|other| *other == node).count() <= 2);
        let known = ends.len() == string.len() * 2;
        let closed = single.len() == 2
            && single.iter().any(|n| n.is_chassis())
            && single.iter().any(|n| ***n == supply.return_to);
        (known && twice && closed).then(|| (string, self.volts_at_return(&supply.return_to)))
    }

    /// The DC from the chassis to this node as found: of a capacitor there, or the bias of the grid that returns there.
    fn volts_at_return(&self, node: &NodeName) -> Option<Volt> {
        let to_chassis = |p: &&Part| p.touches(node) && p.touches(&NodeName::chassis());
        let across = self.parts.iter().filter(to_chassis).find_map(|p| p.found.working);
        let own = |p: &&Part| self.grid_leak(p).is_some_and(|(_, back)| back == Some(node));
        let returned = || self.parts.iter().filter(|p| p.kind.is_capacitor()).filter(own).find_map(|p| p.found.bias);
        across.or_else(returned).map(Volt::abs)
    }

    /// The DC across a resistor as found: its own, that of a part across it, or, where it goes to the chassis, what is
    /// known at its far end.
    fn volts_across(&self, part: &Part) -> Option<Volt> {
        let (Some(plus), Some(minus)) = (&part.plus, &part.minus) else { return part.found.working.map(Volt::abs) };
        let across = |p: &&Part| p.touches(plus) && p.touches(minus);
        let beside = || self.parts.iter().filter(across).find_map(|p| p.found.working).map(Volt::abs);
        let far = match (plus.is_chassis(), minus.is_chassis()) {
            (true, false) => Some(minus),
            (false, true) => Some(plus),
            _ => None,
        };
        part.found.working.map(Volt::abs).or_else(beside).or_else(|| self.volts_at_return(far?))
    }
}
