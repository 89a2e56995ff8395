//! Large catalogs: every line looked at, few read in full, by as many readers as there are takers.
//!
//! Nearly every line of a catalog is spelt plainly and comes to nothing for the job at hand. Such a
//! line costs little more here than finding its cells: what they say is remembered from the lines
//! before, and what takes the offers is asked first by kind and value, then by a glance at the whole,
//! whether it wants this one. A line that is not plain is read
//! by the full reader of tables, so that the same lines are set aside with the same faults, and the
//! takers come to the same, whichever way a line was read and however many readers there were.

mod blocks;
mod columns;
mod feed;
mod lane;
mod layout;
mod line;
mod memo;
mod odd;
mod plain;
mod record;
mod seek;
mod stops;
mod whole;

use std::collections::BTreeMap;
use std::io::{self, Read};
use std::sync::mpsc;

pub(super) use seek::unify;

use self::blocks::Blocks;
use self::feed::Feed;
use self::lane::{Done, Lane};
use super::bounds::CATALOG;
use super::catalog::Catalog;
use super::columns_map::ColumnMap;
use super::decode::head_of;
use super::fault::Faults;
use super::sniff::{FileKind, file_kind, is_spreadsheet_name, unreadable};
use super::table::{Columns, SAMPLE, Table};
use crate::model::shop::{Glance, Offer, Outline, Supplier};

/// UTF-8's mark at the beginning of a file.
const MARK: &[u8] = b"\xef\xbb\xbf";

/// What takes the offers of one reader.
pub trait Taker: Send {
    /// Whether an offer of which so much is known could come to anything; asked before all else, and one
    /// that is refused is not read any further.
    fn heeds(&mut self, _outline: &Outline<'_>) -> bool {
        true
    }

    /// Whether the offer could come to anything; one that is refused is not read any further. A
    /// line that has to be read in full anyway is taken without being asked for.
    fn wants(&mut self, glance: &Glance<'_>) -> bool;

    /// Takes an offer.
    fn take(&mut self, offer: &Offer);
}

impl<T: Taker + ?Sized> Taker for &mut T {
    fn heeds(&mut self, outline: &Outline<'_>) -> bool {
        (**self).heeds(outline)
    }

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
    let head = head_of(&mut source, SAMPLE + MARK.len() as u64).map_err(|e| cannot(&e))?;
    let columns = Columns::catalog(CATALOG);
    let begun = if is_spreadsheet_name(file) || file_kind(&head) != FileKind::Text {
        None
    } else {
        let text = head.strip_prefix(MARK).unwrap_or(&head);
        let sample = usize::try_from(SAMPLE).ok().and_then(|most| text.get(..most)).unwrap_or(text);
        let whole = sample.len() < usize::try_from(SAMPLE).unwrap_or(usize::MAX);
        let table = Table::open(file, sample, columns, terms.map).ok();
        // Headings that reach to the end of the sample may go on after it.
        table
            .and_then(|table| table.passed().map(|passed| (table.for_given(), passed)))
            .filter(|(_, (bytes, _))| whole || *bytes + MARK.len() < sample.len() / 2)
    };
    // What the mark is followed by may look like something else without it: read in full, the file keeps its mark.
    let marked = if begun.is_some() && head.starts_with(MARK) { MARK.len() as u64 } else { 0 };
    let mut head = io::Cursor::new(head);
    head.set_position(marked);
    let source = head.chain(source);
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
        blocks: Blocks<R>,
        suppliers: &'s [Supplier],
        progress: &mut dyn FnMut(usize),
    ) -> CatalogRead {
        let feed = Feed::new(blocks, self.lanes.len());
        self.read(&feed, progress);
        let mut rest = Catalog::of(self.table.continued(feed.into_blocks().rest(), self.passed + 1), suppliers);
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

    /// Reads the blocks, every reader its own, and adds up what came of them in the order of the file. This thread is
    /// the first reader: one that did nothing but wait for the others would be woken at every block.
    fn read<R: Read + Send>(&mut self, feed: &Feed<R>, progress: &mut dyn FnMut(usize)) {
        let mut lanes = std::mem::take(&mut self.lanes);
        if let Some((first, others)) = lanes.split_first_mut() {
            std::thread::scope(|scope| {
                let (tell, told) = mpsc::channel();
                let start = |(number, lane)| {
                    let tell = tell.clone();
                    // Nobody listens any more only where the whole reading has ended.
                    scope.spawn(move || blocks_of(feed, (number, lane), &mut |done| tell.send(done).is_ok()))
                };
                let readers: Vec<_> = (1..).zip(others).map(start).collect();
                drop(tell);
                let (mut early, mut next) = (BTreeMap::new(), 0);
                let mut sort = |(number, done): (usize, Done)| {
                    early.insert(number, done);
                    while let Some(done) = early.remove(&next) {
                        self.add(done);
                        next += 1;
                        progress(self.read.lines);
                    }
                };
                blocks_of(feed, (0, first), &mut |done| {
                    sort(done);
                    told.try_iter().for_each(&mut sort);
                    true
                });
                told.into_iter().for_each(sort);
                for reader in readers {
                    if let Err(panic) = reader.join() {
                        // A fault of ours in a reader goes on where it would have gone without readers.
                        std::panic::resume_unwind(panic);
                    }
                }
            });
        }
        self.lanes = lanes;
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

/// Reads the blocks of one reader, and tells what came of each with its number; `tell` says whether to go on.
fn blocks_of<R: Read, T: Taker>(
    feed: &Feed<R>,
    (number, lane): (usize, &mut Lane<'_, T>),
    tell: &mut dyn FnMut((usize, Done)) -> bool,
) {
    let _ends = feed.ends_with_panic();
    let mut used = None;
    while let Some((at, block)) = feed.next(number, used.take()) {
        if !tell((at, lane.read(&block))) {
            return;
        }
        used = Some(block);
    }
}
