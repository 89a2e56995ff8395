//! What every target checks of faults, and how files are put together from one input.

mod faults;
mod folder;
mod job;

#[path = "../../support/rows.rs"]
mod rows;
#[path = "../../support/zip.rs"]
mod zip;

pub use faults::{check_faults, check_notes, shown};
pub use folder::{Folder, pieces};
pub use job::{check_job, offers, plan, read_shop_of, screen};
pub use zip::stored;

use capjob::verify::AfterRow;

/// Readings after the work as `verify` takes them; the text has been read without a fault before.
pub fn after_rows(text: &[u8]) -> Vec<AfterRow> {
    rows::rows(text)
}
