//! What the marks on parts say: values, colour bands, letter codes, preferred values, dates, fuses.
//!
//! [`decode`] gives every reading of a mark. The codes themselves are the [`codes`] and
//! [`colours`] of the quantity readers; the series of preferred values (IEC 60063) and the
//! source-date codes live here. Uses quantities and nothing else of the crate.

mod date_code;
mod decode;
pub mod fuse;
mod possible_date;
mod preferred;
pub(crate) mod words;

pub use crate::units::parse::{codes, colours};
pub use date_code::{DateCode, DateCodeError, date_code};
pub use decode::{Decoded, DecodedKind, DecodedValue, decode, refused};
pub use possible_date::{PossibleDate, possible_dates};
pub use preferred::Series;
