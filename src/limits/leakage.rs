//! Leakage limits of electrolytics, new and old, and of paper capacitors.

use super::Limit;
use crate::sources::SourceId;
use crate::units::{Ampere, Celsius, Second, Volt};

/// A leakage formula `factor·C·V + floor`, C in µF and V in volts give µA.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CvRule {
    /// Share of the CV product in µA for each µF·V.
    pub factor: f64,
    /// What is added, µA.
    pub added_ua: f64,
    /// Time at voltage before reading.
    pub after: Second,
}

/// The CV product that parts the two rules above 100 V, µF·V.
pub const MODERN_CV_STEP_UF_V: Limit<f64> = Limit::new(1000.0, SourceId::RgaSheet, "new parts above 100 V");
/// Rated voltage up to which the low-voltage rule holds.
pub const MODERN_LOW_UP_TO: Limit<Volt> = Limit::new(Volt::new(100.0), SourceId::RgaSheet, "new parts");
/// New part up to 100 V: 0.01·CV, at least [`MODERN_LOW_FLOOR`], after 2 min.
pub const MODERN_LOW: Limit<CvRule> = Limit::new(
    CvRule { factor: 0.01, added_ua: 0.0, after: Second::new(120.0) },
    SourceId::RgaSheet,
    "new general-purpose part up to 100 V, after 2 min",
);
/// Least limit of a new part up to 100 V.
pub const MODERN_LOW_FLOOR: Limit<Ampere> = Limit::new(Ampere::new(3e-6), SourceId::RgaSheet, "new parts up to 100 V");
/// New part above 100 V, CV up to 1000 µF·V, after 5 min.
pub const MODERN_HIGH_SMALL: Limit<CvRule> = Limit::new(
    CvRule { factor: 0.03, added_ua: 15.0, after: Second::new(300.0) },
    SourceId::RgaSheet,
    "new general-purpose part above 100 V with CV up to 1000, after 5 min",
);
/// New part above 100 V, CV above 1000 µF·V, after 5 min.
pub const MODERN_HIGH_LARGE: Limit<CvRule> = Limit::new(
    CvRule { factor: 0.02, added_ua: 25.0, after: Second::new(300.0) },
    SourceId::RgaSheet,
    "new general-purpose part above 100 V with CV above 1000, after 5 min",
);
/// The generic rule for a new part, after 2 or 5 min; the longer is taken.
pub const GENERIC: Limit<CvRule> = Limit::new(
    CvRule { factor: 0.01, added_ua: 3.0, after: Second::new(300.0) },
    SourceId::ElectrolyticArticle,
    "any new part, after 2 or 5 min",
);
/// Long-life grade: `0.3·(CV)^0.7 + 4` µA after 5 min.
pub const LONG_LIFE: Limit<LongLifeRule> = Limit::new(
    LongLifeRule { factor: 0.3, power: 0.7, added_ua: 4.0, after: Second::new(300.0) },
    SourceId::LongLifeLeakage,
    "new long-life part, after 5 min",
);

/// A leakage formula `factor·(C·V)^power + added`, C in µF and V in volts give µA.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LongLifeRule {
    /// Share of the powered CV product, µA.
    pub factor: f64,
    /// Power of the CV product.
    pub power: f64,
    /// What is added, µA.
    pub added_ua: f64,
    /// Time at voltage before reading.
    pub after: Second,
}

/// K of the vintage rule in mA for each µF; each step holds up to and including its voltage.
pub const VINTAGE_K_MA_PER_UF: Limit<&[(Volt, f64)]> = Limit::new(
    &[(Volt::new(100.0), 0.01), (Volt::new(250.0), 0.02), (Volt::new(350.0), 0.025), (Volt::new(500.0), 0.04)],
    SourceId::JanC62,
    "judging an old part, 3 to 500 V (above 450 V by one table only); never accepting a new one",
);
/// Lowest rated voltage of the vintage rule.
pub const VINTAGE_FROM: Limit<Volt> = Limit::new(Volt::new(3.0), SourceId::JanC62, "old parts");
/// What the vintage rule adds to K·C.
pub const VINTAGE_ADDED: Limit<Ampere> = Limit::new(Ampere::from_milli(0.3), SourceId::JanC62, "old parts");
/// Cap of the vintage table.
pub const VINTAGE_MOST: Limit<Ampere> = Limit::new(Ampere::from_milli(10.0), SourceId::JanC62, "old parts");
/// Time at voltage before a vintage reading counts (2 to 3 min; the longer is taken).
pub const VINTAGE_AFTER: Limit<Second> = Limit::new(Second::new(180.0), SourceId::JanC62, "old parts, 2 to 3 min");

/// Leakage at [`HOT`] over that at [`COOL`].
pub const HOT_RATIO: Limit<f64> = Limit::new(4.0, SourceId::ElectrolyticArticle, "about, electrolytics");
/// Where the leakage of the tables is stated.
pub const COOL: Limit<Celsius> = Limit::new(Celsius::new(20.0), SourceId::ElectrolyticArticle, "electrolytics");
/// Where [`HOT_RATIO`] is stated.
pub const HOT: Limit<Celsius> = Limit::new(Celsius::new(85.0), SourceId::ElectrolyticArticle, "electrolytics");
/// Leakage at [`PART_VOLTAGE`] of the rating over that at the rating.
pub const PART_VOLTAGE_RATIO: Limit<f64> = Limit::new(0.5, SourceId::ElectrolyticArticle, "about, electrolytics");
/// Share of the rating where [`PART_VOLTAGE_RATIO`] is stated.
pub const PART_VOLTAGE: Limit<f64> = Limit::new(0.7, SourceId::ElectrolyticArticle, "electrolytics");

/// Leakage resistance of a paper capacitor over the circuit resistance that it shunts.
pub const PAPER_RATIO: Limit<f64> =
    Limit::new(20.0, SourceId::PaperLeakage, "screen and AGC bypass: leakage over the resistance shunted");
