//! A small generator of numbers that gives the same ones on every machine.

/// Dice with a fixed beginning (the public-domain generator known as splitmix64).
pub(crate) struct Dice(u64);

impl Dice {
    /// Dice that begin at this number.
    pub(crate) const fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// The next 64 bits.
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// A whole number below `end`.
    pub(crate) fn below(&mut self, end: u64) -> u64 {
        self.next() % end
    }

    /// Whether one case in `n` has come.
    pub(crate) fn one_in(&mut self, n: u64) -> bool {
        self.below(n) == 0
    }

    /// One of these.
    pub(crate) fn of<T: Copy>(&mut self, from: &[T]) -> T {
        from[usize::try_from(self.below(from.len() as u64)).unwrap_or(0)]
    }

    /// A number from 0.7 to 1.4, for prices.
    pub(crate) fn spread(&mut self) -> f64 {
        0.7 + 0.7 * (self.below(1000) as f64) / 1000.0
    }
}
