//! One reading taken after the work.

use crate::model::part::NodeName;

/// What was read.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum What {
    /// Insulation from the plug's pins to the chassis, cold.
    Cold,
    /// The mains while the readings were taken.
    Mains,
    /// A node's voltage.
    Node(NodeName),
    /// Ripple at a node, rms.
    Ripple(NodeName),
    /// Working bias of the output stage.
    Bias,
    /// DC on the grid that this coupling capacitor feeds.
    Grid(String),
    /// A part's own value.
    Reads(String),
    /// Whether a part's work is done.
    Done(String),
    /// Output at the onset of clipping.
    Power,
    /// Hum at the output, input shorted.
    Hum,
    /// Touch current, the plug this way (1) or the other (2).
    Touch(u8),
}

impl What {
    /// The key, as it stands in the file.
    pub fn key(&self) -> String {
        match self {
            Self::Cold => "cold".to_owned(),
            Self::Mains => "mains".to_owned(),
            Self::Node(node) => node.to_string(),
            Self::Ripple(node) => format!("ripple:{node}"),
            Self::Bias => "bias".to_owned(),
            Self::Grid(part) => format!("grid:{part}"),
            Self::Reads(part) => format!("reads:{part}"),
            Self::Done(part) => format!("done:{part}"),
            Self::Power => "power".to_owned(),
            Self::Hum => "hum".to_owned(),
            Self::Touch(way) => format!("touch:{way}"),
        }
    }
}

/// The unit of a reading; its number is always in this SI unit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unit {
    /// V.
    Volt,
    /// A.
    Ampere,
    /// Ω.
    Ohm,
    /// F.
    Farad,
    /// W.
    Watt,
}

impl Unit {
    /// The unit's sign in machine output.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Volt => "V",
            Self::Ampere => "A",
            Self::Ohm => "ohm",
            Self::Farad => "F",
            Self::Watt => "W",
        }
    }

    /// The number for people, with the trade's prefix.
    pub fn shown(self, si: f64) -> String {
        use crate::units::{Farad, Ohm, Volt, Watt};
        match self {
            Self::Volt => Volt::new(si).to_string(),
            Self::Ampere => format!("{} mA", crate::units::print::significant(si * 1e3, 3)),
            Self::Ohm => Ohm::new(si).to_string(),
            Self::Farad => Farad::new(si).to_string(),
            Self::Watt => Watt::new(si).to_string(),
        }
    }
}

/// What the meter showed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Read {
    /// A figure in the SI unit.
    Figure(f64, Unit),
    /// No connection.
    Open,
    /// A short circuit.
    Short,
    /// Done.
    Yes,
    /// Not done.
    No,
    /// Not taken.
    NotTaken,
}

/// One line of readings.
#[derive(Debug, Clone, PartialEq)]
pub struct AfterRow {
    /// What was read.
    pub what: What,
    /// The reading.
    pub read: Read,
    /// The remark beside it.
    pub note: Option<String>,
}
