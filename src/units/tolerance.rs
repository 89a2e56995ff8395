//! Tolerance of a marked value.

/// How far the real value may lie from the marked one, in percent; both sides as positive numbers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tolerance {
    /// Below the marked value, percent.
    pub minus_percent: f64,
    /// Above the marked value, percent.
    pub plus_percent: f64,
}

impl Tolerance {
    /// The same to both sides.
    pub const fn both(percent: f64) -> Self {
        Self { minus_percent: percent, plus_percent: percent }
    }
}
