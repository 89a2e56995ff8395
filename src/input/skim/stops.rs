//! Where cells and lines end, found many bytes at a time.

/// Bytes whose stops are held at a time; few in tests, so that short blocks have several windows.
const WINDOW: usize = if cfg!(test) { 192 } else { 16 * 1024 };
/// Bytes that are looked at in one go.
const GO: usize = 64;
/// Moves the lowest bits of eight bytes together into the highest byte, first byte lowest.
const GATHER: u64 = 0x0102_0408_1020_4080;

/// The delimiters and line feeds of a part of a block.
pub(super) struct Stops {
    delimiter: u8,
    /// Places of the part's stops within the block, in order, as many as `count`.
    places: Vec<u32>,
    count: usize,
    /// The first of them that is not passed yet.
    next: usize,
    /// The place after the part.
    end: usize,
}

impl Stops {
    /// For cells parted by this byte.
    pub(super) const fn new(delimiter: u8) -> Self {
        Self { delimiter, places: Vec::new(), count: 0, next: 0, end: 0 }
    }

    /// Forgets the block.
    pub(super) fn begin(&mut self) {
        self.count = 0;
        self.next = 0;
        self.end = 0;
    }

    /// The stops of the line that begins at `begin` and whose line feed stands at `end`, which is the
    /// last of them. Lines are asked for in order; `usual` is how many stops most lines have.
    pub(super) fn of_line(&mut self, block: &[u8], (begin, end): (usize, usize), usual: usize) -> &[u32] {
        if self.end <= end {
            self.look(block, (begin, end));
        }
        let places = self.places.get(..self.count).unwrap_or_default();
        while places.get(self.next).is_some_and(|place| (*place as usize) < begin) {
            self.next += 1;
        }
        let from = self.next;
        let is_last = |at: usize| places.get(at).is_some_and(|place| *place as usize == end);
        let usual = from + usual.saturating_sub(1);
        let last = if is_last(usual) { usual } else { (from..places.len()).find(|at| is_last(*at)).unwrap_or(from) };
        self.next = last + 1;
        places.get(from..=last).unwrap_or_default()
    }

    /// Finds the stops from `begin` on, up to `end` at least.
    fn look(&mut self, block: &[u8], (begin, end): (usize, usize)) {
        self.begin();
        self.end = (begin + WINDOW).max(end + 1).min(block.len());
        let Ok(mut at) = u32::try_from(begin) else { return };
        // Every byte may be a stop.
        let most = self.places.len().max(self.end - begin.min(self.end));
        self.places.resize(most, 0);
        let (goes, rest) = block.get(begin..self.end).unwrap_or_default().as_chunks::<GO>();
        for go in goes {
            self.note(go, at);
            at += 64;
        }
        let mut last = [0; GO];
        for (slot, byte) in last.iter_mut().zip(rest) {
            *slot = *byte;
        }
        self.note(&last, at);
    }

    /// Notes the stops of some bytes that begin at `at`.
    fn note(&mut self, bytes: &[u8; GO], at: u32) {
        // A byte of 1 for each stop; a loop that compilers do many bytes of at once.
        let is_stop = bytes.map(|byte| u8::from(byte == self.delimiter) | u8::from(byte == b'\n'));
        let (words, _) = is_stop.as_chunks::<8>();
        let mut mask = 0;
        for (number, word) in words.iter().enumerate() {
            mask |= (u64::from_le_bytes(*word).wrapping_mul(GATHER) >> 56) << (8 * number);
        }
        let free = self.places.get_mut(self.count..).unwrap_or_default();
        let mut count = 0;
        for slot in free {
            if mask == 0 {
                break;
            }
            *slot = at + mask.trailing_zeros();
            mask &= mask - 1;
            count += 1;
        }
        self.count += count;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn every_stop_of_every_line(bytes in prop::collection::vec(prop::sample::select(b"\x00,\n,\nab-\x8c\x8a\xff+".to_vec()), 0..700)) {
            let block = [bytes.as_slice(), b"\n"].concat();
            let mut stops = Stops::new(b',');
            let mut begin = 0;
            for line in block.split_inclusive(|b| *b == b'\n') {
                let end = begin + line.len() - 1;
                // Now and then a line is passed over.
                if line.len() % 5 != 4 {
                    let expected: Vec<u32> = (begin..=end).filter(|at| matches!(block[*at], b',' | b'\n')).map(|at| u32::try_from(at).unwrap()).collect();
                    prop_assert_eq!(stops.of_line(&block, (begin, end), 3), expected.as_slice());
                }
                begin = end + 1;
            }
        }
    }
}
