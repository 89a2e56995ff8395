//! The three outcomes of holding a reading against a pair of limits.

/// Share of a limit by which a value may pass it and still count as standing on it, so that a
/// change of prefix or a quotient cannot tip a reading that is exactly at its limit.
const HAIR: f64 = 1e-9;

/// Whether a value is at most the limit, both in the same unit; what is not a number is not.
pub fn within(value: f64, limit: f64) -> bool {
    value <= limit + HAIR * limit.abs()
}

/// Outcome of holding one reading against its limits; worse is greater.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Verdict {
    /// Within what a new part may show, or within tolerance.
    Pass,
    /// Worn or drifted but short of the limit for replacing.
    Flag,
    /// Beyond the limit for replacing.
    Replace,
}

impl Verdict {
    /// Pass up to and including `flag_above`, replace above `replace_above`, flag between.
    ///
    /// A reading that is not a number never passes.
    pub fn of_rising(reading: f64, flag_above: f64, replace_above: f64) -> Self {
        if within(reading, flag_above) {
            Self::Pass
        } else if within(reading, replace_above) {
            Self::Flag
        } else {
            Self::Replace
        }
    }

    /// Pass from `flag_below` up, replace below `replace_below`, flag between.
    ///
    /// A reading that is not a number never passes.
    pub fn of_falling(reading: f64, flag_below: f64, replace_below: f64) -> Self {
        if within(flag_below, reading) {
            Self::Pass
        } else if within(replace_below, reading) {
            Self::Flag
        } else {
            Self::Replace
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn limits_belong_to_the_better_side() {
        assert_eq!(Verdict::of_rising(1.0, 1.0, 2.0), Verdict::Pass);
        assert_eq!(Verdict::of_rising(2.0, 1.0, 2.0), Verdict::Flag);
        assert_eq!(Verdict::of_rising(2.1, 1.0, 2.0), Verdict::Replace);
        assert_eq!(Verdict::of_falling(0.8, 0.8, 0.7), Verdict::Pass);
        assert_eq!(Verdict::of_falling(0.7, 0.8, 0.7), Verdict::Flag);
        assert_eq!(Verdict::of_falling(0.69, 0.8, 0.7), Verdict::Replace);
    }

    #[test]
    fn the_last_bits_tip_nothing() {
        assert_eq!(Verdict::of_rising(110.0 / 100.0 - 1.0, 0.10, 0.20), Verdict::Pass);
        assert_eq!(Verdict::of_falling(37.6e-6 / 47e-6, 0.80, 0.70), Verdict::Pass);
        assert_eq!(Verdict::of_falling(32.9e-6 / 47e-6, 0.80, 0.70), Verdict::Flag);
        assert_eq!(Verdict::of_rising(0.100_001, 0.10, 0.20), Verdict::Flag);
    }

    #[test]
    fn not_a_number_never_passes() {
        assert_eq!(Verdict::of_rising(f64::NAN, 1.0, 2.0), Verdict::Replace);
        assert_eq!(Verdict::of_falling(f64::NAN, 0.8, 0.7), Verdict::Replace);
    }
}
