//! A text file in blocks of whole records, so that several readers can each take one.
//!
//! Where records end is told from the quotes alone, as the record reader tells it: a quote opens a
//! cell only where a cell begins, and a line feed between quotes belongs to the cell. Whatever is in
//! doubt (a quote that is not closed, a record of many lines, the last record of a file) is left to
//! the ordinary reader with all that follows.

use std::io::{self, ErrorKind, Read};

use super::seek::{find, unify};
use crate::input::table::is_doubtful;

/// Bytes in a block; few in tests, so that short files have several.
const BLOCK: usize = if cfg!(test) { 600 } else { 128 * 1024 };
/// Longest record that is waited for; beyond it a quote was surely not closed.
const LONGEST: usize = 256 * 1024;

/// The blocks of a file.
pub(super) struct Blocks<R> {
    source: R,
    delimiter: u8,
    /// What was read of the next block.
    held: Vec<u8>,
    /// Whether the last byte read was a carriage return.
    after_cr: bool,
    ended: bool,
    /// Whether what is held, and all that follows, is left to the ordinary reader.
    left: bool,
}

impl<R: Read> Blocks<R> {
    /// From the beginning of the first record; every line end of what is read becomes a line feed.
    pub(super) const fn new(source: R, delimiter: u8) -> Self {
        Self { source, delimiter, held: Vec::new(), after_cr: false, ended: false, left: false }
    }

    /// Passes over so many bytes, line ends counted as one.
    ///
    /// # Errors
    /// Those of the source.
    pub(super) fn pass(&mut self, mut bytes: usize) -> io::Result<()> {
        while bytes > 0 {
            self.fill(BLOCK)?;
            if self.held.is_empty() {
                return Ok(());
            }
            let now = bytes.min(self.held.len());
            self.held.drain(..now);
            bytes -= now;
        }
        Ok(())
    }

    /// The next block; `None` where the rest is left to the ordinary reader. That is so too where
    /// the source cannot be read on: the ordinary reader comes to the same place and tells of it.
    /// `free` is a buffer to be used again.
    pub(super) fn next_block(&mut self, mut free: Vec<u8>) -> Option<Vec<u8>> {
        if self.left {
            return None;
        }
        let filled = self.fill(BLOCK);
        let cut = cut(&self.held, self.delimiter);
        // The last record of a file may hide a quote that is not closed.
        let end = if self.ended { cut.last } else { cut.end };
        let open_too_long = LONGEST < self.held.len().saturating_sub(cut.end);
        self.left = filled.is_err() || self.ended || cut.doubtful || open_too_long || end == 0;
        if end == 0 {
            return None;
        }
        free.clear();
        free.extend_from_slice(self.held.get(end..).unwrap_or_default());
        self.held.truncate(end);
        Some(std::mem::replace(&mut self.held, free))
    }

    /// What is left to the ordinary reader: the bytes held, then the source.
    pub(super) fn rest(self) -> impl Read {
        let after_cr = AfterReturn { source: self.source, pending: self.after_cr };
        io::Cursor::new(self.held).chain(after_cr)
    }

    /// Reads on until so many bytes are held or the source ends.
    fn fill(&mut self, most: usize) -> io::Result<()> {
        self.held.reserve_exact(most.saturating_sub(self.held.len()));
        while !self.ended && self.held.len() < most {
            let from = self.held.len();
            self.held.resize(most, 0);
            let read = match self.source.read(self.held.get_mut(from..).unwrap_or_default()) {
                Err(error) if error.kind() == ErrorKind::Interrupted => Ok(None),
                Err(error) => Err(error),
                Ok(read) => Ok(Some(read)),
            };
            let count = *read.as_ref().unwrap_or(&None);
            let new = self.held.get_mut(from..from + count.unwrap_or(0)).unwrap_or_default();
            let kept = unify(new, &mut self.after_cr);
            self.held.truncate(from + kept);
            self.ended = read?.is_some_and(|count| count == 0);
        }
        Ok(())
    }
}

/// A source whose first byte is left out if it is the line feed of a line end already read.
struct AfterReturn<R> {
    source: R,
    pending: bool,
}

