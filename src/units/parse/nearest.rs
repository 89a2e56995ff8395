//! The known word nearest to a misspelt one.

/// The candidate with the fewest edits (insert, drop, change, or swap of two neighbours) from
/// `word`, letter case and the difference of `-` and `_` aside; the earlier one when two are as
/// near. `None` when more than a third of the word would have to change.
pub fn nearest<'a>(word: &str, candidates: &[&'a str]) -> Option<&'a str> {
    let wanted = plain(word);
    let allowed = (wanted.len() / 3).max(1);
    let mut best: Option<(usize, &'a str)> = None;
    for candidate in candidates {
        let edits = distance(&wanted, &plain(candidate));
        if edits <= allowed && best.is_none_or(|(least, _)| edits < least) {
            best = Some((edits, candidate));
        }
    }
    best.map(|(_, candidate)| candidate)
}

/// The letters that count. Long texts are cut, since no known word is that long.
fn plain(word: &str) -> Vec<char> {
    let lower = word.trim().to_lowercase();
    lower.chars().map(|c| if c == '_' || c == ' ' { '-' } else { c }).take(60).collect()
}

/// Edits between two words (optimal string alignment), row by row.
fn distance(a: &[char], b: &[char]) -> usize {
    let mut before: Vec<usize> = Vec::new();
    let mut last: Vec<usize> = (0..=b.len()).collect();
    for (i, x) in a.iter().enumerate() {
        let mut row = vec![i + 1];
        for (j, y) in b.iter().enumerate() {
            let at = |row: &[usize], k: usize| row.get(k).copied().unwrap_or(usize::MAX / 2);
            let mut fewest = at(&last, j) + usize::from(x != y);
            fewest = fewest.min(at(&last, j + 1) + 1).min(at(&row, j) + 1);
            let swapped = i > 0 && j > 0 && a.get(i - 1) == Some(y) && b.get(j - 1) == Some(x);
            if swapped {
                fewest = fewest.min(at(&before, j - 1) + 1);
            }
            row.push(fewest);
        }
        before = std::mem::replace(&mut last, row);
    }
    last.last().copied().unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_the_word_meant() {
        let words = ["electrolytic", "paper", "film", "mica", "wirewound", "rated_v", "rated_vac"];
        for (typed, meant) in [
            ("electrolitic", Some("electrolytic")),
            ("Papre", Some("paper")),
            ("flim", Some("film")),
            ("wire-wound", Some("wirewound")),
            ("rated-v", Some("rated_v")),
            ("ratedvac", Some("rated_vac")),
            ("transformer", None),
            ("", None),
        ] {
            assert_eq!(nearest(typed, &words), meant, "{typed}");
        }
    }
}
