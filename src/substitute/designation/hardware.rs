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

/// Letters and digits in lower case.
fn plain(text: &str) -> String {
    text.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect()
}
