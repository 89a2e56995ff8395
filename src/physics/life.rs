//! Powered hours to expect of a sound, new electrolytic, by the makers' models.
//!
//! None of these says anything about an old part that stood unpowered; no life is ever computed
//! for one. What a model gives goes through [`capped`] before anyone sees it.

use super::interpolate::step_up_to;
use crate::limits::Limit;
use crate::limits::life::{
    CDE_AT_ZERO, CDE_SLOPE, CEILING, CORE_OVER_CASE, DOUBLING, JIANGHAI_BASE, JIANGHAI_BASE_OVER,
    JIANGHAI_VOLTAGE_BELOW, JIANGHAI_VOLTAGE_FROM, JIANGHAI_VOLTAGE_POWER, RATED_RISE, RUBYCON_RISE_OTHER,
    RUBYCON_RISE_SNAP_IN, RUBYCON_RISE_VXP, RUBYCON_STEP_SLOPE,
};
use crate::units::{Celsius, Hour, Millimetre};

/// Rated life of a part and the temperature that it is stated at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RatedLife {
    /// Hours stated by the maker.
    pub hours: Hour,
    /// At this temperature, the top one of the series.
    pub at: Celsius,
}

/// Hours that a model gives, held to the ceiling.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CappedLife {
    /// At most 15 years.
    pub hours: Hour,
    /// Whether the ceiling cut the model's figure.
    pub cut: bool,
}

/// Holds a model's figure to the 15 years that makers call the most to be claimed.
pub fn capped(model: Hour) -> CappedLife {
    let cut = CEILING.value < model;
    CappedLife { hours: if cut { CEILING.value } else { model }, cut }
}

/// Factor of the 10 K rule for running `cooler_by` cooler.
fn doubling(cooler_by: Celsius) -> f64 {
    (cooler_by / DOUBLING.value).exp2()
}

/// Life by the 10 K rule. It agrees with Arrhenius' law only about 70 to 90 °C.
pub fn ten_kelvin(rated: RatedLife, at: Celsius) -> Hour {
    rated.hours * doubling(rated.at - at)
}

/// The one temperature that would give this life by the 10 K rule.
///
/// `None` for hours that are not positive.
pub fn equivalent_temperature(rated: RatedLife, life: Hour) -> Option<Celsius> {
    (life > Hour::ZERO && rated.hours > Hour::ZERO).then(|| rated.at - DOUBLING.value * (life / rated.hours).log2())
}

/// Life by voltage and core temperature: `L = Lb·(4.3 - 3.3·Va/Vr)·2^((Tm - Tc)/10)`.
///
/// `rated.at` is the permitted core temperature. `None` for a voltage share outside 0 to 1.
pub fn voltage_and_core(rated: RatedLife, share_of_rated_volts: f64, core: Celsius) -> Option<Hour> {
    let factor = CDE_AT_ZERO.value - CDE_SLOPE.value * share_of_rated_volts;
    (0.0..=1.0).contains(&share_of_rated_volts).then(|| rated.hours * factor * doubling(rated.at - core))
}

/// Top temperature of a series, which decides the overload base of the first maker's model.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TopTemperature {
    /// 85 °C parts.
    C85,
    /// 105 °C parts.
    C105,
}

/// Ripple of the first maker's model (Jianghai).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RippleHeating {
    /// Ripple current over the rated one, both at the same frequency.
    pub share_of_rated: f64,
    /// Core rise at the rated ripple current: 3.5 to 5 K (105 °C), 3.5 to 10 K (85 °C).
    pub rated_rise: Celsius,
    /// Top temperature of the series.
    pub top: TopTemperature,
}

/// Voltage factor of the first maker's model. `None` outside 0 to 1 of the rating.
pub fn jianghai_voltage_factor(share_of_rated_volts: f64) -> Option<f64> {
    if !(0.0..=1.0).contains(&share_of_rated_volts) {
        return None;
    }
    let on_the_curve = JIANGHAI_VOLTAGE_FROM.value <= share_of_rated_volts;
    Some(if on_the_curve {
        share_of_rated_volts.powf(JIANGHAI_VOLTAGE_POWER.value)
    } else {
        JIANGHAI_VOLTAGE_BELOW.value
    })
}

/// Ripple factor of the first maker's model. `None` for a negative current.
pub fn jianghai_ripple_factor(ripple: RippleHeating) -> Option<f64> {
    let overloaded = 1.0 < ripple.share_of_rated && ripple.top == TopTemperature::C105;
    let base = if overloaded { JIANGHAI_BASE_OVER.value } else { JIANGHAI_BASE.value };
    let heat_left = 1.0 - ripple.share_of_rated * ripple.share_of_rated;
    let factor = base.powf(heat_left * (ripple.rated_rise / DOUBLING.value));
    (ripple.share_of_rated >= 0.0).then_some(factor)
}

/// Life by the first maker's model, `L0·KT·KR·KV`, not yet capped.
pub fn jianghai(rated: RatedLife, air: Celsius, ripple: RippleHeating, share_of_rated_volts: f64) -> Option<Hour> {
    let factor = jianghai_ripple_factor(ripple)? * jianghai_voltage_factor(share_of_rated_volts)?;
    Some(ten_kelvin(rated, air) * factor)
}

/// Series of the second maker's model (Rubycon), which decides the core rise at rated ripple.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RubyconSeries {
    /// USR, USC, USG.
    SnapIn,
    /// VXP.
    Vxp,
    /// All others.
    Other,
}

impl RubyconSeries {
    /// Core rise at the rated ripple current.
    pub const fn rated_rise(self) -> Limit<Celsius> {
        match self {
            Self::SnapIn => RUBYCON_RISE_SNAP_IN,
            Self::Vxp => RUBYCON_RISE_VXP,
            Self::Other => RUBYCON_RISE_OTHER,
        }
    }
}

