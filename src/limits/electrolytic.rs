//! Limits of non-solid aluminium electrolytics: loss factor, end of life, surge.

use super::Limit;
use crate::sources::SourceId;
use crate::units::{Celsius, Farad, Hertz, Volt};

/// Loss factor by rated voltage: each step holds up to and including its voltage.
pub type LossSteps = &'static [(Volt, f64)];

/// Frequency that general-purpose loss factors are stated at.
pub const LOSS_FREQUENCY: Limit<Hertz> =
    Limit::new(Hertz::new(120.0), SourceId::RgaSheet, "loss factor of a new general-purpose part, 20 °C");

/// Largest loss factor of a new general-purpose 105 °C radial part, 120 Hz, 20 °C, up to 1000 µF.
pub const LOSS_GENERAL: Limit<LossSteps> = Limit::new(
    &[
        (Volt::new(6.3), 0.23),
        (Volt::new(10.0), 0.20),
        (Volt::new(16.0), 0.16),
        (Volt::new(25.0), 0.14),
        (Volt::new(35.0), 0.12),
        (Volt::new(50.0), 0.10),
        (Volt::new(63.0), 0.09),
        (Volt::new(100.0), 0.08),
        (Volt::new(160.0), 0.12),
        (Volt::new(200.0), 0.14),
        (Volt::new(250.0), 0.17),
        (Volt::new(350.0), 0.20),
        (Volt::new(400.0), 0.25),
        (Volt::new(450.0), 0.25),
    ],
    SourceId::RgaSheet,
    "loss factor of a new general-purpose part at 120 Hz and 20 °C",
);

/// Loss factor taken above 450 V, where the sheet lists none.
pub const LOSS_ABOVE_TABLE: Limit<f64> =
    Limit::new(0.25, SourceId::OurElectrolyticRule, "above 450 V no limit is published; that of 450 V is used");

/// From this capacitance on the loss factor grows with size.
pub const LOSS_GROWS_FROM: Limit<Farad> =
    Limit::new(Farad::from_micro(1000.0), SourceId::RgaSheet, "general-purpose parts");

/// Growth of the loss factor for each whole 1000 µF above [`LOSS_GROWS_FROM`].
pub const LOSS_GROWTH: Limit<f64> =
    Limit::new(0.02, SourceId::RgaSheet, "for each 1000 µF above 1000 µF; whole steps are our reading");

/// Share of the ESR limit at 120 Hz itself; elsewhere it is scaled for equal heat.
pub const ESR_SCALED: Limit<f64> =
    Limit::new(1.0, SourceId::CircuitLaw, "scaled from the loss factor at 120 Hz for equal heat");

/// Snap-in B43505, 100 Hz.
pub const LOSS_B43505: Limit<LossSteps> = Limit::new(
    &[(Volt::new(400.0), 0.13), (Volt::new(450.0), 0.17)],
    SourceId::B43505Sheet,
    "long-life snap-in, 200 to 450 V, 100 Hz",
);

/// Snap-in B43516, 120 Hz.
pub const LOSS_B43516: Limit<LossSteps> = Limit::new(
    &[(Volt::new(400.0), 0.15), (Volt::new(450.0), 0.20)],
    SourceId::B43516Sheet,
    "long-life snap-in, 200 to 450 V, 120 Hz",
);

/// Snap-in B43641, 120 Hz.
pub const LOSS_B43641: Limit<LossSteps> = Limit::new(
    &[(Volt::new(400.0), 0.20), (Volt::new(450.0), 0.20)],
    SourceId::B43641Sheet,
    "long-life snap-in, 400 to 450 V, 120 Hz",
);

/// Low-voltage snap-in B41505, 100 Hz.
pub const LOSS_B41505: Limit<LossSteps> = Limit::new(
    &[
        (Volt::new(10.0), 0.20),
        (Volt::new(16.0), 0.15),
        (Volt::new(25.0), 0.11),
        (Volt::new(35.0), 0.10),
        (Volt::new(50.0), 0.08),
        (Volt::new(100.0), 0.06),
    ],
    SourceId::B43505Sheet,
    "long-life snap-in, 10 to 100 V, 100 Hz",
);

/// Share of nominal below which a used part is flagged.
pub const CAPACITANCE_FLAG: Limit<f64> =
    Limit::new(0.80, SourceId::OurElectrolyticRule, "capacitance of a used electrolytic, share of nominal");
/// Share of nominal below which a used part is replaced.
pub const CAPACITANCE_REPLACE: Limit<f64> =
    Limit::new(0.70, SourceId::OurElectrolyticRule, "capacitance of a used electrolytic, share of nominal");
/// Share of nominal from which the reading itself is doubted: leakage disturbs the meter.
pub const CAPACITANCE_DOUBTFUL: Limit<f64> =
    Limit::new(1.30, SourceId::RetronicsPage, "an old part reading high; measure leakage before trusting it");
/// Loss factor or ESR above this multiple of the new part's limit is flagged.
pub const LOSS_FLAG: Limit<f64> =
    Limit::new(1.0, SourceId::OurElectrolyticRule, "ESR of a used electrolytic, multiple of the new part's limit");
