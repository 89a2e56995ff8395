//! Why a text is not the quantity expected, as data for the one who reports it.

/// Why a text could not be read as a quantity, with the text and how to mend it.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{quantity}: {problem}")]
pub struct QuantityError {
    /// What was expected, such as `capacitance` or `voltage`.
    pub quantity: &'static str,
    /// The text as read, unchanged.
    pub read: String,
    /// What is wrong with it.
    pub problem: Problem,
    /// A spelling that would have been accepted, such as `22uF`.
    pub example: &'static str,
}

/// What is wrong with a text that should be a quantity.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Problem {
    /// Nothing but blanks.
    #[error("nothing is written")]
    Empty,
    /// No number where one is needed.
    #[error("no number found")]
    NoNumber,
    /// A comma or a second point that may part thousands.
    #[error("'{text}' may be thousands or decimals")]
    Thousands {
        /// The number as written.
        text: String,
    },
    /// A unit that this quantity does not have.
    #[error("unit '{unit}' not known")]
    UnknownUnit {
        /// The unit as written.
        unit: String,
    },
    /// A bare capacitor value of 1 or more.
    #[error("'{value}' has no unit, and pF or µF is not stated for the sheet")]
    Bare {
        /// The number as written.
        value: String,
    },
    /// The text has more than one reading.
    #[error("it may be {one} or {other}")]
    Ambiguous {
        /// One reading, written so that it would be accepted where possible.
        one: String,
        /// Another reading.
        other: String,
    },
    /// Beyond what such a quantity can be.
    #[error("beyond all reason; the range is {low} to {high}")]
    OutOfRange {
        /// The smallest accepted, with its unit.
        low: &'static str,
        /// The largest accepted, with its unit.
        high: &'static str,
    },
    /// Something stands after or before what was understood.
    #[error("'{text}' not understood")]
    LeftOver {
        /// What was not understood.
        text: String,
    },
    /// Two texts for the same thing, such as two voltages.
    #[error("more than one {what}")]
    Twice {
        /// What stands there twice.
        what: &'static str,
    },
    /// A surge or peak voltage where a working voltage is due.
    #[error("a surge or peak voltage is not a working voltage")]
    OnlySurge,
    /// An alternating voltage where a direct one is due.
    #[error("an AC voltage where a DC one is due")]
    AlternatingVoltage,
    /// Colours that make no value.
    #[error("these colour bands make no value")]
    Colours,
    /// The larger end of a range stands first.
    #[error("the range ends below its beginning")]
    RangeReversed,
}

impl QuantityError {
    /// How to mend the text: one sentence without a full stop.
    pub fn mend(&self) -> String {
        match &self.problem {
            Problem::Bare { value } => {
                format!("write {value}uF or {value}pF, or set `bare` for the sheet")
            }
            Problem::Ambiguous { one, other } => format!("write out which is meant: {one}, or {other}"),
            Problem::Thousands { .. } => {
                format!("write no thousands separators, and a decimal point, like {}", self.example)
            }
            Problem::OutOfRange { .. } => format!("check number and unit; write it like {}", self.example),
            Problem::OnlySurge => "give the working voltage, like 450V".to_owned(),
            Problem::AlternatingVoltage => "put AC voltages where AC is asked for".to_owned(),
            Problem::LeftOver { .. } => {
                format!("leave out the rest or put it in the note; write it like {}", self.example)
            }
            Problem::Twice { what } => format!("leave one {what} only"),
            Problem::RangeReversed => "write the smaller value first".to_owned(),
            Problem::Empty | Problem::NoNumber | Problem::UnknownUnit { .. } | Problem::Colours => {
                format!("write it like {}", self.example)
            }
        }
    }
}

impl Problem {
    /// Two readings of one text.
    pub(super) fn ambiguous(one: impl Into<String>, other: impl Into<String>) -> Self {
        Self::Ambiguous { one: one.into(), other: other.into() }
    }
}
