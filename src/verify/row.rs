//! One reading taken after the work, from the texts of its line.

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
            Self::Power => "power".to_owned(),
            Self::Hum => "hum".to_owned(),
            Self::Touch(way) => format!("touch:{way}"),
        }
    }

    /// Reads a key; whatever is no other key is a node. `None` for an empty key and for a third plug way.
    pub fn parse(text: &str) -> Option<Self> {
        let text = text.trim();
        let (head, tail) = text.split_once(':').map_or((text, ""), |(h, t)| (h.trim(), t.trim()));
        match (head.to_lowercase().as_str(), tail) {
            ("", _) => None,
            ("cold", "") => Some(Self::Cold),
            ("mains", "") => Some(Self::Mains),
            ("bias", "") => Some(Self::Bias),
            ("power", "") => Some(Self::Power),
            ("hum", "") => Some(Self::Hum),
            ("touch", "1") => Some(Self::Touch(1)),
            ("touch", "2") => Some(Self::Touch(2)),
            ("touch" | "ripple" | "grid" | "reads", "") | ("touch", _) => None,
            ("ripple", node) => Some(Self::Ripple(NodeName::new(node))),
            ("grid", part) => Some(Self::Grid(part.to_owned())),
            ("reads", part) => Some(Self::Reads(part.to_owned())),
            (_, "") => Some(Self::Node(NodeName::new(head))),
            _ => None,
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
        use crate::units::{Ampere, Farad, Ohm, Volt, Watt};
        match self {
            Self::Volt => Volt::new(si).to_string(),
            Self::Ampere => Ampere::new(si).to_string(),
            Self::Ohm => Ohm::new(si).to_string(),
            Self::Farad => Farad::new(si).to_string(),
            Self::Watt => Watt::new(si).to_string(),
        }
    }

    /// A unit with its prefix's factor.
    fn parse(text: &str) -> Option<(Self, f64)> {
        let unit = text.trim();
        let known = [
            (Self::Ohm, ["ohms", "ohm", "\u{3a9}", "\u{2126}", "R"].as_slice()),
            (Self::Volt, &["V"]),
            (Self::Ampere, &["A"]),
            (Self::Farad, &["F"]),
            (Self::Watt, &["W"]),
        ];
        known.iter().find_map(|(kind, signs)| {
            signs.iter().find_map(|s| unit.strip_suffix(s)).and_then(prefix).map(|factor| (*kind, factor))
        })
    }
}

/// The factor of a prefix; one where there is none.
fn prefix(text: &str) -> Option<f64> {
    match text.trim() {
        "" => Some(1.0),
        "p" => Some(1e-12),
        "n" => Some(1e-9),
        "u" | "\u{b5}" | "\u{3bc}" => Some(1e-6),
        "m" => Some(1e-3),
        "k" | "K" => Some(1e3),
        "M" | "meg" => Some(1e6),
        _ => None,
    }
}

/// A reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Read {
    /// A figure in the SI unit.
    Figure(f64, Unit),
    /// No connection.
    Open,
    /// A short circuit.
    Short,
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

/// Why a line cannot be read; the reader adds file, line and column.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum RowError {
    /// An unknown key.
    #[error(
        "column 'what': got '{got}'; expected a node name, ripple:NODE, bias, grid:REF, power, hum, touch:1, touch:2, cold, mains or reads:REF"
    )]
    What {
        /// As written.
        got: String,
    },
    /// Not a number with a prefix.
    #[error("column 'read': got '{got}'; expected a number such as 416, 1.53k or 0.9, or open or short")]
    Read {
        /// As written.
        got: String,
    },
    /// An unknown unit.
    #[error("column 'unit': got '{got}'; expected V, mV, mA, uA, ohm, kohm, Mohm, uF, nF, pF or W")]
    Unit {
        /// As written.
        got: String,
    },
}

impl RowError {
    /// The column that is at fault.
    pub const fn column(&self) -> &'static str {
        match self {
            Self::What { .. } => "what",
            Self::Read { .. } => "read",
            Self::Unit { .. } => "unit",
        }
    }
}

