//! Text to model: tables in any dialect, TOML sheets, bounds, and every fault with its place.
//!
//! This room opens no file. A caller gives names (for messages) with bytes or readers, and gets
//! the model, or all faults of all files of the run at once. Notes are returned, not printed.

mod after;
mod article;
mod bounds;
mod catalog;
mod chassis;
mod columns_map;
mod decode;
mod escape;
mod fault;
mod job;
mod lists;
mod marks;
mod natural;
mod parts;
mod prices;
mod rows;
mod settings;
mod sheet;
mod skim;
mod sniff;
mod suppliers;
mod table;
mod unit;
mod word;

pub use after::{AfterFigure, AfterPoint, AfterReading, read_after, read_after_of};
pub use bounds::{FILES, Field, FileFields, Form};
pub use catalog::{Catalog, RawColumn, RawLine};
pub use columns_map::{ColumnMap, ColumnMaps};
pub use escape::safe;
pub use fault::{Fault, FaultKind, Faults};
pub use job::{NamedBytes, Noted, ShopFiles, ShopRead, read_job, read_shop};
pub use skim::{CatalogRead, CatalogTerms, Taker, read_catalog};
pub use sniff::{FileKind, file_kind, unreadable};
pub use unit::Unit;

/// Whether a panic of this thread would be caught here and become a fault of the file being read.
/// A hook that tells people of panics has nothing to tell then.
pub fn panics_are_caught() -> bool {
    table::panics_are_caught()
}

#[cfg(test)]
mod tests;
