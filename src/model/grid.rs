//! What DC may be on the grid behind a coupling capacitor: one answer for the rule, the sheet and the check.
//!
//! A leaky coupling capacitor pulls the next grid up, towards the anode before it. What counts is how far it is
//! above the voltage that its grid leak returns to: the chassis, or the bias line of a stage with fixed bias.
//! A grid below that is not leakage: a grid leak of some megohms lets the valve's own contact current hold its
//! grid at -0.5 to -1 V (common practice, no source).

use std::collections::BTreeSet;

use super::chassis::{Job, Polarity};
use super::kind::Place;
use super::part::{NodeName, Part};
use crate::units::{Ohm, Volt};

/// The limits in force: the handbook's figures, or the shop's own under `[margins]`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GridShares {
    /// Most of the working bias, percent.
    pub percent: f64,
    /// Most in a stage of small signals, and where the bias is not known.
    pub small: Volt,
    /// Bias up to which a stage counts as one of small signals.
    pub small_bias: Volt,
}

/// What set a limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GridBound {
    /// The share of the working bias.
    Share,
    /// The figure for stages of small signals, which is less than the share.
    SmallSignal,
    /// The figure for stages of small signals, for the bias is not known.
    NoBias,
}

/// The most that the grid may be above the voltage that it returns to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GridLimit {
    /// Upwards shift that still passes.
    pub shift: Volt,
    /// What set it.
    pub by: GridBound,
}

/// The limit at a working bias (its sign is not used; `None` or zero: not known).
///
/// Up to [`GridShares::small_bias`], that figure included, the lower of both holds; above it the share alone.
pub fn grid_limit(bias: Option<Volt>, shares: GridShares) -> GridLimit {
    let Some(bias) = bias.map(Volt::abs).filter(|bias| *bias > Volt::ZERO) else {
        return GridLimit { shift: shares.small, by: GridBound::NoBias };
    };
    let share = bias * (shares.percent / 100.0);
    if bias <= shares.small_bias && shares.small < share {
        GridLimit { shift: shares.small, by: GridBound::SmallSignal }
    } else {
        GridLimit { shift: share, by: GridBound::Share }
    }
}

/// Where the grid behind a coupling capacitor rests while nothing leaks.
#[derive(Debug, Clone, PartialEq)]
pub enum GridRest {
    /// At the chassis; also where the parts list has no grid leak for it. A stage with back bias counts here too:
    /// its line is below the chassis only while the set draws its current, and the test of a coupling capacitor is
    /// made with the valve cold or removed, or from that line ([`Job::grid_back`]).
    Chassis,
    /// At a bias line, which is negative against the chassis.
    Bias {
        /// The node that its grid leak returns to.
        node: NodeName,
        /// Its voltage, below zero; `None` where neither the part's `bias_v` nor the node tells it.
        volts: Option<Volt>,
    },
    /// At another node, whose voltage is not known here.
    Elsewhere(NodeName),
}

impl GridRest {
    /// The voltage to count from; `None` where it is not known.
    pub fn volts(&self) -> Option<Volt> {
        match self {
            Self::Chassis => Some(Volt::ZERO),
            Self::Bias { volts, .. } => *volts,
            Self::Elsewhere(_) => None,
        }
    }

    /// How far a reading is above the voltage of rest; below zero: it is under it, which no leakage does.
    pub fn shift(&self, read: Volt) -> Option<Volt> {
        self.volts().map(|rest| read - rest)
    }
}

impl Job {
    /// The grid leak that shares a node with a coupling capacitor, and the node that it returns to.
    pub fn grid_leak(&self, coupling: &Part) -> Option<(&Part, Option<&NodeName>)> {
        let ends: Vec<&NodeName> =
            [&coupling.plus, &coupling.minus].into_iter().flatten().filter(|node| !node.is_chassis()).collect();
        self.parts.iter().filter(|p| p.place == Some(Place::GridLeak)).find_map(|leak| {
            match (&leak.plus, &leak.minus) {
                (Some(one), other) if ends.contains(&one) => Some((leak, other.as_ref())),
                (other, Some(one)) if ends.contains(&one) => Some((leak, other.as_ref())),
                _ => None,
            }
        })
    }

    /// The resistance of that grid leak, as marked.
    pub fn grid_leak_ohm(&self, coupling: &Part) -> Option<Ohm> {
        self.grid_leak(coupling).and_then(|(leak, _)| leak.ohm())
    }