impl<R: Read> Read for AfterReturn<R> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        if !self.pending || buffer.is_empty() {
            return self.source.read(buffer);
        }
        let mut first = [0];
        let count = self.source.read(&mut first)?;
        self.pending = false;
        match (count, first, buffer.first_mut()) {
            (0, ..) => Ok(0),
            (_, [b'\n'], _) => self.source.read(buffer),
            (_, [byte], Some(slot)) => {
                *slot = byte;
                Ok(1)
            }
            (.., None) => Ok(0),
        }
    }
}

/// Where the records of some bytes end.
#[derive(Debug, PartialEq, Eq)]
struct Cut {
    /// After the last whole record.
    end: usize,
    /// Where the last whole record begins, or the last line that is none.
    last: usize,
    /// Whether the record after `end` is in doubt.
    doubtful: bool,
}

/// Finds where the records end, from one quote to the next.
fn cut(bytes: &[u8], delimiter: u8) -> Cut {
    // `line`: where the present record begins; `at`: after the last quote that was looked at;
    // `several`: whether the present record has a line feed between quotes.
    let (mut line, mut at, mut several) = (0, 0, false);
    loop {
        let quote = find(bytes, at, b'"');
        let plain = bytes.get(at..quote.unwrap_or(bytes.len())).unwrap_or_default();
        if several && let Some(first) = find(plain, 0, b'\n') {
            if is_doubtful(bytes.get(line..at + first).unwrap_or_default(), delimiter) {
                return Cut { end: line, last: line, doubtful: true };
            }
            several = false;
        }
        let Some(quote) = quote else {
            return last_ends(bytes, plain, (line, at));
        };
        if let Some(last) = memchr::memrchr(b'\n', plain) {
            line = at + last + 1;
        }
        let before = quote.checked_sub(1).and_then(|b| bytes.get(b));
        let opens = before.is_none_or(|b| *b == b'\n' || *b == delimiter) && bytes.get(line) != Some(&b'#');
        if !opens {
            at = quote + 1;
            continue;
        }
        let Some(close) = closing(bytes, quote + 1) else {
            return Cut { end: line, last: line, doubtful: false };
        };
        several |= bytes.get(quote..close).unwrap_or_default().contains(&b'\n');
        at = close + 1;
    }
}

/// The cut of bytes after whose last quote comes `plain`.
fn last_ends(bytes: &[u8], plain: &[u8], (line, at): (usize, usize)) -> Cut {
    let Some(end) = memchr::memrchr(b'\n', plain) else {
        return Cut { end: line, last: line, doubtful: false };
    };
    let before = plain.get(..end).unwrap_or_default();
    let last = memchr::memrchr(b'\n', before).map_or(line, |b| at + b + 1);
    let end = at + end + 1;
    // A last line without its end is the last record.
    Cut { end, last: if end < bytes.len() { end } else { last }, doubtful: false }
}

/// The quote that closes a cell whose text begins at `from`; `None` where it is not there for sure.
fn closing(bytes: &[u8], mut from: usize) -> Option<usize> {
    loop {
        let quote = find(bytes, from, b'"')?;
        if *bytes.get(quote + 1)? != b'"' {
            return Some(quote);
        }
        from = quote + 2;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn records_end_outside_quotes() {
        for (text, end, last, doubtful) in [
            ("a,b\nc,d\n", 8, 4, false),
            ("a,b\nc,d", 4, 4, false),
            ("a,\"b\nc\"\nd", 8, 8, false),
            ("a,\"b\nc\"\n", 8, 0, false),
            ("a,\"b\nc", 0, 0, false),
            ("a,3\" reel\nc,\"x\ny\"\nz\n", 20, 18, false),
            ("# it's \"odd\n# a,\"b\nc,d\n", 23, 19, false),
            ("a,\"\"\"b\"\n\"\"\nc", 11, 11, false),
            (&format!("x\n1,\"{}\"\n", "y\n".repeat(60)), 2, 2, true),
            ("x\n1, \"y,\"a\nb\",z\n", 16, 2, false),
            ("", 0, 0, false),
        ] {
            assert_eq!(cut(text.as_bytes(), b','), Cut { end, last, doubtful }, "{text:?}");
        }
    }
}
