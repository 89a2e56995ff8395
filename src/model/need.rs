//! What a new part must be, and how an offer answers it.

use super::finding::RippleStress;
use super::kind::{MainsClass, PartKind, Place, Style};
use super::words::words;
use crate::sources::SourceId;
use crate::units::{Celsius, Farad, Hour, Millimetre, Ohm, Volt, Watt};

/// One requirement's reason.
#[derive(Debug, Clone, PartialEq)]
pub struct Why {
    /// The point it is about.
    pub point: PointKind,
    /// Rule id, or `accept` for the technician's own demand.
    pub rule: &'static str,
    /// In words with figures.
    pub says: String,
    /// Where the figure comes from.
    pub source: SourceId,
}

/// What a substitute must be. `None` and empty lists ask nothing on that point.
#[derive(Debug, Clone, PartialEq)]
pub struct Need {
    /// Reference of the part to be replaced.
    pub reference: String,
    /// Its place.
    pub place: Option<Place>,
    /// Kinds that will do.
    pub kinds: Vec<PartKind>,
    /// Designations that will do, the original first, then the user's equivalents.
    pub designations: Vec<String>,
    /// Least and most capacitance.
    pub farad: Option<(Farad, Farad)>,
    /// The marked capacitance that the window was made from.
    pub farad_nominal: Option<Farad>,
    /// Largest nominal capacitance whatever the tolerance (a rectifier's limit for the first capacitor).
    pub farad_limit: Option<Farad>,
    /// Least and most resistance.
    pub ohm: Option<(Ohm, Ohm)>,
    /// The marked resistance that the window was made from.
    pub ohm_nominal: Option<Ohm>,
    /// Widest tolerance that will do, percent.
    pub tolerance_max_percent: Option<f64>,
    /// Least DC rating (on a resistor: limiting voltage).
    pub volts_min: Option<Volt>,
    /// Working DC voltage across the part, for margins and life.
    pub working: Option<Volt>,
    /// Least AC rating.
    pub vac_min: Option<Volt>,
    /// Least power.
    pub watts_min: Option<Watt>,
    /// Ripple current to carry.
    pub ripple: Option<RippleStress>,
    /// Least upper category temperature.
    pub temp_min: Option<Celsius>,
    /// Temperature at the place, for life.
    pub ambient: Option<Celsius>,
    /// Hours of use that it should last.
    pub life_min: Option<Hour>,
    /// Class needed.
    pub class: Option<MainsClass>,
    /// Styles that may be fitted; never empty for capacitors.
    pub styles: Vec<Style>,
    /// Largest diameter.
    pub max_diameter: Option<Millimetre>,
    /// Largest length.
    pub max_length: Option<Millimetre>,
    /// `Some(true)`: must be polarised or may be; `Some(false)`: must not be polarised.
    pub polarised_ok: bool,
    /// Flameproof wanted.
    pub flameproof: bool,
    /// Pieces that must come from one source and match (1: no pair).
    pub matched: u32,
    /// Every reason.
    pub why: Vec<Why>,
}

words!(
    /// The points on which an offer is held against a need.
    PointKind {
        /// Kind of part.
        Kind = "kind",
        /// Capacitance, resistance or designation.
        Value = "value",
        /// DC voltage.
        Voltage = "voltage",
        /// AC voltage.
        AcVoltage = "ac_voltage" | "ac-voltage",
        /// Safety class.
        Class = "class",
        /// Ripple current.
        Ripple = "ripple",
        /// Temperature.
        Temperature = "temperature",
        /// Power.
        Watts = "watts",
        /// Body size.
        Size = "size",
        /// Mounting.
        Style = "style",
        /// Polarity.
        Polarity = "polarity",
        /// Life.
        Life = "life",
        /// Limit of the first capacitor after a valve rectifier.
        LimitFirst = "limit_first" | "limit-first",
        /// Heater current or voltage.
        Heater = "heater",
        /// Touch current.
        Touch = "touch",
        /// Flameproof or fusible.
        Flameproof = "flameproof",
        /// Leakage.
        Leakage = "leakage",
        /// Age on the shelf.
        Age = "age",
    }
);

words!(
    /// The answer to "will this do here?".
    Answer {
        /// It will do.
        Fit = "fit",
        /// It will do, with the reason for care.
        Caution = "caution",
        /// It will not do.
        Unsuitable = "unsuitable",
        /// It must not be used here: safety.
        Barred = "barred",
    }
);

/// One point of comparison.
#[derive(Debug, Clone, PartialEq)]
pub struct Point {
    /// Which point.
    pub point: PointKind,
    /// What is needed, in words.
    pub needs: String,
    /// What the offer has, in words.
    pub has: String,
    /// How this point turned out.
    pub answer: Answer,
    /// Rule id.
    pub rule: &'static str,
    /// In words.
    pub says: String,
}

impl Point {
    /// Whether the point is met (with or without care).
    pub const fn ok(&self) -> bool {
        matches!(self.answer, Answer::Fit | Answer::Caution)
    }
}

/// Every point of one offer against one need.
#[derive(Debug, Clone, PartialEq)]
pub struct Verdict {
    /// The worst of the points.
    pub answer: Answer,
    /// The points, in the order of [`PointKind`].
    pub points: Vec<Point>,
}

impl Verdict {
    /// From the points; the answer is the worst of them.
    pub fn of(points: Vec<Point>) -> Self {
        let answer = points.iter().map(|p| p.answer).max().unwrap_or(Answer::Fit);
        Self { answer, points }
    }

    /// Whether the offer may be used.
    pub const fn usable(&self) -> bool {
        matches!(self.answer, Answer::Fit | Answer::Caution)
    }

    /// The points that fail.
    pub fn fails(&self) -> impl Iterator<Item = &Point> {
        self.points.iter().filter(|p| !p.ok())
    }
}
