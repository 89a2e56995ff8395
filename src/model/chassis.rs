//! The chassis sheet: the set, its mains, its iron and its supplies.

use super::kind::Place;
use super::part::{NodeName, Part};
use super::words::words;
use crate::money::Money;
use crate::units::{Ampere, Celsius, Farad, Henry, Hertz, Ohm, Volt};
use jiff::civil::Date;

words!(
    /// How the chassis is fed.
    SupplyKind {
        /// Isolated from the mains by a transformer.
        Transformer = "transformer" | "ac-only" | "mains-transformer",
        /// One side of the mains on the chassis (AC/DC sets).
        Live = "live" | "ac-dc" | "universal" | "hot-chassis",
        /// Not known; treated as live.
        Unknown = "unknown",
    }
);

words!(
    /// What the owner wants.
    OwnerWish {
        /// A working set.
        Working = "working",
        /// Working, looking as it was.
        Look = "look",
        /// A museum piece: change as little as possible.
        Museum = "museum",
    }
);

words!(
    /// How far to renew sound parts.
    Policy {
        /// Everything of the kinds that fail.
        Full = "full",
        /// The suspect kinds: paper always, electrolytics over age or failing.
        Suspect = "suspect",
        /// Only what is faulty.
        Faulty = "faulty",
    }
);

words!(
    /// State of a transformer or choke.
    Iron {
        /// Continuity and insulation are good.
        Ok = "ok",
        /// A winding is open.
        Open = "open",
        /// Insulation is low.
        LowInsulation = "low-insulation",
        /// Not checked yet.
        Unchecked = "unchecked" | "not-checked",
    }
);

words!(
    /// The mains connection.
    Earth {
        /// Earthed chassis.
        ThreeCore = "three-core" | "3-core",
        /// No earth.
        TwoCore = "two-core" | "2-core",
        /// Not known; treated as not earthed.
        Unknown = "unknown",
    }
);

words!(
    /// Rectifier circuit.
    Circuit {
        /// Two anodes on a centre-tapped winding.
        CentreTap = "centre-tap" | "center-tap",
        /// Four rectifiers on one winding.
        Bridge = "bridge",
        /// One rectifier.
        HalfWave = "half-wave",
        /// Full-wave doubler: two reservoirs in series.
        Doubler = "doubler",
        /// Half-wave doubler: a series capacitor and two rectifiers.
        DoublerHalfWave = "doubler-half-wave",
    }
);

words!(
    /// Kind of rectifier.
    RectifierKind {
        /// Indirectly heated valve: warms up with the load.
        ValveIndirect = "valve-indirect",
        /// Directly heated valve: conducts before the load draws.
        ValveDirect = "valve-direct",
        /// Silicon.
        Silicon = "silicon",
        /// Selenium.
        Selenium = "selenium" | "metal-rectifier",
        /// Not known; treated as silicon.
        Unknown = "unknown",
    }
);

impl RectifierKind {
    /// Whether it is a valve.
    pub const fn is_valve(self) -> bool {
        matches!(self, Self::ValveIndirect | Self::ValveDirect)
    }
}

words!(
    /// Polarity of a supply against the chassis.
    Polarity {
        /// HT.
        Positive = "positive",
        /// Bias and the like.
        Negative = "negative",
    }
);

/// The three pieces that cannot be bought over the counter.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct IronChecks {
    /// Mains transformer; `None` when the sheet does not name it (then unchecked).
    pub mains_transformer: Option<Iron>,
    /// Output transformer.
    pub output_transformer: Option<Iron>,
    /// Choke; `None` is unchecked only when a supply has a choke.
    pub choke: Option<Iron>,
}

/// Conditions that new parts must live in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Conditions {
    /// Air inside the cabinet, hot.
    pub inside: Celsius,
    /// Whether that figure was given (else the default is printed as assumed).
    pub inside_given: bool,
    /// Hours of use in a year.
    pub hours_per_year: f64,
    /// Years that new parts should last.
    pub wanted_years: f64,
}

impl Default for Conditions {
    fn default() -> Self {
        Self { inside: Celsius::new(45.0), inside_given: false, hours_per_year: 300.0, wanted_years: 15.0 }
    }
}

