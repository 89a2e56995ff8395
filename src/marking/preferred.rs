//! Preferred values (IEC 60063, by public lists): E3 to E192, nearest by ratio, at or above.

use std::fmt;

use crate::units::{Farad, Ohm};

/// A series of preferred values.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Series {
    /// 3 values a decade, for parts wider than ±20 %.
    E3,
    /// 6 values, ±20 %.
    E6,
    /// 12 values, ±10 %.
    E12,
    /// 24 values, ±5 %.
    E24,
    /// 48 values, ±2 %.
    E48,
    /// 96 values, ±1 %.
    E96,
    /// 192 values, ±0.5 %.
    E192,
}

/// The E24 series in tenths. Eight of its values differ from the rounded powers of the 24th root
/// of ten, so the series is a table and not a formula.
const E24: [u32; 24] = [10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91];

impl Series {
    /// All series, fewest values first.
    pub const ALL: [Self; 7] = [Self::E3, Self::E6, Self::E12, Self::E24, Self::E48, Self::E96, Self::E192];

    /// How many values a decade.
    pub const fn count(self) -> u32 {
        match self {
            Self::E3 => 3,
            Self::E6 => 6,
            Self::E12 => 12,
            Self::E24 => 24,
            Self::E48 => 48,
            Self::E96 => 96,
            Self::E192 => 192,
        }
    }

    /// The tolerance in percent that the series is made for; `None` for E3 (wider than 20 %).
    pub const fn tolerance_percent(self) -> Option<f64> {
        match self {
            Self::E3 => None,
            Self::E6 => Some(20.0),
            Self::E12 => Some(10.0),
            Self::E24 => Some(5.0),
            Self::E48 => Some(2.0),
            Self::E96 => Some(1.0),
            Self::E192 => Some(0.5),
        }
    }

    /// The values of one decade in hundredths: 100 to 999, rising.
    pub fn hundredths(self) -> Vec<u32> {
        let count = self.count();
        if count <= 24 {
            let step = usize::try_from(24 / count).unwrap_or(1);
            return E24.iter().step_by(step).map(|tenths| tenths * 10).collect();
        }
        (0..count).map(|i| finely(i, count)).collect()
    }

    /// The value nearest by ratio; the smaller of two equally near. Zero and what is not a
    /// positive number stay as they are.
    pub fn nearest_ohm(self, wanted: Ohm) -> Ohm {
        Ohm::new(self.nearest(wanted.get()))
    }

    /// The value nearest by ratio; see [`nearest_ohm`](Self::nearest_ohm).
    pub fn nearest_farad(self, wanted: Farad) -> Farad {
        Farad::new(self.nearest(wanted.get()))
    }

    /// The smallest value not below the one wanted (a billionth part below counts as the value).
    pub fn at_or_above_ohm(self, wanted: Ohm) -> Ohm {
        Ohm::new(self.at_or_above(wanted.get()))
    }

    /// The smallest value not below the one wanted; see [`at_or_above_ohm`](Self::at_or_above_ohm).
    pub fn at_or_above_farad(self, wanted: Farad) -> Farad {
        Farad::new(self.at_or_above(wanted.get()))
    }

    /// The series with the fewest values that holds this number, if any does (a millionth part
    /// off counts).
    pub fn of_ohm(value: Ohm) -> Option<Self> {
        Self::holding(value.get())
    }

    /// The series with the fewest values that holds this number, if any does.
    pub fn of_farad(value: Farad) -> Option<Self> {
        Self::holding(value.get())
    }

    fn nearest(self, number: f64) -> f64 {
        let distance = |candidate: f64| (candidate / number).ln().abs();
        let mut best = number;
        let mut least = f64::INFINITY;
        for candidate in self.around(number) {
            if distance(candidate) < least {
                (best, least) = (candidate, distance(candidate));
            }
        }
        best
    }

    fn at_or_above(self, number: f64) -> f64 {
        let enough = |candidate: &f64| *candidate >= number * (1.0 - 1e-9);
        self.around(number).into_iter().find(enough).unwrap_or(number)
    }

