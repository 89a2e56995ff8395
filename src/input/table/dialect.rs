//! What parts the cells of a file, and what mark its decimals have.

/// How a file writes its decimals.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Decimal {
    /// A point; a comma between digits is a fault.
    Point,
    /// Mostly commas; a point before three digits may part thousands and is refused.
    MostlyComma,
    /// Mostly points; a comma before three digits may part thousands and is refused.
    MostlyPoint,
}

/// The dialect of one file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Dialect {
    /// The byte between cells.
    pub(super) delimiter: u8,
    /// The decimal mark.
    pub(super) decimal: Decimal,
}

impl Dialect {
    /// Cells of a spreadsheet: numbers are written by ourselves, with a point; texts may have either.
    pub(super) const SHEET: Self = Self { delimiter: b'\t', decimal: Decimal::MostlyPoint };

    /// Finds the dialect from the beginning of a file (without its encoding's mark).
    ///
    /// The delimiter is the one of `,`, `;` and tab that the first line of cells has most often
    /// outside quotes; a file with one column has commas. A comma file has decimal points.
    pub(super) fn of(sample: &[u8]) -> Self {
        let delimiter = named_delimiter(sample).unwrap_or_else(|| most_frequent(heading_line(sample)));
        let decimal = if delimiter == b',' { Decimal::Point } else { usual_mark(sample) };
        Self { delimiter, decimal }
    }
}

/// The delimiter of a first line `sep=;`, which some spreadsheets write.
fn named_delimiter(sample: &[u8]) -> Option<u8> {
    match sample {
        [b's' | b'S', b'e' | b'E', b'p' | b'P', b'=', mark @ (b',' | b';' | b'\t'), b'\r' | b'\n', ..] => Some(*mark),
        _ => None,
    }
}

/// From the first line that is neither blank nor a remark on; a quoted heading may hold a line break.
fn heading_line(sample: &[u8]) -> &[u8] {
    let mut rest = sample;
    loop {
        let end = rest.iter().position(|b| matches!(b, b'\n' | b'\r'));
        let line = end.map_or(rest, |end| rest.get(..end).unwrap_or_default());
        let skipped = line.first() == Some(&b'#') || line.iter().all(u8::is_ascii_whitespace);
        match end {
            Some(end) if skipped => rest = rest.get(end + 1..).unwrap_or_default(),
            _ => return rest,
        }
    }
}

/// The delimiter found most often on the first line, quotes respected.
fn most_frequent(text: &[u8]) -> u8 {
    let mut counts = [(b',', 0_usize), (b';', 0), (b'\t', 0)];
    let mut quoted = false;
    for byte in text {
        match byte {
            b'"' => quoted = !quoted,
            b'\n' | b'\r' if !quoted => break,
            _ if quoted => {}
            _ => {
                for (mark, count) in &mut counts {
                    *count += usize::from(mark == byte);
                }
            }
        }
    }
    // The earlier one wins a tie.
    counts.iter().rev().max_by_key(|(_, count)| *count).map_or(b',', |(mark, _)| *mark)
}

/// The mark that stands between digits more often.
fn usual_mark(sample: &[u8]) -> Decimal {
    let between = move |mark: u8| {
        sample
            .windows(3)
            .filter(move |w| matches!(w, [a, m, b] if *m == mark && a.is_ascii_digit() && b.is_ascii_digit()))
    };
    if between(b',').count() > between(b'.').count() { Decimal::MostlyComma } else { Decimal::MostlyPoint }
}

/// Why a decimal mark is refused.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum MarkFault {
    /// A comma between digits where points are due.
    Comma,
    /// A mark that may part thousands.
    Thousands,
}

/// A cell with its decimal commas as points.
///
/// # Errors
/// A decimal comma in a comma file, a number with both marks or the same mark twice, and a mark
/// before three digits where the file's decimals have the other one.
pub(super) fn with_points(text: &str, decimal: Decimal) -> Result<String, MarkFault> {
    let mut shown = String::with_capacity(text.len());
    let mut before = ' ';
    // Of the number being passed: digits before its mark (zeros in front aside), and its marks.
    let (mut whole, mut marks) = (0, 0);
    for (at, c) in text.char_indices() {
        let after = text.get(at + c.len_utf8()..).unwrap_or_default();
        let is_mark = matches!(c, ',' | '.')
            && after.starts_with(|n: char| n.is_ascii_digit())
            && (before.is_ascii_digit() || !before.is_alphanumeric());
        if is_mark {
            marks += 1;
            if c == ',' && decimal == Decimal::Point {
                return Err(MarkFault::Comma);
            }
            let unusual = c == if decimal == Decimal::MostlyComma { '.' } else { ',' };
            let parts_thousands =
                unusual && decimal != Decimal::Point && (1..=3).contains(&whole) && three_digits(after);
            if marks > 1 || parts_thousands {
                return Err(MarkFault::Thousands);
            }
        } else if c.is_ascii_digit() {
            whole += usize::from(c != '0' || whole > 0);
        } else {
            (whole, marks) = (0, 0);
        }
        shown.push(if is_mark { '.' } else { c });
        before = c;
    }
    Ok(shown)
}

/// Whether exactly three digits stand at the beginning.
fn three_digits(text: &str) -> bool {
    text.bytes().take_while(u8::is_ascii_digit).count() == 3
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_delimiter_is_found_outside_quotes() {
        for (sample, delimiter) in [
            ("ref,part,marked\n", b','),
            ("# a, remark, with; commas\n\nref;part;marked\n", b';'),
            ("ref\tpart\n", b'\t'),
            ("\"a,b,c\";part;x\n", b';'),
            ("ref\n", b','),
            ("sep=;\nref,a,b;part\n", b';'),
            ("", b','),
        ] {
            assert_eq!(Dialect::of(sample.as_bytes()).delimiter, delimiter, "{sample}");
        }
    }

    #[test]
    fn commas_become_points_only_where_they_may() {
        for (text, shown) in [
            ("2,2uF", "2.2uF"),
            (",02/600", ".02/600"),
            ("1:0,42;10:0,36", "1:0.42;10:0.36"),
            ("50:0.8;100:1", "50:0.8;100:1"),
            ("C1, C2", "C1, C2"),
        ] {
            assert_eq!(with_points(text, Decimal::MostlyComma).as_deref(), Ok(shown));
            assert_eq!(with_points(text, Decimal::MostlyPoint).as_deref(), Ok(shown));
        }
        assert_eq!(with_points("2,2", Decimal::Point), Err(MarkFault::Comma));
        assert_eq!(with_points("1.234,5", Decimal::MostlyComma), Err(MarkFault::Thousands));
        assert_eq!(with_points("1,234,567", Decimal::MostlyComma), Err(MarkFault::Thousands));
    }

    #[test]
    fn what_may_part_thousands_is_refused() {
        for (text, comma, point) in [
            ("1.000", false, true),
            ("1,000", true, false),
            ("0,047", true, true),
            ("0.047", true, true),
            ("1,25", true, true),
            ("1234.567", true, true),
        ] {
            assert_eq!(with_points(text, Decimal::MostlyComma).is_ok(), comma, "{text}");
            assert_eq!(with_points(text, Decimal::MostlyPoint).is_ok(), point, "{text}");
        }
        assert_eq!(with_points("1.000", Decimal::Point).as_deref(), Ok("1.000"));
    }
}
