//! Small tables, read whole: every row to one item, faults and notes collected.

use super::fault::Faults;
use super::table::{Columns, Row, Table};

/// What `read` makes of each row that has no fault. `read` leaves faults with the row and gives
/// `None` for a row that cannot be an item. The second is
/// whether the table could be read to its end.
pub(super) fn read_rows<T>(
    file: &str,
    bytes: &[u8],
    columns: Columns,
    sink: &mut Sink,
    mut read: impl FnMut(&mut Row<'_>) -> Option<T>,
) -> (Vec<T>, bool) {
    let mut items = Vec::new();
    let mut table = match Table::open(file, bytes, columns, None) {
        Ok(table) => table,
        Err(faults) => {
            sink.faults.append(faults);
            return (items, false);
        }
    };
    let whole = loop {
        match table.advance() {
            Ok(true) => {
                let mut row = table.row();
                let item = read(&mut row);
                items.extend(item.filter(|_| !row.is_faulty()));
                sink.take(row);
            }
            Ok(false) => break true,
            Err(fault) => {
                sink.faults.push(*fault);
                break false;
            }
        }
    };
    sink.notes.extend(table.notes());
    (items, whole)
}

/// Where faults and notes of a run are gathered.
#[derive(Debug, Default)]
pub(super) struct Sink {
    /// Faults of all files.
    pub(super) faults: Faults,
    /// Notes on all files.
    pub(super) notes: Vec<String>,
}

impl Sink {
    /// Takes over the faults of a row.
    pub(super) fn take(&mut self, row: Row<'_>) {
        for fault in row.into_faults() {
            self.faults.push(fault);
        }
    }
}
