//! Reading quantities as people write them.
//!
//! Each reader takes the text of one cell, mark or answer and gives a typed quantity or a
//! [`QuantityError`] that holds what was read, what was expected and how to mend it. A reader
//! never guesses: what has two readings is refused and both are named. The spellings are listed
//! in `docs/quantities.md`, whose examples are run as a test.

mod bounds;
mod capacitance;
mod capacitor_mark;
pub mod codes;
pub mod colours;
mod error;
mod items;
mod lexer;
mod nearest;
mod offer_text;
mod resistance;
mod resistor_mark;
mod sections;
mod single;
mod tolerance;
mod voltage;

pub use capacitance::{Bare, MarkedFarad, capacitance, capacitance_range};
pub use capacitor_mark::{CapacitorMark, ClassMark, capacitor_mark};
pub use error::{Problem, QuantityError};
pub use nearest::nearest;
pub use offer_text::{OfferKind, OfferText, offer_text};
pub use resistance::{MarkedOhm, resistance, resistance_range};
pub use resistor_mark::{ResistorMark, resistor_mark};
pub use single::{
    CurrentUnit, celsius, current, henry, hertz, hour, joule, millimetre, number, percent, ratio_list, second, watt,
};
pub use tolerance::{Tolerance, tolerance};
pub use voltage::{Rating, rating, volt, volt_ac};

#[cfg(test)]
mod tests;
