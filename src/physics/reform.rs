//! Reforming a stored electrolytic: series resistor, current, time and when it has passed.
//!
//! Stored charge and rated voltage are on the bench while this runs; the sheets that print these
//! figures carry the cautions.

use crate::limits::Limit;
use crate::limits::reform::{
    AMATEUR_SERIES, BENCH_SERIES, CDE_CURRENT, CDE_HOLD, CDE_SERIES, DROP_PASS, EIA815_HOLD, EIA815_SERIES,
    PANASONIC_HOLD, PANASONIC_SERIES, SURPLUS_HOLD, SURPLUS_HOLD_PER_MONTH, SURPLUS_SERIES, SeriesResistance,
};
use crate::units::{Ampere, Ohm, Second, Volt, Watt};

/// Whose way of reforming.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Method {
    /// Preconditioning of EIA-815; recent parts only.
    Eia815,
    /// The re-ageing note of 1993: voltage raised slowly.
    Cde,
    /// A maker's advice, second-hand; recent parts only.
    Panasonic,
    /// The surplus trade's note.
    Surplus,
    /// Amateur practice at a regulated 450 V.
    Amateur,
    /// Our own, for old parts of unknown state.
    Bench,
}

impl Method {
    /// All methods, the one for old parts of unknown state first.
    pub const ALL: &'static [Self] =
        &[Self::Bench, Self::Cde, Self::Surplus, Self::Amateur, Self::Eia815, Self::Panasonic];

    /// Whether the method may be used on an old part of unknown state.
    pub const fn suits_unknown_old_parts(self) -> bool {
        !matches!(self, Self::Eia815 | Self::Panasonic)
    }

    /// The table of series resistance.
    const fn series(self) -> Limit<SeriesResistance> {
        match self {
            Self::Eia815 => EIA815_SERIES,
            Self::Cde => CDE_SERIES,
            Self::Panasonic => PANASONIC_SERIES,
            Self::Surplus => SURPLUS_SERIES,
            Self::Amateur => AMATEUR_SERIES,
            Self::Bench => BENCH_SERIES,
        }
    }
}

/// Least and most series resistance of the method for a part of this rated voltage.
pub fn series_resistance(method: Method, rated: Volt) -> Limit<(Ohm, Ohm)> {
    method.series().map(|table| if rated <= table.step { table.low } else { table.high })
}

/// Most current for each part, where the method sets one.
pub const fn current_limit(method: Method) -> Option<Limit<Ampere>> {
    match method {
        Method::Cde => Some(CDE_CURRENT),
        _ => None,
    }
}

/// Time at full voltage, where the method sets one.
///
/// The surplus way needs the months in store; unknown months give `None`. The amateur way and
/// ours go by the current and not by the clock.
pub fn hold_time(method: Method, stored_months: Option<u32>) -> Option<Limit<Second>> {
    match method {
        Method::Eia815 => Some(EIA815_HOLD),
        Method::Cde => Some(CDE_HOLD),
        Method::Panasonic => Some(PANASONIC_HOLD),
        Method::Surplus => {
            let months = f64::from(stored_months?);
            Some(SURPLUS_HOLD.map(|start| start + SURPLUS_HOLD_PER_MONTH.value * months))
        }
        Method::Amateur | Method::Bench => None,
    }
}

/// Current at the start, or all the time if the part is shorted.
pub fn short_circuit_current(supply: Volt, series: Ohm) -> Ampere {
    supply / series
}

/// Heat in the series resistor if the part is shorted: what the resistor must stand.
pub fn short_circuit_heat(supply: Volt, series: Ohm) -> Watt {
    supply.heat_in(series)
}

/// Leakage read as the drop across the series resistor.
pub fn current_from_drop(drop: Volt, series: Ohm) -> Ampere {
    drop / series
}

/// Whether the drop across the resistor has fallen below its share of the supply after an hour.
///
/// `None` when the supply is not positive.
pub fn drop_passes(supply: Volt, drop: Volt) -> Option<bool> {
    (supply > Volt::ZERO).then(|| drop / supply < DROP_PASS.value)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sources::Status;

    fn near(got: f64, due: f64) -> bool {
        (got - due).abs() <= 1e-9 * due.abs()
    }

    // Printed on the amateur list: 450 V through 90 k is 5 mA if the part is shorted.
    #[test]
    fn shorted_part_on_the_list() {
        let (least, most) = series_resistance(Method::Amateur, Volt::new(450.0)).value;
        assert!(near(least.get(), 90_000.0) && near(most.get(), 90_000.0));
        assert!(near(short_circuit_current(Volt::new(450.0), least).milli(), 5.0));
    }

    // Our 100 k at 450 V heats 2.0 W into a short, well under the 5 W asked for.
    #[test]
    fn our_resistor_survives_a_short() {
        let (ohms, _) = series_resistance(Method::Bench, Volt::new(450.0)).value;
        let heat = short_circuit_heat(Volt::new(450.0), ohms);
        assert!(near(heat.get(), 2.025));
        assert!(heat < crate::limits::reform::BENCH_RESISTOR.value);
        assert_eq!(series_resistance(Method::Bench, Volt::new(450.0)).source.status(), Status::Ours);
    }

    #[test]
    fn methods_that_go_by_the_clock() {
        let hours = |m, months| hold_time(m, months).map(|l| l.value.get() / 3600.0);
        assert!(hours(Method::Cde, None).is_some_and(|h| near(h, 4.0)));
        assert!(hours(Method::Surplus, Some(240)).is_some_and(|h| near(h, 245.0 / 60.0)));
        assert_eq!(hours(Method::Surplus, None), None);
        assert_eq!(hours(Method::Bench, Some(240)), None);
    }

    #[test]
    fn the_drop_must_be_below_its_share() {
        let drop = |v| drop_passes(Volt::new(450.0), Volt::new(v));
        assert_eq!(drop(44.9), Some(true));
        assert_eq!(drop(45.0), Some(false));
        assert_eq!(drop_passes(Volt::ZERO, Volt::ZERO), None);
    }

    #[test]
    fn quick_methods_are_not_for_old_parts() {
        let unfit: Vec<_> = Method::ALL.iter().filter(|m| !m.suits_unknown_old_parts()).collect();
        assert_eq!(unfit, [&Method::Eia815, &Method::Panasonic]);
    }
}
