//! The blocks of a file dealt out to several readers: to each in its turn, whichever is the faster.
//!
//! A reader that wants a block reads on in the file until its own turn has come; blocks of the others
//! that it meets on the way are laid ready for them. So the same reader has the same blocks in every
//! run, nobody waits while there is something to read, and there is no thread that only reads.

use std::collections::VecDeque;
use std::io::Read;
use std::sync::{Condvar, Mutex, MutexGuard, PoisonError};

use super::blocks::Blocks;

/// Most blocks that are laid ready for one reader.
const MOST: usize = 8;

/// A block with its number, counted from 0.
pub(super) type Dealt = (usize, Vec<u8>);

/// The blocks of a file with what is laid ready.
pub(super) struct Feed<R> {
    deal: Mutex<Deal<R>>,
    changed: Condvar,
}

struct Deal<R> {
    blocks: Blocks<R>,
    ready: Vec<VecDeque<Dealt>>,
    /// Buffers that are free again.
    free: Vec<Vec<u8>>,
    /// How many blocks were read.
    read: usize,
    ended: bool,
}

impl<R: Read> Feed<R> {
    /// For so many readers, one at least.
    pub(super) fn new(blocks: Blocks<R>, readers: usize) -> Self {
        let ready = (0..readers.max(1)).map(|_| VecDeque::new()).collect();
        let deal = Deal { blocks, ready, free: Vec::new(), read: 0, ended: false };
        Self { deal: Mutex::new(deal), changed: Condvar::new() }
    }

    /// The next block of the reader of this number, which gives back the one before; `None` when there is no more.
    pub(super) fn next(&self, reader: usize, used: Option<Vec<u8>>) -> Option<Dealt> {
        let mut deal = self.lock();
        deal.free.extend(used);
        loop {
            if let Some(dealt) = deal.ready.get_mut(reader).and_then(VecDeque::pop_front) {
                self.changed.notify_all();
                return Some(dealt);
            }
            if deal.ended {
                return None;
            }
            deal = if deal.is_full() {
                self.changed.wait(deal).unwrap_or_else(PoisonError::into_inner)
            } else {
                deal.read();
                self.changed.notify_all();
                deal
            };
        }
    }

    /// What no block was made of.
    pub(super) fn into_blocks(self) -> Blocks<R> {
        self.deal.into_inner().unwrap_or_else(PoisonError::into_inner).blocks
    }

    /// Something that ends the dealing when its reader fails, so that nobody waits for it.
    pub(super) const fn ends_with_panic(&self) -> Ends<'_, R> {
        Ends(self)
    }

    fn lock(&self) -> MutexGuard<'_, Deal<R>> {
        self.deal.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl<R: Read> Deal<R> {
    /// Whose turn it is.
    fn turn(&self) -> usize {
        self.read % self.ready.len().max(1)
    }

    /// Whether enough is laid ready for the one whose turn it is.
    fn is_full(&self) -> bool {
        self.ready.get(self.turn()).is_some_and(|ready| MOST <= ready.len())
    }

    /// Reads a block for the one whose turn it is.
    fn read(&mut self) {
        let turn = self.turn();
        match self.blocks.next_block(self.free.pop().unwrap_or_default()) {
            Some(block) => {
                if let Some(ready) = self.ready.get_mut(turn) {
                    ready.push_back((self.read, block));
                }
                self.read += 1;
            }
            None => self.ended = true,
        }
    }
}

/// Ends the dealing when it is dropped by a panic.
pub(super) struct Ends<'f, R: Read>(&'f Feed<R>);

impl<R: Read> Drop for Ends<'_, R> {
    fn drop(&mut self) {
        if std::thread::panicking() {
            self.0.lock().ended = true;
            self.0.changed.notify_all();
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Lines that fill several blocks of the tests' size.
    fn text() -> String {
        let lines: Vec<String> = (0..400).map(|line| format!("line {line}")).collect();
        lines.join("\n") + "\n"
    }

    #[test]
    fn every_reader_has_its_own_blocks_in_order() {
        let text = text();
        let feed = Feed::new(Blocks::new(text.as_bytes(), b','), 3);
        let mut all: Vec<Dealt> = Vec::new();
        // One is far ahead of the others, as far as there is room.
        for (reader, blocks) in [(1, 1), (0, 2), (2, usize::MAX), (1, usize::MAX), (0, usize::MAX)] {
            for _ in 0..blocks {
                let Some((number, block)) = feed.next(reader, None) else { break };
                assert_eq!(number % 3, reader);
                all.push((number, block));
            }
        }
        all.sort();
        assert!(all.len() > 5 && all.iter().enumerate().all(|(at, (number, _))| at == *number));
        let mut read = all.into_iter().flat_map(|(_, block)| block).collect();
        feed.into_blocks().rest().read_to_end(&mut read).unwrap();
        assert_eq!(String::from_utf8(read).unwrap(), text);
    }

    #[test]
    fn nobody_waits_for_a_reader_that_has_failed() {
        let text = text().repeat(20);
        let feed = Feed::new(Blocks::new(text.as_bytes(), b','), 2);
        std::thread::scope(|scope| {
            let other = scope.spawn(|| while feed.next(1, None).is_some() {});
            let failed = scope.spawn(|| {
                let _ends = feed.ends_with_panic();
                panic!("a reader fails");
            });
            assert!(failed.join().is_err() && other.join().is_ok());
        });
    }
}
