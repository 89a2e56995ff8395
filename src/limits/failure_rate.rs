//! Constants of the part failure rate model, for ranking parts against each other only.

use super::Limit;
use crate::sources::SourceId;

/// Boltzmann's constant as the document rounds it, eV/K.
pub const BOLTZMANN_EV_PER_K: Limit<f64> = Limit::new(8.617e-5, SourceId::MilHdbk217, "temperature factors");
/// Reference temperature, K.
pub const REFERENCE_K: Limit<f64> = Limit::new(298.0, SourceId::MilHdbk217, "temperature factors");
/// What the document adds to °C to get K.
pub const ZERO_C_IN_K: Limit<f64> = Limit::new(273.0, SourceId::MilHdbk217, "temperature factors");

/// Activation energies of capacitors by column, eV.
pub const CAPACITOR_EA_EV: Limit<(f64, f64)> = Limit::new((0.15, 0.35), SourceId::MilHdbk217, "capacitors");
/// Activation energies of resistors by column, eV.
pub const RESISTOR_EA_EV: Limit<(f64, f64)> = Limit::new((0.2, 0.08), SourceId::MilHdbk217, "resistors");
/// Powers of the capacitance in µF by column.
pub const CAPACITANCE_POWERS: Limit<(f64, f64)> = Limit::new((0.09, 0.23), SourceId::MilHdbk217, "capacitors");
/// Power of the dissipated watts.
pub const POWER_POWER: Limit<f64> =
    Limit::new(0.39, SourceId::MilHdbk217, "resistors; taken on dissipated power, copies disagree");
/// Voltage stress columns: stress divided by the first, to the power of the second, plus one.
pub const VOLTAGE_COLUMNS: Limit<[(f64, f64); 5]> =
    Limit::new([(0.6, 5.0), (0.6, 10.0), (0.6, 3.0), (0.6, 17.0), (0.5, 3.0)], SourceId::MilHdbk217, "capacitors");
/// Power stress columns: the first times e to the power of the second times stress.
pub const POWER_COLUMNS: Limit<[(f64, f64); 2]> =
    Limit::new([(0.71, 1.1), (0.54, 2.04)], SourceId::MilHdbk217, "resistors");
/// Series resistance factor of solid tantalum: above the first in Ω/V, the second.
pub const SERIES_RESISTANCE: Limit<&[(f64, f64)]> = Limit::new(
    &[(0.8, 0.66), (0.6, 1.0), (0.4, 1.3), (0.2, 2.0), (0.1, 2.7), (0.0, 3.3)],
    SourceId::MilHdbk217,
    "solid tantalum",
);
/// Quality factor of a commercial part.
pub const COMMERCIAL: Limit<f64> = Limit::new(10.0, SourceId::MilHdbk217, "commercial parts");
/// Quality factor of a military part without established reliability.
pub const NON_ESTABLISHED: Limit<f64> = Limit::new(3.0, SourceId::MilHdbk217, "parts without established reliability");
