//! Dates as they are stamped on parts without a maker's number: `8412`, `84-12`, `12/84`, `MAR 53`.
//!
//! Year and week in four digits, and month and year, are common practice, no source; the older the part, the
//! less any of them is sure. Every one is a candidate beside the other readings of the text, never a claim.

use std::ops::RangeInclusive;

/// Years that a part of this trade can be of; two digits of 40 and more are of the last century. Our setting.
const YEARS: RangeInclusive<u16> = 1940..=2029;
/// The first three letters of the months.
const MONTHS: [&str; 12] = ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"];

/// A date that a text can be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PossibleDate {
    /// The year, 1940 to 2029.
    pub year: u16,
    /// The week, 1 to 53, where it is one.
    pub week: Option<u8>,
    /// The month, 1 to 12, where it is one.
    pub month: Option<u8>,
}

/// Every date that the whole text can be, the likelier form first; none where it has no such form.
pub fn possible_dates(text: &str) -> Vec<PossibleDate> {
    let text = text.trim();
    if let Some(date) = named_month(text) {
        return vec![date];
    }
    let groups: Vec<&str> = text.split(['-', '/']).collect();
    match *groups.as_slice() {
        [all] if all.len() == 4 => all.split_at_checked(2).and_then(|(y, w)| week(y, w)).into_iter().collect(),
        [first, second] => {
            let all = [week(first, second), month(second, first), month(first, second), week(second, first)];
            all.into_iter().flatten().collect()
        }
        _ => Vec::new(),
    }
}

/// Year and week.
fn week(year_text: &str, week: &str) -> Option<PossibleDate> {
    let week = two(week).filter(|w| (1..=53).contains(w))?;
    Some(PossibleDate { year: year(year_text)?, week: Some(week), month: None })
}

/// Year and month.
fn month(year_text: &str, month: &str) -> Option<PossibleDate> {
    let month = two(month).filter(|m| (1..=12).contains(m))?;
    Some(PossibleDate { year: year(year_text)?, week: None, month: Some(month) })
}

/// `MAR 53`, `March 1953`, `DEC.61`.
fn named_month(text: &str) -> Option<PossibleDate> {
    let letters = text.find(|c: char| !c.is_ascii_alphabetic())?;
    let (name, rest) = text.split_at_checked(letters)?;
    let short = name.get(..3)?.to_ascii_lowercase();
    let number = MONTHS.iter().position(|m| *m == short)?;
    let year = year(rest.trim_start_matches([' ', '.', '-', '/', '\'']))?;
    Some(PossibleDate { year, week: None, month: u8::try_from(number + 1).ok() })
}

/// Two digits.
fn two(text: &str) -> Option<u8> {
    if text.len() == 2 && text.bytes().all(|b| b.is_ascii_digit()) { text.parse().ok() } else { None }
}

/// A year of two or four digits.
fn year(text: &str) -> Option<u16> {
    let digits = text.bytes().all(|b| b.is_ascii_digit());
    let number: u16 = text.parse().ok().filter(|_| digits)?;
    let year = match text.len() {
        2 if number < 40 => 2000 + number,
        2 => 1900 + number,
        4 => number,
        _ => return None,
    };
    YEARS.contains(&year).then_some(year)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_form_is_a_candidate() {
        let shown = |text: &str| -> Vec<(u16, Option<u8>, Option<u8>)> {
            possible_dates(text).iter().map(|d| (d.year, d.week, d.month)).collect()
        };
        assert_eq!(shown("8412"), [(1984, Some(12), None)]);
        assert_eq!(shown("84-12"), [(1984, Some(12), None), (1984, None, Some(12))]);
        assert_eq!(shown("12/84"), [(1984, None, Some(12)), (1984, Some(12), None)]);
        assert_eq!(shown("MAR 53"), [(1953, None, Some(3))]);
        assert_eq!(shown("Dec. 1961"), [(1961, None, Some(12))]);
        // Weeks 00, 54 and 70 and a year beyond the range: values, not dates.
        for text in ["4700", "8454", "3312", "4570", "841", "84-1", "84-12-3", "marble", "MAR", "MAR 5", "٨٤١٢"] {
            assert_eq!(shown(text), [], "{text}");
        }
    }
}
