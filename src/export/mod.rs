//! How a document is written. Nothing here knows what a part is.

pub mod csv;
mod figures;
pub mod html;
pub mod json;
pub mod markdown;
pub mod safe;
pub mod svg;
pub mod text;
#[cfg(feature = "xlsx")]
pub mod xlsx;