    fn holding(number: f64) -> Option<Self> {
        Self::ALL.into_iter().find(|series| (series.nearest(number) / number - 1.0).abs() < 1e-6)
    }

    /// The values of the decade of a number and of both beside it, rising; none for what is not
    /// a positive number.
    fn around(self, number: f64) -> Vec<f64> {
        if !number.is_finite() || number <= 0.0 {
            return Vec::new();
        }
        let text = format!("{number:e}");
        let Some(decade) = text.split_once('e').and_then(|(_, power)| power.parse::<i32>().ok()) else {
            return Vec::new();
        };
        let values = self.hundredths();
        let one = |power: i32| {
            // Made from decimal text, so that a preferred value equals the same value as read.
            values.iter().filter_map(move |v| format!("{v}e{}", power - 2).parse::<f64>().ok()).collect::<Vec<_>>()
        };
        [decade - 1, decade, decade + 1].into_iter().flat_map(one).collect()
    }
}

/// Value `i` of E48, E96 or E192 in hundredths: the rounded power, but 920 where the formula
/// gives 919 (IEC 60063, from memory).
fn finely(i: u32, count: u32) -> u32 {
    let value = 10_f64.powf(f64::from(i) / f64::from(count));
    let text = format!("{:.0}", value * 100.0);
    match text.parse() {
        Ok(919) if count == 192 => 920,
        Ok(hundredths) => hundredths,
        Err(_) => 100,
    }
}

impl fmt::Display for Series {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&format!("E{}", self.count()))
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn series_are_complete_and_rise() {
        for series in Series::ALL {
            let values = series.hundredths();
            assert_eq!(u32::try_from(values.len()), Ok(series.count()), "{series}");
            assert!(values.windows(2).all(|pair| pair[0] < pair[1]), "{series}");
        }
    }

    // IEC 60063 by public lists: each coarse series is in the finer ones of its family.
    #[test]
    fn coarse_series_are_in_finer_ones() {
        let inside = |a: Series, b: Series| a.hundredths().iter().all(|v| b.hundredths().contains(v));
        for (a, b) in [
            (Series::E3, Series::E6),
            (Series::E6, Series::E12),
            (Series::E12, Series::E24),
            (Series::E48, Series::E96),
            (Series::E96, Series::E192),
        ] {
            assert!(inside(a, b), "{a} {b}");
        }
        assert!(!inside(Series::E24, Series::E96));
    }

    #[test]
    fn the_series_of_a_value() {
        assert_eq!(Series::of_ohm(Ohm::new(470e3)), Some(Series::E3));
        assert_eq!(Series::of_farad(Farad::from_micro(33.0)), Some(Series::E6));
        assert_eq!(Series::of_ohm(Ohm::new(270.0)), Some(Series::E12));
        assert_eq!(Series::of_ohm(Ohm::new(240e3)), Some(Series::E24));
        assert_eq!(Series::of_ohm(Ohm::new(500e3)), None);
        assert_eq!(Series::of_ohm(Ohm::ZERO), None);
    }

    proptest! {
        // Brute force: no value of the series, scaled to any decade, is nearer by ratio.
        #[test]
        fn nearest_is_nearest(significand in 1.0_f64..10.0, power in -12_i32..9, at in 0_usize..7) {
            let series = Series::ALL[at];
            let wanted = significand * 10_f64.powi(power);
            let found = series.nearest_ohm(Ohm::new(wanted)).get();
            let above = series.at_or_above_ohm(Ohm::new(wanted)).get();
            prop_assert!(above >= wanted * (1.0 - 1e-9));
            for decade in power - 2..=power + 2 {
                for hundredths in series.hundredths() {
                    let value = f64::from(hundredths) / 100.0 * 10_f64.powi(decade);
                    prop_assert!((value / wanted).ln().abs() >= (found / wanted).ln().abs() - 1e-9);
                    prop_assert!(value < wanted * (1.0 - 1e-8) || value >= above * (1.0 - 1e-8));
                }
            }
        }
    }
}
