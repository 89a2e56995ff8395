//! One kind of line end for the record reader, and the raw text of the record being read.
//!
//! The record reader counts lines rightly only when every line ends in a line feed, and it does
//! not keep the text that a fault must show. This reader sits between file and record reader:
//! it turns CR LF and CR into LF and keeps the bytes from the beginning of the present record on.

use std::io::{self, ErrorKind, Read};

use crate::input::skim::unify;

/// Longest record; beyond it a quote was surely not closed.
const LONGEST: usize = 256 * 1024;

/// The adapter.
pub(super) struct Lines<R> {
    source: R,
    window: Vec<u8>,
    /// Place in the stream of the first byte of `window`.
    base: u64,
    /// Place in the stream of the present record.
    mark: u64,
    after_cr: bool,
    last: Option<u8>,
    ended: bool,
}

impl<R: Read> Lines<R> {
    pub(super) const fn new(source: R) -> Self {
        Self { source, window: Vec::new(), base: 0, mark: 0, after_cr: false, last: None, ended: false }
    }

    /// Tells where the record begins that will be read next.
    pub(super) const fn begin(&mut self, place: u64) {
        self.mark = place;
    }

    /// The bytes from the present record's beginning up to `end`.
    pub(super) fn raw(&self, end: u64) -> &[u8] {
        let at = |place: u64| usize::try_from(place.saturating_sub(self.base)).unwrap_or(usize::MAX);
        self.window.get(at(self.mark)..at(end)).unwrap_or_default()
    }

    /// Whether the source has ended and `end` is its end, as where a record ran on to look for its end.
    pub(super) fn is_last(&self, end: u64) -> bool {
        self.ended && end >= self.base + self.window.len() as u64
    }

    /// Forgets what lies before the present record.
    fn forget(&mut self) {
        let done = usize::try_from(self.mark.saturating_sub(self.base)).unwrap_or(0).min(self.window.len());
        self.window.drain(..done);
        self.base += done as u64;
    }

    /// Reads on, past interruptions and pieces that hold only the LF of a CR LF.
    fn fill(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        loop {
            let read = match self.source.read(buffer) {
                Err(error) if error.kind() == ErrorKind::Interrupted => continue,
                read => read?,
            };
            let kept = unify(buffer.get_mut(..read).unwrap_or_default(), &mut self.after_cr);
            if kept > 0 || read == 0 {
                return Ok(kept);
            }
        }
    }
}

impl<R: Read> Read for Lines<R> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        self.forget();
        if self.window.len() > LONGEST {
            return Err(io::Error::new(ErrorKind::InvalidData, "record too long"));
        }
        if self.ended || buffer.is_empty() {
            return Ok(0);
        }
        let mut count = self.fill(buffer)?;
        if count == 0 {
            self.ended = true;
            // The last line gets its end, so that every record ends in LF.
            if let (Some(byte), Some(slot)) = (self.last, buffer.first_mut())
                && byte != b'\n'
            {
                *slot = b'\n';
                count = 1;
            }
        }
        let piece = buffer.get(..count).unwrap_or_default();
        self.last = piece.last().copied().or(self.last);
        self.window.extend_from_slice(piece);
        Ok(count)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Gives one byte at a time, the hardest case for CR LF.
    struct Single<'a>(&'a [u8]);

    impl Read for Single<'_> {
        fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
            let take = self.0.len().min(buffer.len()).min(1);
            buffer[..take].copy_from_slice(&self.0[..take]);
            self.0 = &self.0[take..];
            Ok(take)
        }
    }

    #[test]
    fn every_line_end_becomes_one_line_feed() {
        for text in ["a\nb\n\nc", "a\r\nb\r\n\r\nc\r\n", "a\rb\r\rc", "a\r\nb\n\rc\n"] {
            for whole in [true, false] {
                let mut read = String::new();
                if whole {
                    Lines::new(text.as_bytes()).read_to_string(&mut read).unwrap();
                } else {
                    Lines::new(Single(text.as_bytes())).read_to_string(&mut read).unwrap();
                }
                assert_eq!(read, "a\nb\n\nc\n", "{text:?}");
            }
        }
    }

    #[test]
    fn an_endless_record_is_refused() {
        let text = "x".repeat(600_000);
        assert!(Lines::new(text.as_bytes()).read_to_end(&mut Vec::new()).is_err());
    }
}
