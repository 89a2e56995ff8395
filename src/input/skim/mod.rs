//! Large catalogs: every line looked at, few read in full, by as many readers as there are takers.
//!
//! Nearly every line of a catalog is spelt plainly and comes to nothing for the job at hand. Such a
//! line costs little more here than finding its end: its cells are read where they lie, and what
//! takes the offers is asked by a glance whether it wants this one. A line that is not plain is read
//! by the full reader of tables, so that the same lines are set aside with the same faults, and the
//! takers come to the same, whichever way a line was read and however many readers there were.

mod blocks;
mod columns;
mod lane;
mod line;
mod plain;
mod record;
mod seek;

use std::io::{self, Read};

pub(super) use seek::unify;

use self::blocks::Blocks;
use self::lane::{Done, Lane};
use super::bounds::CATALOG;
use super::catalog::Catalog;
use super::columns_map::ColumnMap;
use super::decode::head_of;
use super::fault::Faults;
use super::sniff::{FileKind, file_kind, is_spreadsheet_name, unreadable};
use super::table::{Columns, SAMPLE, Table};
use crate::model::shop::{Glance, Offer, Supplier};

/// UTF-8's mark at the beginning of a file.
const MARK: &[u8] = b"\xef\xbb\xbf";

/// What takes the offers of one reader.
pub trait Taker: Send {
    /// Whether the offer could come to anything; one that is refused is not read any further. A
    /// line that has to be read in full anyway is taken without being asked for.
    fn wants(&mut self, glance: &Glance<'_>) -> bool;

    /// Takes an offer.
    fn take(&mut self, offer: &Offer);
}

impl<T: Taker + ?Sized> Taker for &mut T {
    fn wants(&mut self, glance: &Glance<'_>) -> bool {
        (**self).wants(glance)
    }

    fn take(&mut self, offer: &Offer) {
        (**self).take(offer);
    }
}

/// What a catalog file is read by.
#[derive(Debug, Clone, Copy)]
pub struct CatalogTerms<'s> {
    /// The suppliers; an offer of any other is set aside.
    pub suppliers: &'s [Supplier],
    /// The supplier's own headings, if it has any.
    pub map: Option<&'s ColumnMap>,
}

/// What came of a catalog file besides its offers.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct CatalogRead {
    /// The lines that cannot be used, each with its first fault.
    pub set_aside: Faults,
    /// Notes on the file: columns not used, its encoding.
    pub notes: Vec<String>,
    /// Lines with anything in them.
    pub lines: usize,
}

/// Reads a catalog file to its end, every reader filling one of the takers (at least one). `progress`
/// is told how many lines are read, now and then.
///
/// # Errors
/// The file cannot be read as a catalog at all: wrong kind, no headings, a needed column missing.
pub fn read_catalog<R: Read + Send, T: Taker>(
    file: &str,
    mut source: R,
    terms: CatalogTerms<'_>,
    takers: &mut [T],
    progress: &mut dyn FnMut(usize),
) -> Result<CatalogRead, Faults> {
    let cannot = |error: &io::Error| Faults::one(unreadable(file, error.kind()));
    let mut head = head_of(&mut source, SAMPLE + MARK.len() as u64).map_err(|e| cannot(&e))?;
    let columns = Columns::catalog(CATALOG);
    let begun = if is_spreadsheet_name(file) || file_kind(&head) != FileKind::Text {
        None
    } else {
        if head.starts_with(MARK) {
            head.drain(..MARK.len());
        }
        let sample = usize::try_from(SAMPLE).ok().and_then(|most| head.get(..most)).unwrap_or(&head);
        let whole = sample.len() < usize::try_from(SAMPLE).unwrap_or(usize::MAX);
        let table = Table::open(file, sample, columns, terms.map).ok();
        // Headings that reach to the end of the sample may go on after it.
        table
            .and_then(|table| table.passed().map(|passed| (table.for_given(), passed)))
            .filter(|(_, (bytes, _))| whole || *bytes + MARK.len() < sample.len() / 2)
    };
    let source = io::Cursor::new(head).chain(source);
    let Some((table, (bytes, passed))) = begun else {
        let table = Table::open(file, source, columns, terms.map)?;
        return Ok(ordinary(Catalog::of(table, terms.suppliers), takers.first_mut()));
    };
    let mut blocks = Blocks::new(source, table.delimiter_byte());
    blocks.pass(bytes).map_err(|e| cannot(&e))?;
    let lanes = takers.iter_mut().map(|taker| Lane::new(&table, terms.suppliers, taker)).collect();
    let skim = Skim { table, lanes, read: CatalogRead::default(), passed };
    Ok(skim.all(blocks, terms.suppliers, progress))
}

