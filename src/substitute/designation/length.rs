//! Leads, cord and sleeving sold by length: a longer one is cut.

/// Whether a mains lead does for another: as many cores, and no shorter where a length is asked for. Neither the
/// order of the words nor other words count.
pub fn lead_does(wanted: &str, has: &str) -> bool {
    let metres = |text: &str| split(text).map(|(_, metres)| metres);
    let long = metres(wanted).is_none_or(|least| metres(has).is_some_and(|metres| least <= metres));
    cores(wanted).is_some() && cores(wanted) == cores(has) && long
}

/// The cores of a lead, as written: `2-core`, `3 core`, `three-core`.
pub fn cores(designation: &str) -> Option<u8> {
    let plain: String = designation.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect();
    let says =
        |figure: &str, word: &str| plain.contains(&format!("{figure}core")) || plain.contains(&format!("{word}core"));
    match (says("2", "two"), says("3", "three")) {
        (true, false) => Some(2),
        (false, true) => Some(3),
        _ => None,
    }
}

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
    fn leads_by_cores_and_length() {
        assert!(lead_does("2-core mains lead", "mains lead 2-core 2 m"));
        assert!(lead_does("mains lead 3-core 2 m", "lead, three-core, 3 m"));
        assert!(!lead_does("2-core mains lead", "mains lead 3-core 3 m"));
        assert!(!lead_does("mains lead 3-core 3 m", "mains lead 3-core 2 m"));
        assert!(!lead_does("mains lead", "mains lead 2-core 2 m"));
    }

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
