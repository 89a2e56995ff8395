//! What share of its rating a part may see: a cancelled military table, and our bench profile.

use std::f64::consts::SQRT_2;

use super::resistor::share_at;
use super::{Verdict, within};
use crate::limits::Limit;
use crate::limits::derating::{
    CATHODE_BYPASS, CERAMIC, ELECTROLYTIC_WARN, ELECTROLYTIC_WORKING, GLASS, METALLISED_FILM, NAVSEA_POWER,
    OVER_HIGHEST, PowerShare, RBR, RCR, RESISTOR_VOLTAGE, RLR, RM, RNR, RWR, RZO, TANTALUM_FOIL, TANTALUM_SOLID,
    TANTALUM_WET, VOLTAGE_FALLS_FROM, VoltageShare,
};
use crate::units::{Celsius, Ohm, Volt, Watt};

/// Capacitor styles that MIL-STD-975M lists; aluminium, mica and paper are not among them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CapacitorStyle {
    /// CCR, CKR, CKS, CDR.
    Ceramic,
    /// CYR.
    Glass,
    /// CRH, CHS.
    MetallisedFilm,
    /// CLR25, 27, 35, 37.
    TantalumFoil,
    /// CLR79, CLR81.
    TantalumWet,
    /// CSR, CSS, CWR behind at least 1 Ω/V.
    TantalumSolid,
}

/// Share of rated voltage (dc plus ac peak) by MIL-STD-975M. `None` above the style's top
/// temperature.
pub fn capacitor_voltage_share(style: CapacitorStyle, at: Celsius) -> Option<Limit<f64>> {
    let line: Limit<VoltageShare> = match style {
        CapacitorStyle::Ceramic => CERAMIC,
        CapacitorStyle::Glass => GLASS,
        CapacitorStyle::MetallisedFilm => METALLISED_FILM,
        CapacitorStyle::TantalumFoil => TANTALUM_FOIL,
        CapacitorStyle::TantalumWet => TANTALUM_WET,
        CapacitorStyle::TantalumSolid => TANTALUM_SOLID,
    };
    let VoltageShare { cool, hot, highest } = line.value;
    if highest < at {
        return None;
    }
    if at <= VOLTAGE_FALLS_FROM.value {
        return Some(line.map(|_| cool));
    }
    let way = (at - VOLTAGE_FALLS_FROM.value) / (highest - VOLTAGE_FALLS_FROM.value);
    Some(line.map(|_| cool + (hot - cool) * way))
}

/// Whether a capacitor is within MIL-STD-975M. `None` above the style's top temperature.
pub fn capacitor_within(style: CapacitorStyle, rated: Volt, dc: Volt, ac_peak: Volt, at: Celsius) -> Option<bool> {
    capacitor_voltage_share(style, at)
        .map(|share| within((dc.abs() + ac_peak.abs()).get(), (rated * share.value).get()))
}

/// Resistor styles that MIL-STD-975M lists.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ResistorStyle {
    /// Composition.
    Rcr,
    /// Film.
    Rlr,
    /// Metal film RNC, RNR, RNN.
    Rnr,
    /// Accurate wirewound.
    Rbr,
    /// Power wirewound RWR, RER.
    Rwr,
    /// Chip.
    Rm,
    /// Network.
    Rzo,
}

/// Power that MIL-STD-975M allows at a temperature.
pub fn resistor_power(style: ResistorStyle, rated: Watt, at: Celsius) -> Limit<Watt> {
    let line: Limit<PowerShare> = match style {
        ResistorStyle::Rcr => RCR,
        ResistorStyle::Rlr => RLR,
        ResistorStyle::Rnr => RNR,
        ResistorStyle::Rbr => RBR,
        ResistorStyle::Rwr => RWR,
        ResistorStyle::Rm => RM,
        ResistorStyle::Rzo => RZO,
    };
    line.map(|l| rated * (l.share * share_at((l.flat_to, l.zero_at), at)))
}

/// Voltage that MIL-STD-975M allows: the lesser of 0.8 of the specified one and `√(P·R)`.
pub fn resistor_voltage(allowed_power: Watt, resistance: Ohm, specified: Volt) -> Limit<Volt> {
    let by_power = volts_by_power(allowed_power, resistance);
    RESISTOR_VOLTAGE.map(|share| (specified * share).min(by_power))
}

