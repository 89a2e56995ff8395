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

/// A figure of the document.
const fn figure<Q: Copy>(value: Q, scope: &'static str) -> Limit<Q> {
    Limit::new(value, SourceId::MilHdbk217, scope)
}

/// Base rate of paper, failures in a million hours; so are those below.
pub const BASE_PAPER: Limit<f64> = figure(0.000_37, "paper CP, CA, CZ, CZR, CH");
/// Base rate of film.
pub const BASE_FILM: Limit<f64> = figure(0.000_51, "film CQ, CQR, CHR, CFR, CRH");
/// Base rate of mica and glass.
pub const BASE_MICA: Limit<f64> = figure(0.000_76, "mica CM, CMR, CB; glass CY, CYR");
/// Base rate of ceramic.
pub const BASE_CERAMIC: Limit<f64> = figure(0.000_99, "ceramic CK, CKR, CC, CCR");
/// Base rate of ceramic chips.
pub const BASE_CERAMIC_CHIP: Limit<f64> = figure(0.002_0, "ceramic chip CDR");
/// Base rate of solid and wet tantalum.
pub const BASE_TANTALUM: Limit<f64> = figure(0.000_40, "tantalum CSR, CL, CLR, CRL");
/// Base rate of tantalum chips.
pub const BASE_TANTALUM_CHIP: Limit<f64> = figure(0.000_05, "tantalum chip CWR");
/// Base rate of aluminium.
pub const BASE_ALUMINIUM: Limit<f64> = figure(0.000_12, "aluminium CU, CUR, CE");
/// Base rate of composition resistors.
pub const BASE_COMPOSITION: Limit<f64> = figure(0.001_7, "composition RC, RCR");
/// Base rate of film resistors.
pub const BASE_FILM_RESISTOR: Limit<f64> = figure(0.003_7, "film RL, RLR, RN, RD");
/// Base rate of wirewound resistors.
pub const BASE_WIREWOUND: Limit<f64> = figure(0.002_4, "wirewound RB, RBR, RW, RWR, RE, RER");

/// Environment factors of capacitors and of resistors: indoors, kept well.
pub const GROUND_BENIGN: Limit<(f64, f64)> = figure((1.0, 1.0), "ground, benign");
/// Indoors or in a rack, less kept.
pub const GROUND_FIXED: Limit<(f64, f64)> = figure((10.0, 4.0), "ground, fixed");
/// On wheels or carried.
pub const GROUND_MOBILE: Limit<(f64, f64)> = figure((20.0, 16.0), "ground, mobile");
/// Below deck.
pub const NAVAL_SHELTERED: Limit<(f64, f64)> = figure((7.0, 12.0), "naval, sheltered");
/// On deck.
pub const NAVAL_UNSHELTERED: Limit<(f64, f64)> = figure((15.0, 42.0), "naval, unsheltered");
