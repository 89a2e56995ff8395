//! How a document is written. Nothing here knows what a part is.

pub mod csv;
pub mod json;
pub mod safe;
pub mod text;