impl AfterRow {
    /// Reads one line; a missing unit is the usual one of what was read.
    ///
    /// # Errors
    /// The first cell that cannot be read.
    pub fn parse(what: &str, read: &str, unit: &str, note: &str) -> Result<Self, RowError> {
        let key = What::parse(what).ok_or_else(|| RowError::What { got: what.to_owned() })?;
        let note = Some(note.trim()).filter(|n| !n.is_empty()).map(str::to_owned);
        let (unit, factor) = match missing(unit) {
            true => usual_unit(&key),
            false => Unit::parse(unit).ok_or_else(|| RowError::Unit { got: unit.to_owned() })?,
        };
        let read = match read.trim().to_lowercase().as_str() {
            "open" => Read::Open,
            "short" => Read::Short,
            text if missing(text) => Read::NotTaken,
            _ => figure(read, unit, factor).ok_or_else(|| RowError::Read { got: read.to_owned() })?,
        };
        Ok(Self { what: key, read, note })
    }
}

fn missing(text: &str) -> bool {
    matches!(text.trim().to_lowercase().as_str(), "" | "-" | "?" | "n/a")
}

/// What a reading is in when the file does not say.
const fn usual_unit(what: &What) -> (Unit, f64) {
    match what {
        What::Cold => (Unit::Ohm, 1e6),
        What::Power => (Unit::Watt, 1.0),
        What::Hum => (Unit::Volt, 1e-3),
        What::Touch(_) => (Unit::Ampere, 1e-3),
        What::Reads(_) => (Unit::Ohm, 1.0),
        What::Mains | What::Node(_) | What::Ripple(_) | What::Bias | What::Grid(_) => (Unit::Volt, 1.0),
    }
}

/// A number with an optional prefix, such as `1.53k`. A prefix in the reading replaces that of the unit.
fn figure(text: &str, unit: Unit, unit_factor: f64) -> Option<Read> {
    let text = text.trim();
    let end = text.find(|c: char| c.is_alphabetic()).unwrap_or(text.len());
    let (digits, letters) = (text.get(..end)?.trim(), text.get(end..)?.trim());
    let plain = digits.bytes().all(|b| b.is_ascii_digit() || matches!(b, b'.' | b'-' | b'+'));
    let number: f64 = digits.parse().ok().filter(|_| plain)?;
    if letters.is_empty() {
        return Some(Read::Figure(number * unit_factor, unit));
    }
    if let Some(factor) = prefix(letters) {
        return Some(Read::Figure(number * factor, unit));
    }
    Unit::parse(letters).map(|(unit, factor)| Read::Figure(number * factor, unit))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(what: &str, read: &str, unit: &str) -> (f64, Unit) {
        match AfterRow::parse(what, read, unit, "").unwrap().read {
            Read::Figure(si, unit) => (si, unit),
            other => panic!("{other:?}"),
        }
    }

    fn near(got: (f64, Unit), due: f64, unit: Unit) {
        assert!((got.0 - due).abs() <= 1e-9 * due.abs() && got.1 == unit, "{got:?}, not {due}");
    }

    #[test]
    fn readings_as_people_write_them() {
        near(read("HT1", "416", "V"), 416.0, Unit::Volt);
        near(read("cold", "38", "Mohm"), 38e6, Unit::Ohm);
        near(read("reads:R8", "1.53k", "ohm"), 1530.0, Unit::Ohm);
        near(read("reads:C1", "0.047", "uF"), 0.047e-6, Unit::Farad);
        near(read("reads:C1", "4.7nF", ""), 4.7e-9, Unit::Farad);
        near(read("touch:1", "0.90", "V"), 0.9, Unit::Volt);
        near(read("touch:2", "0.05", "mA"), 5e-5, Unit::Ampere);
        near(read("hum", "4.1", ""), 0.0041, Unit::Volt);
        assert_eq!(AfterRow::parse("HT1", "-", "V", "x").unwrap().read, Read::NotTaken);
        assert_eq!(AfterRow::parse("reads:C1", "open", "", "").unwrap().read, Read::Open);
    }

    #[test]
    fn faults_name_their_column() {
        assert_eq!(AfterRow::parse("touch:3", "1", "V", "").unwrap_err().column(), "what");
        assert_eq!(AfterRow::parse("", "1", "V", "").unwrap_err().column(), "what");
        assert_eq!(AfterRow::parse("HT1", "4l6", "V", "").unwrap_err().column(), "read");
        assert_eq!(AfterRow::parse("HT1", "nan", "V", "").unwrap_err().column(), "read");
        assert_eq!(AfterRow::parse("HT1", "416", "bar", "").unwrap_err().column(), "unit");
    }

    #[test]
    fn keys_lead_back() {
        for key in ["HT1", "ripple:HT1", "bias", "grid:C12", "power", "hum", "touch:1", "touch:2", "cold", "reads:R8"] {
            assert_eq!(What::parse(key).unwrap().key(), key);
        }
    }
}
