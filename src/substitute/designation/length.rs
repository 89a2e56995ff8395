//! Leads, cord and sleeving sold by length: a longer one is cut.

/// Whether `has` is the same as `wanted` but for a length in metres that is no shorter.
pub fn long_enough(wanted: &str, has: &str) -> bool {
    match (split(wanted), split(has)) {
        (Some((wanted, least)), Some((has, metres))) => super::same(wanted, has) && least <= metres,
        _ => false,
    }
}

/// What stands before the length, and the metres; `None` where it does not end in metres.
fn split(designation: &str) -> Option<(&str, f64)> {
    let text = designation.trim();
    let text = text.strip_suffix('m').or_else(|| text.strip_suffix('M'))?.trim_end();
    let digits = text.chars().rev().take_while(|c| c.is_ascii_digit() || *c == '.').count();
    let (before, figure) = text.split_at_checked(text.len() - digits)?;
    figure.parse().ok().map(|metres| (before, metres))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_longer_one_is_cut() {
        assert!(long_enough("mains lead 3-core 2 m", "Mains lead 3-core 3m"));
        assert!(long_enough("sleeving 2 mm x 5 m", "sleeving 2 mm x 10 m"));
        assert!(!long_enough("mains lead 3-core 3 m", "mains lead 3-core 2 m"));
        assert!(!long_enough("mains lead 3-core 2 m", "mains lead 2-core 3 m"));
        // Millimetres are no length to be cut.
        assert!(!long_enough("cable clamp 8 mm", "cable clamp 10 mm"));
    }
}
