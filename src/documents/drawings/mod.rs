//! The drawings: the supply as a ladder, voltages against ratings, the ripple at the reservoir.

pub mod bars;
pub mod ladder;
pub mod wave;

/// An id from a name: letters, digits and hyphens.
pub(super) fn id(prefix: &str, name: &str) -> String {
    let plain: String = name.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '-' }).collect();
    format!("{prefix}-{}", plain.to_lowercase())
}

/// A text cut to so many characters, with a mark where something is missing.
pub(super) fn short(text: &str, longest: usize) -> String {
    if text.chars().count() <= longest {
        return text.to_owned();
    }
    let kept: String = text.chars().take(longest.saturating_sub(1)).collect();
    format!("{kept}…")
}

/// A round step for an axis of this length with at most so many marks.
pub(super) fn round_step(length: f64, most: f64) -> f64 {
    if !(length.is_finite() && length > 0.0) {
        return 1.0;
    }
    let rough = length / most;
    let decade = 10f64.powf(rough.log10().floor());
    [1.0, 2.0, 5.0, 10.0].into_iter().map(|m| m * decade).find(|step| rough <= *step).unwrap_or(10.0 * decade)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_round() {
        for (length, due) in [(550.0, 100.0), (40.0, 10.0), (9.0, 2.0), (0.0, 1.0)] {
            assert!((round_step(length, 6.0) - due).abs() < 1e-9, "{length}");
        }
    }

    #[test]
    fn ids_and_cuts() {
        assert_eq!(id("wave", "HT \"1\""), "wave-ht--1-");
        assert_eq!(short("Town hall", 5), "Town…");
    }
}
