//! Hardware that arrangements need, by the words of its designation.

/// Whether it is a tag strip, terminal strip or tag board.
pub fn is_tag_strip(designation: &str) -> bool {
    let plain = plain(designation);
    ["tagstrip", "terminalstrip", "tagboard"].iter().any(|w| plain.contains(w))
}

/// Whether it is sleeving.
pub fn is_sleeving(designation: &str) -> bool {
    let plain = plain(designation);
    plain.contains("sleeving") || plain.contains("sleeve")
}

/// The tags of a strip, `5` of `tag strip 5-way`; `None` where it does not say.
pub fn ways(designation: &str) -> Option<usize> {
    let plain = plain(designation);
    let before = ["way", "tags", "pin", "lug"].iter().find_map(|w| plain.rfind(w).and_then(|at| plain.get(..at)))?;
    let digits = before.chars().rev().take_while(char::is_ascii_digit).count();
    before.get(before.len() - digits..)?.parse().ok()
}

/// Letters and digits in lower case.
fn plain(text: &str) -> String {
    text.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tags_of_a_strip() {
        assert_eq!(ways("tag strip 5-way"), Some(5));
        assert_eq!(ways("Tag Strip, 12 tags"), Some(12));
        assert_eq!(ways("tag board 18 way"), Some(18));
        assert_eq!(ways("tag strip"), None);
    }
}
