//! Shares of a rating that a part may see: one cancelled military document, and our bench profile.

use super::Limit;
use crate::sources::SourceId;
use crate::units::Celsius;

/// Share of the rating at low temperature and at the highest; linear between.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct VoltageShare {
    /// Share up to 70 °C.
    pub cool: f64,
    /// Share at the highest temperature.
    pub hot: f64,
    /// Highest temperature; the share is not defined above.
    pub highest: Celsius,
}

/// Share of rated power up to a temperature, then linear to nothing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PowerShare {
    /// Share of the rating while flat.
    pub share: f64,
    /// Flat up to here.
    pub flat_to: Celsius,
    /// Nothing from here.
    pub zero_at: Celsius,
}

/// Capacitor line of the 975M table.
const fn volts(cool: f64, hot: f64, highest_c: f64, scope: &'static str) -> Limit<VoltageShare> {
    Limit::new(VoltageShare { cool, hot, highest: Celsius::new(highest_c) }, SourceId::MilStd975, scope)
}

/// Resistor line of the 975M table; the zero points are derated ones, not those of data sheets.
const fn watts(share: f64, flat_to_c: f64, zero_at_c: f64, scope: &'static str) -> Limit<PowerShare> {
    let curve = PowerShare { share, flat_to: Celsius::new(flat_to_c), zero_at: Celsius::new(zero_at_c) };
    Limit::new(curve, SourceId::MilStd975, scope)
}

/// Where the shares of capacitors start to fall.
pub const VOLTAGE_FALLS_FROM: Limit<Celsius> = Limit::new(Celsius::new(70.0), SourceId::MilStd975, "capacitors");
/// Ceramic CCR, CKR, CKS, CDR.
pub const CERAMIC: Limit<VoltageShare> = volts(0.60, 0.60, 110.0, "ceramic CCR, CKR, CKS, CDR");
/// Glass CYR.
pub const GLASS: Limit<VoltageShare> = volts(0.50, 0.50, 110.0, "glass CYR");
/// Metallised film CRH, CHS.
pub const METALLISED_FILM: Limit<VoltageShare> = volts(0.60, 0.60, 85.0, "metallised film CRH, CHS");
/// Tantalum foil CLR25, 27, 35, 37.
pub const TANTALUM_FOIL: Limit<VoltageShare> = volts(0.50, 0.50, 70.0, "tantalum foil CLR25, 27, 35, 37");
/// Wet tantalum CLR79, CLR81.
pub const TANTALUM_WET: Limit<VoltageShare> = volts(0.60, 0.40, 110.0, "wet tantalum CLR79, CLR81");
/// Solid tantalum CSR, CSS, CWR behind at least 1 Ω/V.
pub const TANTALUM_SOLID: Limit<VoltageShare> = volts(0.50, 0.30, 110.0, "solid tantalum, at least 1 Ω/V in series");

/// Composition RCR.
pub const RCR: Limit<PowerShare> = watts(0.60, 70.0, 110.0, "composition RCR");
/// Film RLR.
pub const RLR: Limit<PowerShare> = watts(0.30, 70.0, 94.0, "film RLR");
/// Metal film RNC, RNR, RNN.
pub const RNR: Limit<PowerShare> = watts(0.60, 125.0, 155.0, "metal film RNC, RNR, RNN");
/// Accurate wirewound RBR.
pub const RBR: Limit<PowerShare> = watts(0.60, 125.0, 137.0, "accurate wirewound RBR");
/// Power wirewound RWR, RER.
pub const RWR: Limit<PowerShare> = watts(0.60, 30.0, 175.0, "power wirewound RWR, RER");
/// Chip RM.
pub const RM: Limit<PowerShare> = watts(0.60, 70.0, 118.0, "chip RM");
/// Network RZO.
pub const RZO: Limit<PowerShare> = watts(0.60, 70.0, 125.0, "network RZO");
/// Share of a resistor's specified voltage.
pub const RESISTOR_VOLTAGE: Limit<f64> = Limit::new(0.80, SourceId::MilStd975, "share of the specified voltage");

/// Share of a resistor's power that a naval handbook starts from.
pub const NAVSEA_POWER: Limit<f64> = Limit::new(0.50, SourceId::NavseaResistors, "resistors, share of rated power");

/// Highest mains over nominal.
pub const MAINS_HIGH: Limit<f64> = Limit::new(1.10, SourceId::MainsTolerance, "mains voltage, over nominal");
/// Least rating over the highest voltage that can be there.
pub const OVER_HIGHEST: Limit<f64> = Limit::new(1.0, SourceId::HighestVoltage, "rating over the highest voltage");
/// Largest working share of an HT electrolytic's rating.
pub const ELECTROLYTIC_WORKING: Limit<f64> =
    Limit::new(0.90, SourceId::BenchShares, "working share of an HT electrolytic's rated voltage");
/// Working share of an HT electrolytic's rating from which to warn.
pub const ELECTROLYTIC_WARN: Limit<f64> =
    Limit::new(0.80, SourceId::BenchShares, "working share of an HT electrolytic's rated voltage, warning");
/// Rating of a cathode bypass over the bias.
pub const CATHODE_BYPASS: Limit<f64> =
    Limit::new(2.0, SourceId::CathodeBypassPractice, "rating of a cathode bypass over the bias");
/// Preferred working share of a coupling or screen film capacitor.
pub const FILM_WORKING: Limit<f64> =
    Limit::new(0.60, SourceId::BenchProfile, "preferred working share of a film capacitor's rated voltage");
/// Largest share of a solid tantalum's rating.
pub const TANTALUM_WORKING: Limit<f64> =
    Limit::new(0.50, SourceId::BenchProfile, "working share of a solid tantalum's rated voltage");
/// Largest share of a resistor's power, up to [`RESISTOR_WORKING_TO`].
pub const RESISTOR_POWER: Limit<f64> = Limit::new(0.50, SourceId::BenchShares, "share of a resistor's rated power");
/// Where [`RESISTOR_POWER`] holds to.
pub const RESISTOR_WORKING_TO: Limit<Celsius> =
    Limit::new(Celsius::new(70.0), SourceId::BenchProfile, "air around a resistor");
/// Largest share of a resistor's working voltage.
pub const RESISTOR_WORKING_VOLTAGE: Limit<f64> =
    Limit::new(0.80, SourceId::BenchProfile, "share of a resistor's working voltage limit");
