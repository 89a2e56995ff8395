//! Failure rates of MIL-HDBK-217F Notice 2, for ranking parts against each other only.
//!
//! The model counts chance failures of sound parts; wear is not in it, and it says nothing on how
//! long an old part will last.

use crate::limits::failure_rate::{
    BASE_ALUMINIUM, BASE_CERAMIC, BASE_CERAMIC_CHIP, BASE_COMPOSITION, BASE_FILM, BASE_FILM_RESISTOR, BASE_MICA,
    BASE_PAPER, BASE_TANTALUM, BASE_TANTALUM_CHIP, BASE_WIREWOUND, BOLTZMANN_EV_PER_K, CAPACITANCE_POWERS,
    CAPACITOR_EA_EV, COMMERCIAL, GROUND_BENIGN, GROUND_FIXED, GROUND_MOBILE, NAVAL_SHELTERED, NAVAL_UNSHELTERED,
    NON_ESTABLISHED, POWER_COLUMNS, POWER_POWER, REFERENCE_K, RESISTOR_EA_EV, SERIES_RESISTANCE, VOLTAGE_COLUMNS,
    ZERO_C_IN_K,
};
use crate::units::{Celsius, Farad, Hour, Volt, Watt};

/// First or second column of a table of the document.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Column {
    /// Column 1.
    One,
    /// Column 2.
    Two,
}

impl Column {
    /// The member of a pair.
    const fn of(self, pair: (f64, f64)) -> f64 {
        match self {
            Self::One => pair.0,
            Self::Two => pair.1,
        }
    }
}

/// Column of the voltage stress table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StressColumn {
    /// `(S/0.6)^5 + 1`
    One,
    /// `(S/0.6)^10 + 1`
    Two,
    /// `(S/0.6)^3 + 1`
    Three,
    /// `(S/0.6)^17 + 1`
    Four,
    /// `(S/0.5)^3 + 1`
    Five,
}

/// Where the part works.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Environment {
    /// Indoors, kept well.
    GroundBenign,
    /// Indoors or in a rack, less kept.
    GroundFixed,
    /// On wheels or carried.
    GroundMobile,
    /// Below deck.
    NavalSheltered,
    /// On deck.
    NavalUnsheltered,
}

impl Environment {
    /// Factors for capacitors and for resistors.
    const fn factors(self) -> (f64, f64) {
        match self {
            Self::GroundBenign => GROUND_BENIGN.value,
            Self::GroundFixed => GROUND_FIXED.value,
            Self::GroundMobile => GROUND_MOBILE.value,
            Self::NavalSheltered => NAVAL_SHELTERED.value,
            Self::NavalUnsheltered => NAVAL_UNSHELTERED.value,
        }
    }

    /// Factor for capacitors.
    pub const fn for_capacitors(self) -> f64 {
        self.factors().0
    }

    /// Factor for resistors.
    pub const fn for_resistors(self) -> f64 {
        self.factors().1
    }
}

/// Quality of make.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Quality {
    /// Established reliability, factor 1 (level M).
    LevelM,
    /// Military, reliability not established.
    NonEstablished,
    /// Commercial: what a shop sells.
    Commercial,
}

impl Quality {
    /// Factor, the same for capacitors and resistors.
    pub const fn factor(self) -> f64 {
        match self {
            Self::LevelM => 1.0,
            Self::NonEstablished => NON_ESTABLISHED.value,
            Self::Commercial => COMMERCIAL.value,
        }
    }
}

/// Style of a capacitor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum CapacitorStyle {
    /// CP, CA, CZ, CZR, CH: paper and metallised paper.
    Paper,
    /// CQ, CQR, CHR, CFR, CRH: film.
    Film,
    /// CM, CMR, CB: mica.
    Mica,
    /// CY, CYR: glass.
    Glass,
    /// CK, CKR, CC, CCR: ceramic.
    Ceramic,
    /// CDR: ceramic chip.
    CeramicChip,
    /// CSR: solid tantalum behind this much series resistance, Ω/V.
    TantalumSolid {
        /// Circuit resistance over applied voltage.
        series_ohm_per_v: f64,
    },
    /// CWR: tantalum chip behind this much series resistance, Ω/V.
    TantalumChip {
        /// Circuit resistance over applied voltage.
        series_ohm_per_v: f64,
    },
    /// CL, CLR, CRL: wet tantalum.
    TantalumWet,
    /// CU, CUR: aluminium oxide.
    AluminiumOxide,
    /// CE: aluminium, dry.
    AluminiumDry,
}

/// Base rate and columns of one style.
struct CapacitorLine {
    base: f64,
    temperature: Column,
    capacitance: Column,
    stress: StressColumn,
}

