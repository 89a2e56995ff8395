//! A value that a decimal comma has parted into two cells of a comma file: `C1,film,0,47uF`.
//!
//! It is told only where it can be: two cells side by side, digits before the comma and a digit after
//! it, and every cell of the line suits its column once they are taken together, which not every one
//! did before.

use super::Columns;
use super::header::{Header, field_of};
use super::row::{is_unknown, money};
use crate::input::bounds::{Field, Form};
use crate::input::word::yes_no;

/// Most values of one line that are looked for.
const MOST: usize = 4;
/// Ways to take cells together beyond which nothing can be told.
const MOST_WAYS: usize = 16;

/// A value that a comma has parted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Parted {
    /// The cell with what stands before the comma; the rest is in the next.
    pub(super) cell: usize,
    /// The cell that it would be in without the commas before it.
    pub(super) column: usize,
}

/// Each parted value that can be told.
/// `parted` says whether a bare comma stands between a cell and the next in the file.
pub(super) fn parted(
    cells: &[String],
    (header, columns): (&Header, Columns),
    parted: impl Fn(usize) -> bool,
) -> Option<Vec<Parted>> {
    let digits = |at: usize| cells.get(at).is_some_and(|a| !a.is_empty() && a.bytes().all(|b| b.is_ascii_digit()));
    let begins = |at: usize| cells.get(at).is_some_and(|b| b.starts_with(|c: char| c.is_ascii_digit()));
    let pairs: Vec<usize> =
        (0..cells.len().saturating_sub(1)).filter(|at| digits(*at) && begins(at + 1) && parted(*at)).collect();
    // `400,0` is seldom one value where `0,3` beside it may be: only noughts after the comma count last.
    let telling: Vec<usize> = pairs.iter().copied().filter(|at| !noughts(cells.get(at + 1))).collect();
    [telling, pairs].iter().find_map(|pairs| certain(cells, (header, columns), pairs))
}

fn certain(cells: &[String], (header, columns): (&Header, Columns), pairs: &[usize]) -> Option<Vec<Parted>> {
    if pairs.is_empty() {
        return None;
    }
    let width = header.headings.len();
    let used = cells.iter().rposition(|cell| !cell.is_empty()).map_or(0, |last| last + 1);
    let line = Line { cells, used, pairs, header, columns };
    let least = used.saturating_sub(width).max(1);
    if least > MOST || (used <= width && line.suits_from(0, 0)) {
        return None;
    }
    let mut ways = Vec::new();
    line.ways((0, 0), least, &mut Vec::new(), &mut ways);
    // Where there are several ways, what all of them take together is certain all the same.
    let (first, others) = ways.split_first()?;
    let agreed = |nth: usize, cell: usize| others.iter().all(|way| way.get(nth) == Some(&cell));
    let taken = first.iter().copied().enumerate().filter(|(nth, cell)| agreed(*nth, *cell));
    let certain: Vec<Parted> = taken.map(|(nth, cell)| Parted { cell, column: cell - nth }).collect();
    (!certain.is_empty() && ways.len() < MOST_WAYS).then_some(certain)
}

/// Whether a cell holds nothing but noughts.
fn noughts(cell: Option<&String>) -> bool {
    cell.is_none_or(|cell| cell.bytes().all(|b| b == b'0'))
}

/// A line with the columns that its cells should suit.
struct Line<'l> {
    cells: &'l [String],
    /// Cells up to the last that holds anything.
    used: usize,
    pairs: &'l [usize],
    header: &'l Header,
    columns: Columns,
}

impl Line<'_> {
    /// Whether a text may stand in a column.
    fn suits(&self, text: &str, column: usize) -> bool {
        let Some(heading) = self.header.headings.get(column) else { return text.is_empty() };
        let field = heading.column.as_deref().and_then(|column| field_of(self.columns, column));
        is_unknown(text) || field.is_none_or(|field| suits(text, field))
    }

    /// Whether the cells from one on suit their columns, `shift` to the left.
    fn suits_from(&self, from: usize, shift: usize) -> bool {
        let cells = self.cells.iter().enumerate().take(self.used).skip(from);
        cells.into_iter().all(|(at, cell)| at.checked_sub(shift).is_some_and(|column| self.suits(cell, column)))
    }

    /// Every way to take `left` pairs together from the cell `at` on, `shift` of them being so already;
    /// ends where there are so many that nothing can be told.
    fn ways(&self, (at, shift): (usize, usize), left: usize, way: &mut Vec<usize>, found: &mut Vec<Vec<usize>>) {
        if found.len() >= MOST_WAYS {
            return;
        }
        if left == 0 {
            if self.suits_from(at, shift) {
                found.push(way.clone());
            }
            return;
        }
        for pair in self.pairs.iter().copied().filter(|pair| *pair >= at) {
            let between = self.cells.iter().enumerate().take(pair).skip(at);
            let before = between.into_iter().all(|(cell, text)| self.suits(text, cell - shift));
            if !before {
                return;
            }
            let (Some(a), Some(b)) = (self.cells.get(pair), self.cells.get(pair + 1)) else { return };
            if self.suits(&format!("{a}.{b}"), pair - shift) {
                way.push(pair);
                self.ways((pair + 2, shift + 1), left - 1, way, found);
                way.pop();
            }
        }
    }
}

/// Whether a text may stand in a column of this form, as far as can be told without its row.
fn suits(text: &str, field: &Field) -> bool {
    let digit_first = text.starts_with(|c: char| c.is_ascii_digit());
    match field.form {
        Form::Number => field.unit.read(text).is_ok_and(|n| field.min <= n && n <= field.max),
        Form::Money => money(text).is_ok(),
        Form::YesNo => yes_no(text).is_some(),
        // No word of ours begins with a digit, and nothing is marked with a lone nought.
        Form::Word => !digit_first,
        Form::Mark => text.bytes().any(|b| b != b'0'),
        Form::List => digit_first || text.starts_with(['+', '-', '±', '.']) || text.len() == 1,
        Form::Text | Form::Date | Form::Table => true,
    }
}
