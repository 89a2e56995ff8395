//! One line of the parts list: what is fitted, where, and what was measured and seen.
//!
//! Whatever was not written down is `None`; nothing missing is ever zero, good or chassis.

use super::kind::{MainsClass, PartKind, Place, Sight, Style, Wish};
use crate::units::{Ampere, Celsius, Farad, Hertz, Millimetre, Ohm, Second, Tolerance, Volt, Watt};

/// A node of the circuit by its name; upper and lower case are alike.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct NodeName(String);

impl NodeName {
    /// The chassis.
    pub const CHASSIS: &'static str = "CH";

    /// A name as written, without outer blanks.
    pub fn new(text: &str) -> Self {
        Self(text.trim().to_uppercase())
    }

    /// The name in capitals.
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// The chassis.
    pub fn chassis() -> Self {
        Self(Self::CHASSIS.to_owned())
    }

    /// Whether it is the chassis.
    pub fn is_chassis(&self) -> bool {
        self.0 == Self::CHASSIS
    }
}

impl std::fmt::Display for NodeName {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.pad(&self.0)
    }
}

/// The value that a part is marked with.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// Capacitance.
    Farad(Farad),
    /// Resistance.
    Ohm(Ohm),
    /// Type designation of a valve, lamp, fuse, rectifier or piece of hardware.
    Designation(String),
}

/// What a meter showed for a capacitor's or resistor's own quantity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Reading {
    /// Capacitance.
    Farad(Farad),
    /// Resistance.
    Ohm(Ohm),
    /// No connection.
    Open,
    /// A short circuit.
    Short,
}

/// A measured series resistance and its test frequency.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EsrReading {
    /// Equivalent series resistance.
    pub ohm: Ohm,
    /// Test frequency; without it the reading is shown and not judged.
    pub at: Option<Hertz>,
}

/// A measured leakage current with its conditions.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeakageReading {
    /// Direct current.
    pub current: Ampere,
    /// Voltage that it was taken at.
    pub at: Option<Volt>,
    /// Time under that voltage.
    pub after: Option<Second>,
}

/// What the technician demands of a substitute, over the rules but not over safety.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Accept {
    /// Least and most capacitance (equal for one value).
    pub farad: Option<(Farad, Farad)>,
    /// Least and most resistance.
    pub ohm: Option<(Ohm, Ohm)>,
    /// Designation accepted.
    pub designation: Option<String>,
    /// Least voltage.
    pub volts: Option<Volt>,
    /// Class.
    pub class: Option<MainsClass>,
}

/// Space and mounting at the place of a part.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Space {
    /// Styles that may be fitted, as written; empty when nothing was written.
    pub styles: Vec<Style>,
    /// Largest diameter.
    pub diameter: Option<Millimetre>,
    /// Largest length.
    pub length: Option<Millimetre>,
}

/// Ratings as marked on the part or written beside it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Rating {
    /// DC voltage; on a resistor its limiting voltage.
    pub volts: Option<Volt>,
    /// AC voltage.
    pub vac: Option<Volt>,
    /// Power.
    pub watts: Option<Watt>,
    /// Tolerance.
    pub tolerance: Option<Tolerance>,
    /// Safety class.
    pub class: Option<MainsClass>,
}

/// Everything measured or seen on the part as found.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct AsFound {
    /// The part's own quantity.
    pub reads: Option<Reading>,
    /// Whether both ends were still connected; taken as yes when not written.
    pub in_circuit: Option<bool>,
    /// Series resistance.
    pub esr: Option<EsrReading>,
    /// Leakage.
    pub leakage: Option<LeakageReading>,
    /// DC on the grid that the capacitor feeds, valve cold or removed.
    pub grid: Option<Volt>,
    /// The working bias of that grid (size; its sign is not used).
    pub bias: Option<Volt>,
    /// What was seen; empty when it was not looked at.
    pub sight: Vec<Sight>,
    /// Working voltage across the part, measured.
    pub working: Option<Volt>,
    /// Highest voltage across the part over any condition, measured.
    pub highest: Option<Volt>,
    /// Temperature at the part.
    pub heat: Option<Celsius>,
    /// Ripple current where it is known.
    pub ripple: Option<Ampere>,
    /// Frequency of that ripple; the place's own when not written.
    pub ripple_at: Option<Hertz>,
}

/// One part of the chassis, or one section of a can.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// Reference, unique in the job.
    pub reference: String,
    /// What it is.
    pub kind: PartKind,
    /// The marking as written.
    pub marked: String,
    /// The value read from the marking; `None` when it cannot be known.
    pub value: Option<Value>,
    /// Ratings.
    pub rating: Rating,
    /// Place in the circuit.
    pub place: Option<Place>,
    /// Positive (or first) node.
    pub plus: Option<NodeName>,
    /// Negative (or second) node.
    pub minus: Option<NodeName>,
    /// Letter of the can that this is a section of.
    pub can: Option<String>,
    /// Letter of the group to be matched.
    pub pair: Option<String>,
    /// Year of a part that is not the chassis's own.
    pub fitted: Option<i32>,
    /// Readings and sight.
    pub found: AsFound,
    /// Space and mounting.
    pub space: Space,
    /// The technician's demand for the substitute.
    pub accept: Accept,
    /// The technician's wish.
    pub wish: Option<Wish>,
    /// Remark.
    pub note: Option<String>,
    /// Line of the parts file, for messages only; never orders anything.
    pub line: usize,
}

impl Part {
    /// The marked capacitance, if it is a capacitor with a known value.
    pub fn farad(&self) -> Option<Farad> {
        match self.value {
            Some(Value::Farad(farad)) => Some(farad),
            _ => None,
        }
    }

    /// The marked resistance, if it is a resistor with a known value.
    pub fn ohm(&self) -> Option<Ohm> {
        match self.value {
            Some(Value::Ohm(ohm)) => Some(ohm),
            _ => None,
        }
    }

    /// The designation, for parts known by one.
    pub fn designation(&self) -> Option<&str> {
        match &self.value {
            Some(Value::Designation(text)) => Some(text),
            _ => None,
        }
    }

    /// Whether it was measured with both ends connected (taken so when not written).
    pub fn read_in_circuit(&self) -> bool {
        self.found.in_circuit.unwrap_or(true)
    }

    /// Whether the two nodes are known and include `node`.
    pub fn touches(&self, node: &NodeName) -> bool {
        self.plus.as_ref() == Some(node) || self.minus.as_ref() == Some(node)
    }
}