impl CapacitorStyle {
    /// The line of the document's table.
    const fn line(self) -> CapacitorLine {
        use Column::{One, Two};
        let (base, temperature, capacitance, stress) = match self {
            Self::Paper => (BASE_PAPER.value, One, One, StressColumn::One),
            Self::Film => (BASE_FILM.value, One, One, StressColumn::One),
            Self::Mica | Self::Glass => (BASE_MICA.value, Two, One, StressColumn::Two),
            Self::Ceramic => (BASE_CERAMIC.value, Two, One, StressColumn::Three),
            Self::CeramicChip => (BASE_CERAMIC_CHIP.value, Two, One, StressColumn::Three),
            Self::TantalumSolid { .. } | Self::TantalumWet => (BASE_TANTALUM.value, One, Two, StressColumn::Four),
            Self::TantalumChip { .. } => (BASE_TANTALUM_CHIP.value, One, Two, StressColumn::Four),
            Self::AluminiumOxide | Self::AluminiumDry => (BASE_ALUMINIUM.value, Two, Two, StressColumn::One),
        };
        CapacitorLine { base, temperature, capacitance, stress }
    }

    /// Series resistance factor: 1 but for solid tantalum.
    fn series_factor(self) -> f64 {
        let (Self::TantalumSolid { series_ohm_per_v } | Self::TantalumChip { series_ohm_per_v }) = self else {
            return 1.0;
        };
        let worst = SERIES_RESISTANCE.value.last().map_or(1.0, |(_, factor)| *factor);
        SERIES_RESISTANCE.value.iter().find(|(above, _)| *above < series_ohm_per_v).map_or(worst, |(_, f)| *f)
    }
}

/// Voltage stress of a capacitor: `(Vdc + √2·Vac) / Vrated`. `None` for no rating or above 1.
pub fn voltage_stress(dc: Volt, ac_rms: Volt, rated: Volt) -> Option<f64> {
    let stress = (dc.abs().get() + std::f64::consts::SQRT_2 * ac_rms.abs().get()) / rated.get();
    (rated > Volt::ZERO && stress <= 1.0).then_some(stress)
}

/// Arrhenius factor against 25 °C for an activation energy in eV.
fn arrhenius(energy_ev: f64, at: Celsius) -> f64 {
    let kelvin = at.get() + ZERO_C_IN_K.value;
    (-energy_ev / BOLTZMANN_EV_PER_K.value * (1.0 / kelvin - 1.0 / REFERENCE_K.value)).exp()
}

/// Temperature factor of capacitors.
pub fn capacitor_temperature_factor(column: Column, at: Celsius) -> f64 {
    arrhenius(column.of(CAPACITOR_EA_EV.value), at)
}

/// Temperature factor of resistors, by the temperature of the case.
pub fn resistor_temperature_factor(column: Column, case: Celsius) -> f64 {
    arrhenius(column.of(RESISTOR_EA_EV.value), case)
}

/// Capacitance factor.
pub fn capacitance_factor(column: Column, capacitance: Farad) -> f64 {
    capacitance.micro().powf(column.of(CAPACITANCE_POWERS.value))
}

/// Voltage stress factor.
pub fn voltage_stress_factor(column: StressColumn, stress: f64) -> f64 {
    let [one, two, three, four, five] = VOLTAGE_COLUMNS.value;
    let (scale, power) = match column {
        StressColumn::One => one,
        StressColumn::Two => two,
        StressColumn::Three => three,
        StressColumn::Four => four,
        StressColumn::Five => five,
    };
    (stress / scale).powf(power) + 1.0
}

/// Failures in a million hours; for ranking only.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct FailureRate(f64);

impl FailureRate {
    /// From failures in a million hours.
    pub const fn per_million_hours(rate: f64) -> Self {
        Self(rate)
    }

    /// Failures in a million hours.
    pub const fn in_million_hours(self) -> f64 {
        self.0
    }

    /// Mean time between failures. `None` for a rate of zero or less.
    pub fn mean_time(self) -> Option<Hour> {
        (self.0 > 0.0).then(|| Hour::new(1e6 / self.0))
    }
}

impl std::iter::Sum for FailureRate {
    fn sum<I: Iterator<Item = Self>>(parts: I) -> Self {
        Self(parts.map(|rate| rate.0).sum())
    }
}

/// A capacitor at work.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CapacitorAtWork {
    /// Its style.
    pub style: CapacitorStyle,
    /// Its capacitance.
    pub capacitance: Farad,
    /// Voltage stress, 0 to 1, see [`voltage_stress`].
    pub stress: f64,
    /// Temperature of the air around it.
    pub air: Celsius,
    /// Quality of make.
    pub quality: Quality,
}