/// Voltage that the naval handbook's half power allows; the body's own limit still holds.
pub fn navsea_voltage_by_power(rated: Watt, resistance: Ohm) -> Limit<Volt> {
    NAVSEA_POWER.map(|share| volts_by_power(rated * share, resistance))
}

/// Voltage that makes this power in this resistance.
fn volts_by_power(power: Watt, resistance: Ohm) -> Volt {
    Volt::new((power.get() * resistance.get()).sqrt())
}

/// Peak of the HT with no load: `√2` times the winding's rms voltage times mains over nominal.
pub fn no_load_peak(winding_rms: Volt, mains_over_nominal: f64) -> Volt {
    winding_rms * (SQRT_2 * mains_over_nominal)
}

/// Least rated voltage of a capacitor that sees this highest voltage.
pub fn least_rating(highest: Volt) -> Limit<Volt> {
    OVER_HIGHEST.map(|ratio| highest.abs() * ratio)
}

/// Whether a rating bears the highest voltage that can be there.
pub fn bears(rated: Volt, highest: Volt) -> bool {
    within(least_rating(highest).value.get(), rated.get())
}

/// Working voltage as a share of the rating. `None` when the rating is not positive.
pub fn working_share(working: Volt, rated: Volt) -> Option<f64> {
    (rated > Volt::ZERO).then(|| working.abs() / rated)
}

/// Judges the working voltage of an HT electrolytic by our bench profile: up to 0.80 of the
/// rating passes, up to 0.90 is flagged. The highest voltage is judged apart, see [`bears`].
pub fn judge_electrolytic_working(working: Volt, rated: Volt) -> Option<Verdict> {
    let share = working_share(working, rated)?;
    Some(Verdict::of_rising(share, ELECTROLYTIC_WARN.value, ELECTROLYTIC_WORKING.value))
}

/// Least rated voltage of a cathode bypass: twice the bias.
pub fn cathode_bypass_rating(bias: Volt) -> Limit<Volt> {
    CATHODE_BYPASS.map(|ratio| bias.abs() * ratio)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(got: f64, due: f64, relative: f64) -> bool {
        (got - due).abs() <= relative * due.abs()
    }

    // The document's own worked examples: RNR 0.5 W at 130 °C bears 0.25 W; RNC 0.1 W 475 k of
    // 200 V at 100 °C bears 160 V; CSR at 90 °C 0.40.
    #[test]
    fn worked_examples_of_975m() {
        let power = resistor_power(ResistorStyle::Rnr, Watt::new(0.5), Celsius::new(130.0)).value;
        assert!(near(power.get(), 0.25, 1e-12));
        let power = resistor_power(ResistorStyle::Rnr, Watt::new(0.1), Celsius::new(100.0)).value;
        let volts = resistor_voltage(power, Ohm::new(475e3), Volt::new(200.0)).value;
        assert!(near(volts.get(), 160.0, 1e-12));
        let share = capacitor_voltage_share(CapacitorStyle::TantalumSolid, Celsius::new(90.0)).expect("in range");
        assert!(near(share.value, 0.40, 1e-12));
    }

    #[test]
    fn above_the_top_nothing_is_said() {
        assert_eq!(capacitor_voltage_share(CapacitorStyle::MetallisedFilm, Celsius::new(86.0)), None);
        assert!(capacitor_voltage_share(CapacitorStyle::TantalumFoil, Celsius::new(70.0)).is_some());
        assert!(near(
            resistor_power(ResistorStyle::Rcr, Watt::new(0.5), Celsius::new(111.0)).value.get() + 1.0,
            1.0,
            1e-12
        ));
    }

    // 350 V rms peak at 495.0 V, at high mains 544.5 V; 487.2 V do not fit a 450 V part.
    #[test]
    fn bench_profile() {
        assert!(near(no_load_peak(Volt::new(350.0), 1.0).get(), 495.0, 1e-4));
        assert!(near(no_load_peak(Volt::new(350.0), 1.10).get(), 544.5, 1e-4));
        assert!(!bears(Volt::new(450.0), Volt::new(487.2)) && bears(Volt::new(450.0), Volt::new(-450.0)));
        let judged = |v| judge_electrolytic_working(Volt::new(v), Volt::new(450.0));
        assert_eq!(judged(360.0), Some(Verdict::Pass));
        assert_eq!(judged(400.0), Some(Verdict::Flag));
        assert_eq!(judged(410.0), Some(Verdict::Replace));
        assert_eq!(judge_electrolytic_working(Volt::new(400.0), Volt::ZERO), None);
    }
}
