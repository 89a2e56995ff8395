//! Comparing designations: case and blanks do not count.

pub mod hardware;
pub mod lamp;
pub mod length;

/// Whether two designations are the same; upper and lower case are alike and blanks do not count.
pub fn same(a: &str, b: &str) -> bool {
    let plain =
        |text: &'_ str| text.chars().filter(|c| !c.is_whitespace()).flat_map(char::to_lowercase).collect::<String>();
    plain(a) == plain(b)
}

/// Whether two designations have anything in common: a word, or their first three letters or digits.
pub fn akin(a: &str, b: &str) -> bool {
    let words = |text: &str| -> Vec<String> {
        let parts = text.split(|c: char| !c.is_alphanumeric()).filter(|w| 2 < w.len());
        parts.map(str::to_lowercase).collect()
    };
    let start = |text: &str| -> String {
        text.chars().filter(|c| c.is_alphanumeric()).take(3).flat_map(char::to_lowercase).collect()
    };
    let (of_a, of_b) = (words(a), words(b));
    start(a) == start(b) || of_a.iter().any(|w| of_b.contains(w))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn case_and_blanks_do_not_count() {
        assert!(same("kt66", "KT 66"));
        assert!(!same("6SL7", "6SN7"));
        assert!(!same("EF86", "EF86/6267"));
    }

    #[test]
    fn what_is_worth_naming() {
        assert!(akin("6SL7", "6SL7GT") && akin("EF86", "EF86/6267") && akin("tag strip 5-way", "tag strip 3-way"));
        assert!(!akin("6SL7", "1N4007") && !akin("cable clamp 8 mm", "earth tag M4"));
    }
}
