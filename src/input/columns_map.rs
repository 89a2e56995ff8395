//! Suppliers' own headings, from `[columns."main*.csv"]` of the shop's settings.

use std::collections::BTreeMap;

/// Headings of the files of one name pattern.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct ColumnMap {
    /// Pattern of file names; `*` is any text, `?` any one character.
    pub(super) pattern: String,
    /// Plain heading to our column.
    pub(super) columns: BTreeMap<String, String>,
}

impl ColumnMap {
    /// Our column for a supplier's plain heading.
    pub(super) fn column(&self, plain_heading: &str) -> Option<&str> {
        self.columns.get(plain_heading).map(String::as_str)
    }
}

/// All maps of the shop.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct ColumnMaps(pub(super) Vec<ColumnMap>);

impl ColumnMaps {
    /// The map for a file: the longest pattern that its name matches, case aside.
    pub fn of(&self, file: &str) -> Option<&ColumnMap> {
        let name = file.rsplit(['/', '\\']).next().unwrap_or(file).to_lowercase();
        let matching = self.0.iter().filter(|map| matches(&map.pattern.to_lowercase(), &name));
        matching.max_by_key(|map| map.pattern.len())
    }
}

/// Whether a name matches a pattern with `*` and `?`; linear in time but for the last star.
fn matches(pattern: &str, name: &str) -> bool {
    let (pattern, name): (Vec<char>, Vec<char>) = (pattern.chars().collect(), name.chars().collect());
    let (mut p, mut n) = (0, 0);
    let mut star: Option<(usize, usize)> = None;
    while let Some(c) = name.get(n) {
        match pattern.get(p) {
            Some('*') => {
                star = Some((p, n));
                p += 1;
            }
            Some(m) if *m == '?' || m == c => {
                p += 1;
                n += 1;
            }
            _ => {
                let Some((at, from)) = star else { return false };
                star = Some((at, from + 1));
                p = at + 1;
                n = from + 1;
            }
        }
    }
    pattern.iter().skip(p).all(|c| *c == '*')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn patterns() {
        for (pattern, name, yes) in [
            ("main*.csv", "main-2026.csv", true),
            ("main*.csv", "main.csv", true),
            ("main*.csv", "old-main.csv", false),
            ("*", "anything.xlsx", true),
            ("a?c.csv", "abc.csv", true),
            ("a*b*c", "aXbXbXc", true),
            ("a*b*c", "aXbXbX", false),
            ("", "", true),
        ] {
            assert_eq!(matches(pattern, name), yes, "{pattern} {name}");
        }
    }

    #[test]
    fn the_longest_pattern_counts() {
        let map = |pattern: &str| ColumnMap { pattern: pattern.to_owned(), columns: BTreeMap::new() };
        let maps = ColumnMaps(vec![map("*.csv"), map("main*.csv")]);
        assert_eq!(maps.of("catalog/Main-1.csv"), Some(&map("main*.csv")));
        assert_eq!(maps.of("other.csv"), Some(&map("*.csv")));
        assert_eq!(maps.of("other.ods"), None);
    }
}
