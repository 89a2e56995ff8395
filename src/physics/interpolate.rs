//! Reading between the lines of published tables.

/// The value at `x` of a table rising in its first column, straight between the points.
///
/// Before the first and after the last point the value is that of the end point. `None` for an
/// empty table or an `x` that is not a number.
pub fn linear(points: impl IntoIterator<Item = (f64, f64)>, x: f64) -> Option<f64> {
    if x.is_nan() {
        return None;
    }
    let mut before: Option<(f64, f64)> = None;
    for (at, value) in points {
        if x <= at {
            return Some(match before {
                Some((from, start)) => start + (value - start) * (x - from) / (at - from),
                None => value,
            });
        }
        before = Some((at, value));
    }
    before.map(|(_, value)| value)
}

/// The first value whose step reaches `x`, where each step holds up to and including its mark.
///
/// `None` above the last step, for an empty table, or for an `x` that is not a number.
pub fn step_up_to<Q: Copy + PartialOrd, V: Copy>(steps: &[(Q, V)], x: Q) -> Option<V> {
    steps.iter().find(|(mark, _)| x <= *mark).map(|(_, value)| *value)
}

/// The last value whose step begins at or below `x`.
///
/// `None` below the first step, for an empty table, or for an `x` that is not a number.
pub fn step_from<Q: Copy + PartialOrd, V: Copy>(steps: &[(Q, V)], x: Q) -> Option<V> {
    steps.iter().rev().find(|(mark, _)| *mark <= x).map(|(_, value)| *value)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn straight_between_and_flat_outside() {
        let points = [(1.0, 10.0), (3.0, 20.0), (4.0, 0.0)];
        for (x, due) in [(0.0, 10.0), (1.0, 10.0), (2.0, 15.0), (3.0, 20.0), (3.5, 10.0), (9.0, 0.0)] {
            let got = linear(points, x).expect("a table with points");
            assert!((got - due).abs() < 1e-12, "{x}: {got}");
        }
        assert_eq!(linear(points, f64::NAN), None);
        assert_eq!(linear([], 1.0), None);
    }

    #[test]
    fn steps_hold_at_their_marks() {
        let steps = [(100.0, 'a'), (250.0, 'b')];
        assert_eq!(step_up_to(&steps, 100.0), Some('a'));
        assert_eq!(step_up_to(&steps, 100.1), Some('b'));
        assert_eq!(step_up_to(&steps, 250.1), None);
        assert_eq!(step_up_to(&steps, f64::NAN), None);
        assert_eq!(step_from(&steps, 99.9), None);
        assert_eq!(step_from(&steps, 100.0), Some('a'));
        assert_eq!(step_from(&steps, 900.0), Some('b'));
    }
}
