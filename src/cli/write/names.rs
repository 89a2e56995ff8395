//! File names made from any text.

/// A file name made from any text: letters, digits, `-` and `_` stay, everything else becomes `-`;
/// at most 60 characters.
pub(super) fn safe_stem(text: &str) -> String {
    let mut stem = String::new();
    for c in text.trim().chars() {
        if c.is_alphanumeric() || c == '_' {
            stem.push(c);
        } else if !stem.ends_with('-') {
            stem.push('-');
        }
    }
    let stem: String = stem.trim_matches('-').chars().take(60).collect();
    if stem.is_empty() { "unnamed".to_owned() } else { stem }
}

/// One safe stem for each text; those that would differ by case only get a number.
pub(in crate::cli) fn distinct_stems<'a>(texts: impl IntoIterator<Item = &'a str>) -> Vec<String> {
    let mut taken: Vec<String> = Vec::new();
    let mut stems = Vec::new();
    for text in texts {
        let stem = safe_stem(text);
        let mut candidate = stem.clone();
        let mut n = 2;
        while taken.contains(&candidate.to_lowercase()) {
            candidate = format!("{stem}-{n}");
            n += 1;
        }
        taken.push(candidate.to_lowercase());
        stems.push(candidate);
    }
    stems
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn stems_stay_in_the_folder_and_apart() {
        assert_eq!(safe_stem("../../etc/passwd"), "etc-passwd");
        assert_eq!(safe_stem("  "), "unnamed");
        assert_eq!(safe_stem(&"x".repeat(300)).len(), 60);
        assert_eq!(distinct_stems(["Moor End", "MOOR END", "moor/end"]), ["Moor-End", "MOOR-END-2", "moor-end-3"]);
    }
}
