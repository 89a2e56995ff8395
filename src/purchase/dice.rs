//! Dice that fall the same way every time.

use super::table::number;

/// Dice that fall the same way every time.
pub(super) struct Dice(u64);

impl Dice {
    /// Another sequence for each number.
    pub(super) fn new(which: u64) -> Self {
        Self(0x9e37_79b9_7f4a_7c15 ^ which.wrapping_mul(0xd134_2543_de82_ef95))
    }

    /// A number below `n`.
    pub(super) fn below(&mut self, n: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from(self.0 >> 20).unwrap_or(0) % n.max(1)
    }

    /// A number up to `n`.
    pub(super) fn up_to(&mut self, n: u32) -> u32 {
        number(self.below(n as usize + 1))
    }
}
