//! A table whose rows are named by number, and the few conversions between whole and real numbers.

use std::ops::{Index, IndexMut};

/// A vector that is indexed only by numbers handed out together with it.
#[derive(Debug, Clone, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Table<T>(Vec<T>);

impl<T> Table<T> {
    pub(super) fn new() -> Self {
        Self(Vec::new())
    }
    pub(super) fn push(&mut self, row: T) -> usize {
        self.0.push(row);
        self.0.len() - 1
    }
    pub(super) fn len(&self) -> usize {
        self.0.len()
    }
    pub(super) fn iter(&self) -> std::slice::Iter<'_, T> {
        self.0.iter()
    }
    pub(super) fn iter_mut(&mut self) -> std::slice::IterMut<'_, T> {
        self.0.iter_mut()
    }
}

impl<T: Clone> Table<T> {
    pub(super) fn filled(row: T, len: usize) -> Self {
        Self(vec![row; len])
    }
}

impl<T> From<Vec<T>> for Table<T> {
    fn from(rows: Vec<T>) -> Self {
        Self(rows)
    }
}

impl<T> FromIterator<T> for Table<T> {
    fn from_iter<I: IntoIterator<Item = T>>(rows: I) -> Self {
        Self(rows.into_iter().collect())
    }
}

impl<T> Index<usize> for Table<T> {
    type Output = T;
    #[expect(clippy::indexing_slicing, reason = "numbers come from the same canonical form as the table")]
    fn index(&self, i: usize) -> &T {
        &self.0[i]
    }
}

impl<T> IndexMut<usize> for Table<T> {
    #[expect(clippy::indexing_slicing, reason = "numbers come from the same canonical form as the table")]
    fn index_mut(&mut self, i: usize) -> &mut T {
        &mut self.0[i]
    }
}

/// A whole number as a real one; amounts are far below 2^53.
#[expect(clippy::cast_precision_loss, reason = "amounts and counts are checked to be far below 2^53")]
pub(super) fn real(n: i64) -> f64 {
    n as f64
}

/// The nearest whole number, nothing for a negative one.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped before the cast")]
pub(super) fn whole(x: f64) -> u32 {
    x.round().clamp(0.0, 4_000_000_000.0) as u32
}

/// The whole part of a number that is not negative.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped before the cast")]
pub(super) fn floor(x: f64) -> u32 {
    x.clamp(0.0, 4_000_000_000.0) as u32
}

/// A count that fits: counts are checked to stay below a million or so.
pub(super) fn count(n: u64) -> u32 {
    u32::try_from(n).unwrap_or(u32::MAX)
}

/// A place in a list; lists are far shorter than that.
pub(super) fn number(n: usize) -> u32 {
    u32::try_from(n).unwrap_or(u32::MAX)
}

/// A real number of grains as a whole one; the caller keeps it in range.
#[expect(clippy::cast_possible_truncation, reason = "clamped by the caller to less than 2^53")]
pub(super) fn grains(x: f64) -> i64 {
    x as i64
}