/// The mains as it is and as the set is tapped for it.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Mains {
    /// Tapping in use.
    pub tapping: Option<Volt>,
    /// Measured at the bench.
    pub measured: Option<Volt>,
    /// Head-room over these for no-load figures, percent.
    pub high_percent: Option<f64>,
    /// Frequency.
    pub hz: Option<Hertz>,
    /// Earth.
    pub earth: Option<Earth>,
}

/// The frequency taken when the sheet gives none.
pub const ASSUMED_HZ: Hertz = Hertz::new(50.0);
/// The head-room taken for no-load figures when the mains was not measured, percent.
pub const ASSUMED_HIGH_PERCENT: f64 = 10.0;

impl Mains {
    /// Frequency, 50 Hz when not given.
    pub fn frequency(&self) -> Hertz {
        self.hz.unwrap_or(ASSUMED_HZ)
    }

    /// Mains over tapping under load; one when either is not known.
    pub fn loaded_factor(&self) -> f64 {
        match (self.measured, self.tapping) {
            (Some(measured), Some(tapping)) if tapping > Volt::ZERO => measured / tapping,
            _ => 1.0,
        }
    }

    /// Factor on winding voltages for every no-load figure: the loaded factor and the head-room.
    pub fn high_factor(&self) -> f64 {
        let assumed = if self.measured.is_some() { 0.0 } else { ASSUMED_HIGH_PERCENT };
        self.loaded_factor() * (1.0 + self.high_percent.unwrap_or(assumed) / 100.0)
    }

    /// The mains voltage to reckon with: measured, else the tapping.
    pub fn volts(&self) -> Option<Volt> {
        self.measured.or(self.tapping)
    }
}

/// Diode law `v = n·Vt·ln(1 + i/is) + r·i`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DiodeLaw {
    /// Saturation current.
    pub is: Ampere,
    /// Emission coefficient.
    pub n: f64,
    /// Series resistance.
    pub ohm: Ohm,
}

/// How a node is fed from the node before it.
#[derive(Debug, Clone, PartialEq)]
pub enum Feed {
    /// Straight from the rectifier.
    Direct,
    /// Through a choke.
    Choke {
        /// Inductance.
        henry: Henry,
        /// DC resistance.
        ohm: Ohm,
    },
    /// Through a resistor of the parts list.
    Through(String),
    /// Through a stated resistance.
    Ohm(Ohm),
}

/// One node of a supply, in order from the rectifier.
#[derive(Debug, Clone, PartialEq)]
pub struct HtNode {
    /// Name, unique in the chassis.
    pub name: NodeName,
    /// How it is fed.
    pub feed: Feed,
    /// Constant current drawn here by valves.
    pub load: Option<Ampere>,
    /// Resistive load here.
    pub load_ohm: Option<Ohm>,
    /// Measured voltage.
    pub measured: Option<Volt>,
    /// Voltage on the service sheet.
    pub sheet: Option<Volt>,
}

/// A rectifier and the nodes that it feeds.
#[derive(Debug, Clone, PartialEq)]
pub struct HtSupply {
    /// Name.
    pub name: String,
    /// Circuit.
    pub circuit: Circuit,
    /// Winding voltage off load at the tapping (one half of a centre-tapped winding), rms.
    pub winding: Option<Volt>,
    /// Source resistance per anode, computed from winding and primary where those are given.
    pub source: Option<Ohm>,
    /// Kind of rectifier; unknown is treated as silicon.
    pub rectifier: RectifierKind,
    /// Type, looked up in the shop's rectifier table.
    pub designation: Option<String>,
    /// `i = perveance · v^1.5` per anode, A and V.
    pub perveance: Option<f64>,
    /// Silicon diode law.
    pub diode: Option<DiodeLaw>,
    /// Node between the two reservoirs of a full-wave doubler.
    pub middle: Option<NodeName>,
    /// Reference of the series capacitor of a half-wave doubler.
    pub series: Option<String>,
    /// Node that the supply returns to.
    pub return_to: NodeName,
    /// Largest first capacitor that the rectifier may see.
    pub max_first: Option<Farad>,
    /// Largest repetitive peak of one anode.
    pub max_peak: Option<Ampere>,
    /// Measured highest at the first node while warming up.
    pub warm_up_max: Option<Volt>,
    /// Polarity against chassis.
    pub polarity: Polarity,
    /// Nodes from the rectifier on.
    pub nodes: Vec<HtNode>,
}

