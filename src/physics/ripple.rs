//! Ripple current: multipliers by frequency and temperature, and the current that heats alike.

use super::interpolate::linear;
use crate::limits::Limit;
use crate::limits::ripple::{
    BY_FREQUENCY_HIGH, BY_FREQUENCY_LOW, BY_FREQUENCY_MIDDLE, BY_TEMPERATURE_85, BY_TEMPERATURE_85_SNAP_IN,
    BY_TEMPERATURE_105, BY_TEMPERATURE_GE, FrequencyTable, LOW_UP_TO, MIDDLE_FROM, MIDDLE_UP_TO, TemperatureTable,
};
use crate::units::{Ampere, Celsius, Hertz, Volt};

/// Multiplier of the 100 Hz ripple rating at `frequency`, linear in the logarithm of frequency
/// between the published points (our rule); that of 10 kHz holds above.
///
/// Ratings between the published bands (25 to 40 V) get the smaller of both. `None` below 50 Hz,
/// where nothing is published, and for a rated voltage that is not positive.
pub fn frequency_factor(rated: Volt, frequency: Hertz) -> Option<Limit<f64>> {
    let at = |table| read_frequency(table, frequency);
    if rated <= Volt::ZERO || rated.get().is_nan() {
        None
    } else if rated <= LOW_UP_TO.value {
        at(BY_FREQUENCY_LOW)
    } else if rated < MIDDLE_FROM.value {
        let (low, middle) = (at(BY_FREQUENCY_LOW)?, at(BY_FREQUENCY_MIDDLE)?);
        Some(if low.value <= middle.value { low } else { middle })
    } else if rated <= MIDDLE_UP_TO.value {
        at(BY_FREQUENCY_MIDDLE)
    } else {
        at(BY_FREQUENCY_HIGH)
    }
}

/// One published table at a frequency.
fn read_frequency(table: Limit<FrequencyTable>, frequency: Hertz) -> Option<Limit<f64>> {
    let (lowest, _) = *table.value.first()?;
    if frequency < lowest {
        return None;
    }
    let points = table.value.iter().map(|(f, factor)| (f.get().ln(), *factor));
    linear(points, frequency.get().ln()).map(|factor| table.map(|_| factor))
}

/// The 100 Hz current that heats like all components together: `√Σ(I/k)²`.
///
/// `None` when the multiplier of one of them is not known.
pub fn equivalent_current(rated: Volt, components: &[(Ampere, Hertz)]) -> Option<Ampere> {
    let mut squares_a2 = 0.0;
    for (current, frequency) in components {
        let at_100 = current.get() / frequency_factor(rated, *frequency)?.value;
        squares_a2 += at_100 * at_100;
    }
    Some(Ampere::new(squares_a2.sqrt()))
}

/// A ripple rating stated at another frequency, brought to 100 Hz.
pub fn rating_at_100_hz(rating: Ampere, stated_at: Hertz, rated: Volt) -> Option<Ampere> {
    frequency_factor(rated, stated_at).map(|factor| rating / factor.value)
}

/// Share of a 100 Hz rating that the components use; above 1 is too much.
///
/// `None` when the rating is not positive or a multiplier is not known.
pub fn utilisation(rating_at_100: Ampere, rated: Volt, components: &[(Ampere, Hertz)]) -> Option<f64> {
    let equivalent = equivalent_current(rated, components)?;
    (rating_at_100 > Ampere::ZERO).then(|| equivalent / rating_at_100)
}

/// Whose multiplier by ambient temperature holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TemperatureSeries {
    /// 85 °C computer-grade cans 23A, 23B, 23D.
    ComputerGrade85,
    /// 85 °C snap-ins USR, USC, USG.
    SnapIn85,
    /// Other 85 °C parts.
    Other85,
    /// 105 °C parts.
    Rated105,
}

/// Multiplier of the ripple rating in cooler air; straight between the published points (ours).
///
/// It spends the life that cooler running would have given: use it or the life gained, not both.
/// `None` above the series' top temperature.
pub fn temperature_factor(series: TemperatureSeries, ambient: Celsius) -> Option<Limit<f64>> {
    let table: Limit<TemperatureTable> = match series {
        TemperatureSeries::ComputerGrade85 => BY_TEMPERATURE_GE,
        TemperatureSeries::SnapIn85 => BY_TEMPERATURE_85_SNAP_IN,
        TemperatureSeries::Other85 => BY_TEMPERATURE_85,
        TemperatureSeries::Rated105 => BY_TEMPERATURE_105,
    };
    let (top, _) = *table.value.last()?;
    if top < ambient {
        return None;
    }
    let points = table.value.iter().map(|(t, factor)| (t.get(), *factor));
    linear(points, ambient.get()).map(|factor| table.map(|_| factor))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn factor(volts: f64, hertz: f64) -> f64 {
        frequency_factor(Volt::new(volts), Hertz::new(hertz)).expect("in range").value
    }

    // Table 4 of the Vishay sheet, every row, typed from it.
    #[test]
    fn table_4_as_printed() {
        let frequencies = [50.0, 100.0, 200.0, 400.0, 1000.0, 2000.0, 4000.0, 10_000.0];
        let rows = [
            (16.0, [0.93, 1.00, 1.04, 1.07, 1.11, 1.13, 1.15, 1.18]),
            (63.0, [0.91, 1.00, 1.05, 1.09, 1.13, 1.15, 1.18, 1.22]),
            (450.0, [0.86, 1.00, 1.13, 1.21, 1.29, 1.32, 1.35, 1.40]),
        ];
        for (volts, due) in rows {
            for (hertz, k) in frequencies.iter().zip(due) {
                assert!((factor(volts, *hertz) - k).abs() < 1e-12, "{volts} V {hertz} Hz");
            }
        }
        assert!((factor(450.0, 100e3) - 1.40).abs() < 1e-12);
        assert_eq!(frequency_factor(Volt::new(450.0), Hertz::new(49.0)), None);
        assert_eq!(frequency_factor(Volt::ZERO, Hertz::new(100.0)), None);
    }

    #[test]
    fn between_the_bands_the_smaller_holds() {
        assert!((factor(35.0, 50.0) - 0.91).abs() < 1e-12);
        assert!((factor(35.0, 10_000.0) - 1.18).abs() < 1e-12);
    }

    // Rubycon sheet: 105 °C parts 1.0 at 105, 1.7 at 85, 2.1 at 65 and below.
    #[test]
    fn temperature_multipliers() {
        for (celsius, due) in [(105.0, 1.0), (85.0, 1.7), (65.0, 2.1), (40.0, 2.1), (95.0, 1.35)] {
            let got = temperature_factor(TemperatureSeries::Rated105, Celsius::new(celsius)).expect("in range");
            assert!((got.value - due).abs() < 1e-12, "{celsius} °C");
        }
        assert_eq!(temperature_factor(TemperatureSeries::Other85, Celsius::new(86.0)), None);
    }

    #[test]
    fn ratings_at_other_frequencies_come_down() {
        let at_100 = rating_at_100_hz(Ampere::new(1.4), Hertz::new(100e3), Volt::new(400.0)).expect("in range");
        assert!((at_100.get() - 1.0).abs() < 1e-12);
    }
}
