//! What a quantity can be at all: one line a quantity, used for checks and for messages.
//!
//! These are bounds of reason, not of any one column; a column may be narrower. They are
//! settings of this program, not taken from a document.

use super::error::{Problem, QuantityError};

/// The name of a quantity, an example of its spelling and the range it can have.
pub(super) struct Bounds {
    /// Name used in messages.
    pub(super) quantity: &'static str,
    /// A spelling that is accepted.
    pub(super) example: &'static str,
    /// Least and most, in the unit of the newtype.
    range: (f64, f64),
    /// The same for people.
    shown: (&'static str, &'static str),
}

/// Makes one line of the table.
const fn line(
    quantity: &'static str,
    example: &'static str,
    range: (f64, f64),
    shown: (&'static str, &'static str),
) -> Bounds {
    Bounds { quantity, example, range, shown }
}

pub(super) const CAPACITANCE: Bounds = line("capacitance", "22uF", (0.999_999e-13, 1.000_001), ("0.1 pF", "1 F"));
pub(super) const RESISTANCE: Bounds = line("resistance", "470k", (0.0, 1e11), ("0 R", "100 000 M"));
pub(super) const VOLTAGE: Bounds = line("voltage", "450V", (-1e5, 1e5), ("-100 kV", "100 kV"));
pub(super) const CURRENT: Bounds = line("current", "3.2mA", (-1e3, 1e3), ("-1000 A", "1000 A"));
pub(super) const POWER: Bounds = line("power", "1/2W", (0.0, 1e4), ("0 W", "10 kW"));
pub(super) const FREQUENCY: Bounds = line("frequency", "120Hz", (0.01, 1e9), ("0.01 Hz", "1000 MHz"));
pub(super) const TEMPERATURE: Bounds = line("temperature", "85C", (-100.0, 500.0), ("-100 °C", "500 °C"));
pub(super) const LENGTH: Bounds = line("length", "18mm", (0.0, 10_000.0), ("0 mm", "10 m"));
pub(super) const INDUCTANCE: Bounds = line("inductance", "10H", (0.0, 1e4), ("0 H", "10 000 H"));
pub(super) const ENERGY: Bounds = line("energy", "5J", (0.0, 1e6), ("0 J", "1 MJ"));
pub(super) const TIME: Bounds = line("time", "30s", (0.0, 1e9), ("0 s", "1e9 s"));
pub(super) const LIFE: Bounds = line("number of hours", "2000h", (0.0, 1e6), ("0 h", "1 000 000 h"));
pub(super) const TOLERANCE: Bounds = line("tolerance", "10%", (0.0, 200.0), ("0 %", "200 %"));
pub(super) const PERCENT: Bounds = line("percentage", "20%", (-1000.0, 1000.0), ("-1000 %", "1000 %"));
pub(super) const NUMBER: Bounds = line("number", "0.15", (-1e15, 1e15), ("-1e15", "1e15"));
pub(super) const RATIO: Bounds = line("list of ratios", "50:0.8;100:1", (0.0, 1e6), ("0", "1 000 000"));
pub(super) const OFFER: Bounds = line("description of a part", "22uF 450V 105C", (0.0, 0.0), ("", ""));

impl Bounds {
    /// The error of this quantity for the text as read.
    pub(super) fn error(&self, read: &str, problem: Problem) -> QuantityError {
        QuantityError { quantity: self.quantity, read: read.to_owned(), problem, example: self.example }
    }

    /// The value, when it is finite and within the range.
    pub(super) fn check(&self, value: f64) -> Result<f64, Problem> {
        let (low, high) = self.range;
        if value.is_finite() && low <= value && value <= high {
            return Ok(value);
        }
        Err(Problem::OutOfRange { low: self.shown.0, high: self.shown.1 })
    }
}