/// Loss factor or ESR above this multiple of the new part's limit means replace.
pub const LOSS_REPLACE: Limit<f64> =
    Limit::new(2.0, SourceId::OurElectrolyticRule, "ESR of a used electrolytic, multiple of the new part's limit");

/// Rated voltage up to which the higher surge ratio holds.
pub const SURGE_STEP: Limit<Volt> = Limit::new(Volt::new(315.0), SourceId::ElectrolyticArticle, "surge voltage");
/// Surge over rated voltage up to [`SURGE_STEP`].
pub const SURGE_LOW: Limit<f64> =
    Limit::new(1.15, SourceId::ElectrolyticArticle, "30 s in 6 min, 1000 times; not a working rating");
/// Surge over rated voltage above [`SURGE_STEP`].
pub const SURGE_HIGH: Limit<f64> =
    Limit::new(1.10, SourceId::ElectrolyticArticle, "30 s in 6 min, 1000 times; not a working rating");
/// Largest reverse voltage.
pub const REVERSE: Limit<Volt> = Limit::new(Volt::new(1.5), SourceId::ElectrolyticArticle, "about; reverse voltage");

/// Coolest a part may be when its ESR is judged by the tables.
pub const MEASURE_FROM: Limit<Celsius> =
    Limit::new(Celsius::new(18.0), SourceId::OurElectrolyticRule, "temperature of a part when measured");
/// Warmest a part may be when its ESR is judged by the tables.
pub const MEASURE_TO: Limit<Celsius> =
    Limit::new(Celsius::new(28.0), SourceId::OurElectrolyticRule, "temperature of a part when measured");

/// What a document calls the end of a part's life; `None` where it sets no figure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EndOfLife {
    /// Largest loss of capacitance, share of the start value.
    pub loss_of_capacitance: f64,
    /// Largest gain of capacitance, share of the start value.
    pub gain_of_capacitance: Option<f64>,
    /// Largest loss factor or ESR, multiple of `multiple_of`.
    pub loss_multiple: f64,
    /// What `loss_multiple` counts from.
    pub multiple_of: &'static str,
    /// Largest impedance, multiple of the start value.
    pub impedance_multiple: Option<f64>,
}

/// A criterion that holds both ways in capacitance.
const fn both_ways(change: f64, loss_multiple: f64, impedance_multiple: Option<f64>) -> EndOfLife {
    EndOfLife {
        loss_of_capacitance: change,
        gain_of_capacitance: Some(change),
        loss_multiple,
        multiple_of: "the limit",
        impedance_multiple,
    }
}

/// Degradation failure in the endurance test of the standard.
pub const END_IEC: Limit<EndOfLife> = Limit::new(
    EndOfLife {
        loss_of_capacitance: 0.30,
        gain_of_capacitance: None,
        loss_multiple: 3.0,
        multiple_of: "the first reading",
        impedance_multiple: None,
    },
    SourceId::Iec60384Part4,
    "endurance test",
);
/// Useful life of a long-life part above 100 V.
pub const END_USEFUL_HIGH: Limit<EndOfLife> =
    Limit::new(both_ways(0.30, 3.0, Some(3.0)), SourceId::Vishay28340, "useful life, rated above 100 V");
/// Useful life of a long-life part up to 100 V.
pub const END_USEFUL_LOW: Limit<EndOfLife> =
    Limit::new(both_ways(0.45, 3.0, Some(3.0)), SourceId::Vishay28340, "useful life, rated up to 100 V");
/// Endurance test of a long-life part above 100 V.
pub const END_ENDURANCE_HIGH: Limit<EndOfLife> =
    Limit::new(both_ways(0.10, 1.3, Some(2.0)), SourceId::Vishay28340, "endurance test, rated above 100 V");
/// Endurance test of a long-life part up to 100 V.
pub const END_ENDURANCE_LOW: Limit<EndOfLife> =
    Limit::new(both_ways(0.15, 1.3, Some(2.0)), SourceId::Vishay28340, "endurance test, rated up to 100 V");
/// Load life and shelf life of a general-purpose part.
pub const END_GENERAL: Limit<EndOfLife> =
    Limit::new(both_ways(0.20, 2.0, None), SourceId::RgaSheet, "load life and shelf life, general purpose");
/// Load life of a long-life snap-in.
pub const END_SNAP_IN: Limit<EndOfLife> =
    Limit::new(both_ways(0.20, 2.0, None), SourceId::B43641Sheet, "load life and shelf life, snap-in");
/// Useful life of a single-ended part.
pub const END_SINGLE_ENDED: Limit<EndOfLife> =
    Limit::new(both_ways(0.40, 3.0, None), SourceId::TdkSingleEndedSheet, "useful life, single-ended");
/// Endurance of an axial 125 °C part.
pub const END_AXIAL: Limit<EndOfLife> =
    Limit::new(both_ways(0.30, 3.0, None), SourceId::TdkAxialSheet, "endurance, axial 125 °C");