/// Life by the second maker's model, not yet capped:
/// `L = Lb·2^((Tmax-Ta)/10)·2^(r0/(10-0.25·r0) - r/(10-0.25·r))` with the core rise
/// `r = r0·(I/(F·I0))²`.
///
/// `None` for a negative current, or a rise of 40 K or more, where the form breaks down.
pub fn rubycon(rated: RatedLife, air: Celsius, rated_rise: Celsius, share_of_rated_ripple: f64) -> Option<Hour> {
    let rise = rated_rise * (share_of_rated_ripple * share_of_rated_ripple);
    let step = |r: Celsius| DOUBLING.value - r * RUBYCON_STEP_SLOPE.value;
    let in_range = share_of_rated_ripple >= 0.0 && step(rise) > Celsius::ZERO && step(rated_rise) > Celsius::ZERO;
    let heating = rated_rise / step(rated_rise) - rise / step(rise);
    in_range.then(|| ten_kelvin(rated, air) * heating.exp2())
}

/// Air temperature from that of the case: `Ta = Tc - rise/α`, α by the case diameter.
///
/// An unlisted diameter takes the next larger one's α. `None` above 35 mm.
pub fn air_from_case(case: Celsius, core_rise: Celsius, diameter: Millimetre) -> Option<Celsius> {
    step_up_to(CORE_OVER_CASE.value, diameter).map(|alpha| case - core_rise / alpha)
}

/// Usual core rise at rated ripple for a top temperature of 85, 105 or 125 °C; the next higher
/// one is taken between. `None` above 125 °C.
pub fn usual_rated_rise(top: Celsius) -> Option<Limit<Celsius>> {
    step_up_to(RATED_RISE.value, top).map(|rise| RATED_RISE.map(|_| rise))
}

/// Life under changing conditions: `Σt / Σ(t/L)`, from the time spent in each and the life there.
///
/// `None` when there is no time, or a life is not positive.
pub fn mixed_duty(parts: &[(Hour, Hour)]) -> Option<Hour> {
    let total: Hour = parts.iter().map(|(time, _)| *time).sum();
    let used: f64 = parts.iter().map(|(time, life)| *time / *life).sum();
    (used.is_finite() && used > 0.0 && total > Hour::ZERO).then(|| total / used)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(got: f64, due: f64, relative: f64) -> bool {
        (got - due).abs() <= relative * due.abs()
    }

    const fn life(hours: f64, at_c: f64) -> RatedLife {
        RatedLife { hours: Hour::new(hours), at: Celsius::new(at_c) }
    }

    // The encyclopaedia's printed example: 2000 h at 105 °C give 128,000 h at 45 °C.
    #[test]
    fn ten_kelvin_as_printed() {
        assert!(near(ten_kelvin(life(2000.0, 105.0), Celsius::new(45.0)).get(), 128_000.0, 1e-12));
    }

    // Cosel a0057: 64,000, 32,000 and 16,000 h in equal parts are as good as 57.2 °C throughout.
    #[test]
    fn mixed_duty_as_printed() {
        let rated = life(1000.0, 105.0);
        let parts: Vec<_> =
            [45.0, 55.0, 65.0].map(|t| (Hour::new(8.0), ten_kelvin(rated, Celsius::new(t)))).into_iter().collect();
        let mixed = mixed_duty(&parts).expect("time was spent");
        let equivalent = equivalent_temperature(rated, mixed).expect("a life");
        assert!((equivalent.get() - 57.2).abs() < 0.05, "{equivalent:?}");
        assert_eq!(mixed_duty(&[]), None);
        assert_eq!(mixed_duty(&[(Hour::new(8.0), Hour::ZERO)]), None);
    }

    // Worked by hand: KT 2^4, KR 2^(0.64·0.5), KV 0.8^-2.5 make 174,459 h of 5000 h.
    #[test]
    fn first_maker_by_hand_and_capped() {
        let ripple = RippleHeating { share_of_rated: 0.6, rated_rise: Celsius::new(5.0), top: TopTemperature::C105 };
        let hours = jianghai(life(5000.0, 105.0), Celsius::new(65.0), ripple, 0.8).expect("in range");
        assert!(near(hours.get(), 174_459.0, 1e-5));
        let shown = capped(hours);
        assert!(shown.cut && near(shown.hours.get(), 131_400.0, 1e-12));
        assert!(!capped(Hour::new(131_400.0)).cut);
        assert_eq!(jianghai(life(5000.0, 105.0), Celsius::new(65.0), ripple, 1.1), None);
    }

    // Worked by hand: 5/8.75 - 3.2/9.2 = 0.2236; 32,000 h · 2^0.2236 = 37,365 h.
    #[test]
    fn second_maker_by_hand() {
        let rise = RubyconSeries::Other.rated_rise().value;
        let hours = rubycon(life(2000.0, 105.0), Celsius::new(65.0), rise, 0.8).expect("in range");
        assert!(near(hours.get(), 37_365.0, 1e-4), "{hours:?}");
        assert_eq!(rubycon(life(2000.0, 105.0), Celsius::new(65.0), rise, 3.0), None);
    }

    #[test]
    fn case_ratio_takes_the_next_larger_diameter() {
        let at = |mm| air_from_case(Celsius::new(60.0), Celsius::new(5.0), Millimetre::new(mm));
        assert!(near(at(25.0).expect("listed").get(), 60.0 - 5.0 / 1.4, 1e-12));
        assert_eq!(at(24.0), at(25.0));
        assert_eq!(at(36.0), None);
    }
}