    /// Where the grid behind a coupling capacitor rests.
    ///
    /// A grid leak that returns, at once or through resistors, to a node of a negative supply belongs to a stage
    /// with fixed bias.
    pub fn grid_rest(&self, coupling: &Part) -> GridRest {
        let Some((_, Some(back))) = self.grid_leak(coupling) else { return GridRest::Chassis };
        if back.is_chassis() {
            return GridRest::Chassis;
        }
        let supplies = &self.chassis.supplies;
        let is_negative = |node: &NodeName| {
            supplies.iter().any(|s| s.polarity == Polarity::Negative && s.nodes.iter().any(|n| n.name == *node))
        };
        if !self.reaches(back, is_negative) {
            let back_bias = self.grid_back(coupling).is_some();
            return if back_bias { GridRest::Chassis } else { GridRest::Elsewhere(back.clone()) };
        }
        let of_part = coupling.found.bias.map(Volt::abs).filter(|bias| *bias > Volt::ZERO);
        let nodes = self.chassis.supplies.iter().filter(|s| s.polarity == Polarity::Negative).flat_map(|s| &s.nodes);
        let of_node = || nodes.filter(|n| n.name == *back).find_map(|n| n.measured.or(n.sheet)).map(Volt::abs);
        GridRest::Bias { node: back.clone(), volts: of_part.or_else(of_node).map(|size| Volt::ZERO - size) }
    }

    /// The node that the grid leak returns to in a stage with back bias: on, or by resistors at, the return of an HT
    /// that is below the chassis.
    pub fn grid_back(&self, coupling: &Part) -> Option<&NodeName> {
        let back = self.grid_leak(coupling)?.1.filter(|node| !node.is_chassis())?;
        let is_return = |node: &NodeName| {
            let of = |s: &super::chassis::HtSupply| s.polarity == Polarity::Positive && s.return_to == *node;
            !node.is_chassis() && self.chassis.supplies.iter().any(of)
        };
        self.reaches(back, is_return).then_some(back)
    }

    /// Whether a node is, or hangs by resistors alone on, a node that is wanted, without passing the chassis or HT.
    fn reaches(&self, start: &NodeName, wanted: impl Fn(&NodeName) -> bool) -> bool {
        let supplies = &self.chassis.supplies;
        let is_positive = |node: &NodeName| {
            supplies.iter().any(|s| s.polarity == Polarity::Positive && s.nodes.iter().any(|n| n.name == *node))
        };
        let (mut seen, mut due) = (BTreeSet::new(), vec![start.clone()]);
        while let Some(node) = due.pop() {
            if wanted(&node) {
                return true;
            }
            if node.is_chassis() || is_positive(&node) || !seen.insert(node.clone()) {
                continue;
            }
            for part in self.parts.iter().filter(|p| p.kind.is_resistor() && p.place != Some(Place::GridLeak)) {
                match (&part.plus, &part.minus) {
                    (Some(one), Some(other)) if *one == node => due.push(other.clone()),
                    (Some(other), Some(one)) if *one == node => due.push(other.clone()),
                    _ => {}
                }
            }
        }
        false
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SHARES: GridShares = GridShares { percent: 1.0, small: Volt::new(0.020), small_bias: Volt::new(5.0) };

    fn millivolts(bias: Option<f64>) -> (f64, GridBound) {
        let limit = grid_limit(bias.map(Volt::new), SHARES);
        ((limit.shift.get() * 1e6).round() / 1e3, limit.by)
    }

    // By hand from the two sentences of the rule page: 1 % of the bias, and up to 5 V of bias 20 mV at most.
    #[test]
    fn the_share_holds_above_five_volts_and_the_lower_of_both_below() {
        assert_eq!(millivolts(Some(38.0)), (380.0, GridBound::Share));
        assert_eq!(millivolts(Some(9.9)), (99.0, GridBound::Share));
        assert_eq!(millivolts(Some(5.1)), (51.0, GridBound::Share));
        assert_eq!(millivolts(Some(5.0)), (20.0, GridBound::SmallSignal));
        assert_eq!(millivolts(Some(-3.2)), (20.0, GridBound::SmallSignal));
        assert_eq!(millivolts(Some(1.1)), (11.0, GridBound::Share));
        assert_eq!(millivolts(None), (20.0, GridBound::NoBias));
        assert_eq!(millivolts(Some(0.0)), (20.0, GridBound::NoBias));
    }

    #[test]
    fn only_what_is_above_the_voltage_of_rest_is_leakage() {
        let fixed = GridRest::Bias { node: NodeName::new("NG"), volts: Some(Volt::new(-38.0)) };
        let near = |shift: Option<Volt>, due: f64| shift.is_some_and(|s| (s.get() - due).abs() < 1e-9);
        assert!(near(fixed.shift(Volt::new(-37.9)), 0.1) && near(fixed.shift(Volt::new(-34.8)), 3.2));
        assert!(near(GridRest::Chassis.shift(Volt::new(-0.7)), -0.7));
        assert_eq!(GridRest::Elsewhere(NodeName::new("K3")).shift(Volt::new(50.0)), None);
    }
}
