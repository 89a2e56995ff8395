//! Natural order of references: `C2` before `C10`.

use std::cmp::Ordering;

/// Compares texts with their runs of digits as numbers; equal numbers by their length, so that
/// the order is total.
pub(super) fn natural(a: &str, b: &str) -> Ordering {
    let (mut left, mut right) = (a, b);
    loop {
        match (left.chars().next(), right.chars().next()) {
            (None, None) => return a.cmp(b),
            (None, _) => return Ordering::Less,
            (_, None) => return Ordering::Greater,
            (Some(x), Some(y)) => {
                let digits = x.is_ascii_digit() && y.is_ascii_digit();
                let (one, rest) = head(left, digits);
                let (other, after) = head(right, digits);
                let order = if digits { by_number(one, other) } else { one.cmp(other) };
                if order != Ordering::Equal {
                    return order;
                }
                (left, right) = (rest, after);
            }
        }
    }
}

/// The run of digits, or the one character, at the beginning, and what follows.
fn head(text: &str, digits: bool) -> (&str, &str) {
    let end = if digits {
        text.find(|c: char| !c.is_ascii_digit()).unwrap_or(text.len())
    } else {
        text.chars().next().map_or(0, char::len_utf8)
    };
    text.split_at_checked(end).unwrap_or((text, ""))
}

/// Runs of digits by their number, however long.
fn by_number(a: &str, b: &str) -> Ordering {
    let (a, b) = (a.trim_start_matches('0'), b.trim_start_matches('0'));
    a.len().cmp(&b.len()).then_with(|| a.cmp(b))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn numbers_count_as_numbers() {
        let mut refs = vec!["R10", "C31b", "C2", "R9", "C31a", "C31", "C10", "C02", "V1"];
        refs.sort_by(|a, b| natural(a, b));
        assert_eq!(refs, ["C02", "C2", "C10", "C31", "C31a", "C31b", "R9", "R10", "V1"]);
    }

    proptest! {
        #[test]
        fn the_order_is_total(a in "[A-C0-2]{0,5}", b in "[A-C0-2]{0,5}", c in "[A-C0-2]{0,5}") {
            prop_assert_eq!(natural(&a, &b), natural(&b, &a).reverse());
            prop_assert_eq!(natural(&a, &b) == Ordering::Equal, a == b);
            if natural(&a, &b).is_le() && natural(&b, &c).is_le() {
                prop_assert!(natural(&a, &c).is_le());
            }
        }
    }
}