impl HtSupply {
    /// Whether a part with this end is in the supply's own line: at one of its nodes, or at its return where
    /// that is not the chassis.
    pub fn has_end(&self, part: &Part) -> bool {
        let back = !self.return_to.is_chassis() && part.touches(&self.return_to);
        back || self.nodes.iter().any(|n| part.touches(&n.name))
    }

    /// What the supply delivers by its sheet; `None` where nothing is said of any load.
    pub fn load(&self) -> Option<Ampere> {
        let resistive = |n: &HtNode| Some(n.measured.or(n.sheet)?.abs() / n.load_ohm?);
        let loads = self.nodes.iter().flat_map(|n| [n.load, resistive(n)]);
        let known: Vec<Ampere> = loads.flatten().collect();
        (!known.is_empty()).then(|| known.into_iter().sum())
    }
}

/// The chassis sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Chassis {
    /// Name of the set.
    pub name: String,
    /// Year of make.
    pub year: Option<i32>,
    /// How it is fed.
    pub supply: SupplyKind,
    /// What the owner wants.
    pub wish: OwnerWish,
    /// How far to renew.
    pub policy: Policy,
    /// The day that ages are counted from.
    pub inspected: Option<Date>,
    /// Days promised to the owner.
    pub promised_days: Option<u32>,
    /// What the owner has authorised.
    pub ceiling: Option<Money>,
    /// What the set is worth.
    pub value: Option<Money>,
    /// State of the iron.
    pub iron: IronChecks,
    /// Conditions.
    pub conditions: Conditions,
    /// Mains.
    pub mains: Mains,
    /// Rectifiers and what they feed.
    pub supplies: Vec<HtSupply>,
    /// Keys that were missing and what is taken instead, as printed under "assumed".
    pub assumed: Vec<String>,
}

impl Chassis {
    /// What a place is to the mains of this set; `None` where it is not on the mains.
    ///
    /// A live chassis is one pole of the mains, so that a part from line to chassis stands from line to line; the
    /// sockets of a set with a mains transformer are apart from the mains.
    pub fn mains_place(&self, place: Place) -> Option<Place> {
        match (place, self.supply) {
            (Place::LineToChassis, SupplyKind::Live) => Some(Place::LineToLine),
            (Place::AerialIsolation, SupplyKind::Transformer) => None,
            (place, _) => place.is_mains().then_some(place),
        }
    }

    /// Whether a sheet says both that the chassis is live and that the mains earth is at it.
    pub fn earths_live_chassis(&self) -> bool {
        self.supply == SupplyKind::Live && self.mains.earth == Some(Earth::ThreeCore)
    }
}

/// One chassis and its parts list.
#[derive(Debug, Clone, PartialEq)]
pub struct Job {
    /// The folder's name.
    pub name: String,
    /// The chassis sheet.
    pub chassis: Chassis,
    /// The parts, in order of reference (natural order), whatever the order of the file.
    pub parts: Vec<Part>,
}

impl Job {
    /// The capacitors that stand at a place to the mains, such as all those of touchable sockets.
    pub fn at_mains_place(&self, place: Place) -> impl Iterator<Item = &Part> {
        let there = move |p: &&Part| p.place.and_then(|own| self.chassis.mains_place(own)) == Some(place);
        self.parts.iter().filter(|p| p.kind.is_capacitor()).filter(there)
    }

    /// The capacitor whose isolation from the mains a resistor bridges: one from line to chassis or at a
    /// touchable socket, with both ends in common.
    pub fn bridged_isolation(&self, part: &Part) -> Option<&Part> {
        let ends = part.plus.as_ref().zip(part.minus.as_ref())?;
        let isolating = [Place::LineToChassis, Place::AerialIsolation];
        let mut capacitors = isolating.into_iter().flat_map(|place| self.at_mains_place(place));
        capacitors.find(|c| part.kind.is_resistor() && c.touches(ends.0) && c.touches(ends.1) && ends.0 != ends.1)
    }

    /// The supply that a part is in, by its nodes.
    pub fn supply_at(&self, part: &Part) -> Option<&HtSupply> {
        self.chassis.supplies.iter().find(|s| s.has_end(part))
    }

    /// The part of this reference.
    pub fn part(&self, reference: &str) -> Option<&Part> {
        self.parts.iter().find(|p| p.reference == reference)
    }
}