/// Reads a catalog line by line in full.
fn ordinary<R: Read, T: Taker>(mut catalog: Catalog<'_, R>, taker: Option<&mut T>) -> CatalogRead {
    if let Some(taker) = taker {
        while let Some(offer) = catalog.next_offer() {
            taker.take(&offer);
        }
    }
    CatalogRead { set_aside: catalog.set_aside().clone(), notes: catalog.notes(), lines: catalog.lines() }
}

/// A catalog being read block by block.
struct Skim<'s, T> {
    /// The table's headings, and the first line read as Windows-1252.
    table: Table<io::Empty>,
    lanes: Vec<Lane<'s, T>>,
    read: CatalogRead,
    /// Lines of the file before the next block.
    passed: usize,
}

impl<'s, T: Taker> Skim<'s, T> {
    /// Reads all blocks, then what they leave.
    fn all<R: Read + Send>(
        mut self,
        mut blocks: Blocks<R>,
        suppliers: &'s [Supplier],
        progress: &mut dyn FnMut(usize),
    ) -> CatalogRead {
        let mut round = self.round(&mut blocks);
        while !round.is_empty() {
            let (done, next) = self.read(&round, &mut blocks);
            for one in done {
                self.add(one);
            }
            progress(self.read.lines);
            round = next;
        }
        let mut rest = Catalog::of(self.table.continued(blocks.rest(), self.passed + 1), suppliers);
        while let Some(offer) = rest.next_offer() {
            if let Some(lane) = self.lanes.first_mut() {
                lane.take(&offer);
            }
        }
        self.read.set_aside.append(rest.set_aside().clone());
        self.read.lines += rest.lines();
        if let Some(line) = rest.first_not_utf8() {
            self.table.note_not_utf8(line);
        }
        self.read.notes = self.table.notes();
        self.read
    }

    /// A block for each reader; fewer at the end.
    fn round<R: Read>(&self, blocks: &mut Blocks<R>) -> Vec<Vec<u8>> {
        (0..self.lanes.len()).map_while(|_| blocks.next_block()).collect()
    }

    /// Reads one round of blocks while the next is fetched.
    fn read<R: Read + Send>(&mut self, round: &[Vec<u8>], blocks: &mut Blocks<R>) -> (Vec<Done>, Vec<Vec<u8>>) {
        let count = self.lanes.len();
        if let ([lane, ..], [block]) = (self.lanes.as_mut_slice(), round) {
            let done = lane.read(block);
            return (vec![done], (0..count).map_while(|_| blocks.next_block()).collect());
        }
        std::thread::scope(|scope| {
            let readers: Vec<_> =
                self.lanes.iter_mut().zip(round).map(|(lane, block)| scope.spawn(|| lane.read(block))).collect();
            let next = (0..count).map_while(|_| blocks.next_block()).collect();
            let joined = readers.into_iter().map(|reader| match reader.join() {
                Ok(done) => done,
                // A fault of ours in a reader goes on where it would have gone without readers.
                Err(panic) => std::panic::resume_unwind(panic),
            });
            (joined.collect(), next)
        })
    }

    /// Adds what came of a block, in the order of the file.
    fn add(&mut self, done: Done) {
        self.read.set_aside.append(done.set_aside.moved(self.passed));
        self.read.lines += done.records;
        if let Some(line) = done.not_utf8 {
            self.table.note_not_utf8(line + self.passed);
        }
        self.passed += done.lines;
    }
}
