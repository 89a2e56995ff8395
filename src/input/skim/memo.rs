//! What cells were found to say, remembered by their bytes.
//!
//! A catalog repeats itself: the same suppliers, values, voltages and sizes stand in line after line.
//! A cell that was read once need not be read again. A place that is taken by another cell is
//! overwritten, so that the memory is bounded whatever the file holds.

/// Places for cells, as a power of two.
const BITS: u32 = if cfg!(test) { 4 } else { 12 };
/// Longest cell that is remembered, bytes.
const LONGEST: usize = 14;

/// A cell as it is compared: its bytes, how many they are, and what it was read as.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct Key {
    low: u64,
    high: u64,
}

/// The bits of so many bytes at the beginning of sixteen, as two halves.
const KEPT: [(u64, u64); LONGEST + 1] = [
    first_bytes(0),
    first_bytes(1),
    first_bytes(2),
    first_bytes(3),
    first_bytes(4),
    first_bytes(5),
    first_bytes(6),
    first_bytes(7),
    first_bytes(8),
    first_bytes(9),
    first_bytes(10),
    first_bytes(11),
    first_bytes(12),
    first_bytes(13),
    first_bytes(14),
];

const fn first_bytes(count: u32) -> (u64, u64) {
    halves((1 << (8 * count)) - 1)
}

impl Key {
    /// The key of the cell `from..to` of a block, read as `what`, which is below 256; `None` for an empty cell and
    /// for one that is too long.
    #[inline]
    pub(super) fn of(block: &[u8], (from, to): (usize, usize), what: u32) -> Option<Self> {
        let length = to.checked_sub(from)?;
        let (low, high) = *KEPT.get(length)?;
        if length == 0 {
            return None;
        }
        let bytes = match block.get(from..).and_then(|rest| rest.first_chunk::<16>()) {
            Some(bytes) => *bytes,
            None => last(block.get(from..to)?),
        };
        let word = u128::from_le_bytes(bytes);
        let (first, second) = halves(word);
        // The two bytes that no cell reaches hold what else tells cells apart.
        let rest = u64::from(what) << 56 | (length as u64) << 48;
        Some(Self { low: first & low, high: second & high | rest })
    }

    #[inline]
    fn place(self) -> usize {
        let mixed = (self.low ^ self.high.rotate_left(29)).wrapping_mul(0x9e37_79b9_7f4a_7c15);
        usize::try_from(mixed >> (64 - BITS)).unwrap_or(0)
    }
}

#[expect(clippy::cast_possible_truncation, reason = "the halves are meant")]
const fn halves(word: u128) -> (u64, u64) {
    (word as u64, (word >> 64) as u64)
}

/// The bytes of a cell near the end of its block.
#[cold]
fn last(cell: &[u8]) -> [u8; 16] {
    let mut bytes = [0; 16];
    for (slot, byte) in bytes.iter_mut().zip(cell) {
        *slot = *byte;
    }
    bytes
}

/// Cells with what they say.
pub(super) struct Memo(Vec<(Key, u64)>);

impl Memo {
    /// Nothing remembered yet.
    pub(super) fn new() -> Self {
        // No cell has a key of nothing, since its length is part of it.
        Self(vec![(Key::default(), 0); 1 << BITS])
    }

    /// What a cell says, if it is remembered.
    #[inline]
    pub(super) fn get(&self, key: Key) -> Option<u64> {
        self.0.get(key.place()).filter(|(held, _)| *held == key).map(|(_, says)| *says)
    }

    /// Remembers a cell.
    pub(super) fn put(&mut self, key: Key, says: u64) {
        if let Some(place) = self.0.get_mut(key.place()) {
            *place = (key, says);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn keys_are_alike_only_for_the_same_cells(a in "[ab\0]{0,17}", b in "[ab\0]{0,17}", what in 0_u32..2, other in 0_u32..2, after in "[ab]{0,20}") {
            let key = |cell: &str, what| {
                let block = format!("x{cell}{after}");
                Key::of(block.as_bytes(), (1, 1 + cell.len()), what)
            };
            prop_assert_eq!(key(&a, what).is_some(), (1..=LONGEST).contains(&a.len()));
            if let (Some(one), Some(two)) = (key(&a, what), key(&b, other)) {
                prop_assert_eq!(one == two, a == b && what == other);
                let mut memo = Memo::new();
                memo.put(one, 7);
                prop_assert_eq!(memo.get(two), (one == two).then_some(7));
            }
        }
    }

    #[test]
    fn a_key_does_not_hang_on_what_follows() {
        let near_the_end = Key::of(b"450", (0, 3), 1);
        assert_eq!(Key::of(b"450,and more than sixteen bytes", (0, 3), 1), near_the_end);
    }
}