/// Failure rate of a capacitor, section 10.1. `None` for a stress outside 0 to 1 or a capacitance
/// that is not positive.
pub fn capacitor(part: &CapacitorAtWork, environment: Environment) -> Option<FailureRate> {
    let in_range = (0.0..=1.0).contains(&part.stress) && part.capacitance > Farad::ZERO;
    let line = part.style.line();
    let rate = line.base
        * capacitor_temperature_factor(line.temperature, part.air)
        * capacitance_factor(line.capacitance, part.capacitance)
        * voltage_stress_factor(line.stress, part.stress)
        * part.style.series_factor()
        * part.quality.factor()
        * environment.for_capacitors();
    in_range.then_some(FailureRate(rate))
}

/// Style of a resistor.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ResistorStyle {
    /// RC, RCR: composition.
    Composition,
    /// RL, RLR, RN: film.
    Film,
    /// RD: power film.
    PowerFilm,
    /// RB, RBR: accurate wirewound.
    AccurateWirewound,
    /// RW, RWR, RE, RER: power wirewound.
    PowerWirewound,
}

impl ResistorStyle {
    /// Base rate, temperature column (`None` where temperature does not count), stress column.
    const fn line(self) -> (f64, Option<Column>, Column) {
        match self {
            Self::Composition => (BASE_COMPOSITION.value, Some(Column::One), Column::Two),
            Self::Film => (BASE_FILM_RESISTOR.value, Some(Column::Two), Column::One),
            Self::PowerFilm => (BASE_FILM_RESISTOR.value, None, Column::One),
            Self::AccurateWirewound => (BASE_WIREWOUND.value, Some(Column::Two), Column::One),
            Self::PowerWirewound => (BASE_WIREWOUND.value, Some(Column::Two), Column::Two),
        }
    }
}

/// Power stress factor of resistors for the dissipated share of the rating.
pub fn power_stress_factor(column: Column, stress: f64) -> f64 {
    let [one, two] = POWER_COLUMNS.value;
    let (scale, slope) = match column {
        Column::One => one,
        Column::Two => two,
    };
    scale * (slope * stress).exp()
}

/// A resistor at work.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ResistorAtWork {
    /// Its style.
    pub style: ResistorStyle,
    /// Heat that it makes. Copies of the document disagree whether this or the rating counts in
    /// the power factor; this one is taken.
    pub dissipated: Watt,
    /// Dissipated over rated power, 0 to 1.
    pub stress: f64,
    /// Temperature of its case.
    pub case: Celsius,
    /// Quality of make.
    pub quality: Quality,
}

/// Failure rate of a resistor, section 9.1. `None` for a stress outside 0 to 1 or a negative
/// dissipation.
pub fn resistor(part: &ResistorAtWork, environment: Environment) -> Option<FailureRate> {
    let in_range = (0.0..=1.0).contains(&part.stress) && part.dissipated >= Watt::ZERO;
    let (base, temperature, stress) = part.style.line();
    let rate = base
        * temperature.map_or(1.0, |column| resistor_temperature_factor(column, part.case))
        * part.dissipated.get().powf(POWER_POWER.value)
        * power_stress_factor(stress, part.stress)
        * part.quality.factor()
        * environment.for_resistors();
    in_range.then_some(FailureRate(rate))
}

#[cfg(test)]
mod tests {
    use super::*;

    // Example 10.2 of the document: CQ 0.015 µF 400 V, 200 Vdc + 50 Vrms, 50 °C, fixed, factor 3:
    // 0.049 with each factor rounded.
    #[test]
    fn worked_example() {
        let stress = voltage_stress(Volt::new(200.0), Volt::new(50.0), Volt::new(400.0)).expect("below 1");
        assert!((stress - 0.68).abs() < 0.005);
        let part = CapacitorAtWork {
            style: CapacitorStyle::Film,
            capacitance: Farad::from_micro(0.015),
            stress,
            air: Celsius::new(50.0),
            quality: Quality::NonEstablished,
        };
        let rate = capacitor(&part, Environment::GroundFixed).expect("in range").in_million_hours();
        assert!((rate - 0.049).abs() < 0.003, "{rate}");
    }

    #[test]
    fn overstress_has_no_rate() {
        assert_eq!(voltage_stress(Volt::new(500.0), Volt::ZERO, Volt::new(450.0)), None);
        assert_eq!(voltage_stress(Volt::new(1.0), Volt::ZERO, Volt::ZERO), None);
    }

    // The document's table of series resistance.
    #[test]
    fn series_resistance_of_tantalum() {
        for (series_ohm_per_v, due) in [(1.0, 0.66), (0.7, 1.0), (0.5, 1.3), (0.3, 2.0), (0.15, 2.7), (0.05, 3.3)] {
            let got = CapacitorStyle::TantalumSolid { series_ohm_per_v }.series_factor();
            assert!((got - due).abs() < 1e-12, "{series_ohm_per_v} Ω/V");
        }
        assert!((CapacitorStyle::Film.series_factor() - 1.0).abs() < 1e-12);
    }
}
