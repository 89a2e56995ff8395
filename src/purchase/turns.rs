//! How far each turn of the search goes, and after how much work it is given up.

/// Rows below which an order counts as small: its first turn looks at the whole gap.
pub(super) const SMALL: usize = 50;

/// Rows from which on an order counts as large: plans of our own are worth some time in it.
pub(super) const LARGE: usize = 120;

/// Rows below which no turn is given up and no plan made from a leaf: the turns are short and the first plans good
/// enough.
pub(super) const PATIENT: usize = 30;

/// First part of the gap that is searched, and what it grows by: small orders, others.
const PARTS: ((f64, f64), (f64, f64)) = ((1.0, 3.0), (0.08, 1.0));

/// Looks at each source in the first turn: large orders, others.
const LOOKS: (u64, u64) = (20_000, 5_000);

/// The turns of one search.
pub(super) struct Turns {
    /// How far above what is proven the next turn looks, grains.
    pub(super) width: f64,
    /// Source evaluations after which it is given up.
    pub(super) work: u64,
    growth: f64,
}

impl Turns {
    /// The first turn for a gap in grains.
    pub(super) fn new(rows: usize, sources: usize, gap: f64) -> Self {
        let (first, growth) = if rows < SMALL { PARTS.0 } else { PARTS.1 };
        let looks = match rows {
            0..PATIENT => u64::MAX,
            PATIENT..LARGE => LOOKS.1,
            LARGE.. => LOOKS.0,
        };
        Self { width: gap.max(1.0) * first, work: looks.saturating_mul(sources as u64), growth }
    }

    /// A turn came to its end.
    pub(super) fn go_on(&mut self) {
        self.width *= self.growth;
    }

    /// A turn was given up: a nearer limit leaves less to search.
    pub(super) fn draw_in(&mut self) {
        self.width = (0.5 * self.width).max(1.0);
        self.work = self.work.saturating_mul(2);
    }
}
