//! Source-date codes: the maker's number, the year and the week in which a part was made.
//!
//! `XXX-Y-WW` has a year of one digit, so its decade is not known; `XXX-YY-WW` has two. Seen in
//! public descriptions of the American source-date format; the standard itself was not seen.
//! A code dates the part, not the set, and the part may have been fitted later.

/// A source-date code as read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DateCode {
    /// The maker's number, as written. Not looked up: makers are not named here.
    pub maker: String,
    /// Every year it can be, rising.
    pub years: Vec<u16>,
    /// The week of the year, 1 to 53.
    pub week: u8,
}

/// Why a text is no source-date code.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum DateCodeError {
    /// Not digits in the groups of such a code.
    #[error("not a source-date code; those are written 999-6-21 or 999-74-15")]
    Shape,
    /// The week is not a week of a year.
    #[error("invalid week {week}; a year has weeks 01 to 53")]
    Week {
        /// The week as read.
        week: u8,
    },
}

/// The years in which codes with a year of one digit were in use.
const ONE_DIGIT_YEARS: std::ops::RangeInclusive<u16> = 1945..=1979;
/// Stock may be this many years older than the set. Our setting.
const OLDEST_STOCK_YEARS: u16 = 9;
/// A set's year is often known to a year only, so a part may seem this much younger. Our setting.
const YEAR_DOUBT: u16 = 1;

/// Reads `999-6-21`, `999 7415`, `9997415`, `999-74-15`, or a maker's number of four digits
/// before year and week (`1234-74-15`; from memory). `set_year` is the year the set was made, if
/// known: it keeps the years from nine before to one after it, where any candidate is there.
///
/// # Errors
/// When the text has another shape, or a week above 53 or of 0.
pub fn date_code(text: &str, set_year: Option<u16>) -> Result<DateCode, DateCodeError> {
    let (maker, year, week) = parts(text).ok_or(DateCodeError::Shape)?;
    let week: u8 = week.parse().map_err(|_not_digits| DateCodeError::Shape)?;
    if !(1..=53).contains(&week) {
        return Err(DateCodeError::Week { week });
    }
    let number: u16 = year.parse().map_err(|_not_digits| DateCodeError::Shape)?;
    let mut years: Vec<u16> = if year.len() == 1 {
        ONE_DIGIT_YEARS.filter(|candidate| candidate % 10 == number).collect()
    } else {
        // Two digits: no such code is older than 1940, so the lower ones are of this century.
        vec![if number < 40 { 2000 + number } else { 1900 + number }]
    };
    if let Some(made) = set_year {
        let near = |y: &u16| made <= *y + OLDEST_STOCK_YEARS && *y <= made.saturating_add(YEAR_DOUBT);
        if years.iter().any(near) {
            years.retain(near);
        }
    }
    Ok(DateCode { maker, years, week })
}

/// Maker, year and week as text.
fn parts(text: &str) -> Option<(String, String, String)> {
    let groups: Vec<&str> = text.trim().split(['-', ' ', '/']).filter(|group| !group.is_empty()).collect();
    let digits = |group: &&str| group.bytes().all(|b| b.is_ascii_digit());
    if !groups.iter().all(digits) {
        return None;
    }
    let owned = |(maker, year, week): (&str, &str, &str)| {
        let known = (3..=4).contains(&maker.len()) && (1..=2).contains(&year.len()) && week.len() == 2;
        known.then(|| (maker.to_owned(), year.to_owned(), week.to_owned()))
    };
    match *groups.as_slice() {
        [maker, year, week] => owned((maker, year, week)),
        [maker, date] => {
            let (year, week) = date.split_at_checked(date.len().checked_sub(2)?)?;
            owned((maker, year, week))
        }
        [all] => {
            let maker_digits = match all.len() {
                6 | 7 => 3,
                8 => 4,
                _ => return None,
            };
            let (maker, date) = all.split_at_checked(maker_digits)?;
            let (year, week) = date.split_at_checked(date.len().checked_sub(2)?)?;
            owned((maker, year, week))
        }
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_year_of_the_set_narrows() {
        let years = |text, set| date_code(text, set).map(|code| code.years);
        assert_eq!(years("999-6-21", None), Ok(vec![1946, 1956, 1966, 1976]));
        assert_eq!(years("999-6-34", Some(1958)), Ok(vec![1956]));
        // A part one year younger than the set, or nine years older: both are possible.
        assert_eq!(years("999-9-02", Some(1958)), Ok(vec![1949, 1959]));
        // A part far from the set's year was fitted later: nothing to narrow by.
        assert_eq!(years("999-74-15", Some(1956)), Ok(vec![1974]));
        assert_eq!(years("1234-03-15", None), Ok(vec![2003]));
    }

    #[test]
    fn what_is_no_date_code() {
        for text in ["", "4K7", "99-6-21", "999-6-2", "999-6-211", "12345", "999-6-21-4", "999--", "٣٣٣-6-21"] {
            assert_eq!(date_code(text, None), Err(DateCodeError::Shape), "{text}");
        }
        for (text, week) in [("999-4-54", 54), ("999-4-00", 0), ("999-4-99", 99)] {
            assert_eq!(date_code(text, None), Err(DateCodeError::Week { week }), "{text}");
        }
    }
}
