//! Comparing designations: case and blanks do not count.

pub mod fuse;
pub mod hardware;
pub mod lamp;
pub mod rating;
mod words;

/// Whether two designations are the same; upper and lower case are alike and blanks do not count.
pub fn same(a: &str, b: &str) -> bool {
    let plain =
        |text: &'_ str| text.chars().filter(|c| !c.is_whitespace()).flat_map(char::to_lowercase).collect::<String>();
    plain(a) == plain(b)
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
}
