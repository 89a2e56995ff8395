//! Small dense linear systems.

/// Solves `rows · x = right` by elimination with row pivoting; each row carries its right side as the last
/// element. `None` where the system is singular to working precision.
pub(super) fn solve(mut rows: Vec<Vec<f64>>) -> Option<Vec<f64>> {
    let size = rows.len();
    for column in 0..size {
        let pivot = pivot_row(&rows, column)?;
        rows.swap(column, pivot);
        let (done, below) = rows.split_at_mut(column + 1);
        let top = done.last()?;
        let lead = *top.get(column)?;
        for row in below {
            let factor = row.get(column)? / lead;
            for (value, from) in row.iter_mut().zip(top).skip(column) {
                *value -= factor * from;
            }
        }
    }
    back_substitute(&rows)
}

/// The row at or below `column` with the largest element there.
fn pivot_row(rows: &[Vec<f64>], column: usize) -> Option<usize> {
    let mut best = (0.0, None);
    for (index, row) in rows.iter().enumerate().skip(column) {
        let size = row.get(column)?.abs();
        if best.0 < size {
            best = (size, Some(index));
        }
    }
    best.1
}

fn back_substitute(rows: &[Vec<f64>]) -> Option<Vec<f64>> {
    let mut answer = vec![0.0; rows.len()];
    for (index, row) in rows.iter().enumerate().rev() {
        let known: f64 = row.iter().zip(&answer).skip(index + 1).map(|(a, x)| a * x).sum();
        *answer.get_mut(index)? = (row.last()? - known) / row.get(index)?;
    }
    answer.iter().all(|value| value.is_finite()).then_some(answer)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn solves_with_pivoting() {
        // 2y = 4, x + y = 5: worked by hand, and the first pivot is zero.
        let answer = solve(vec![vec![0.0, 2.0, 4.0], vec![1.0, 1.0, 5.0]]).unwrap();
        assert!((answer[0] - 3.0).abs() < 1e-12 && (answer[1] - 2.0).abs() < 1e-12);
    }

    #[test]
    fn singular_is_refused() {
        assert_eq!(solve(vec![vec![1.0, 2.0, 1.0], vec![2.0, 4.0, 1.0]]), None);
    }
}
