//! What was found out about a part: its stress, the rules' findings and the decision.

use super::kind::Sight;
use super::words::words;
use crate::sources::SourceId;
use crate::units::{Ampere, Celsius, Hertz, Volt};

words!(
    /// How a figure is known; a better basis always wins.
    Basis {
        /// Measured on this chassis.
        Measured = "measured",
        /// Computed from the supply.
        Computed = "computed",
        /// Written on the service sheet.
        Stated = "stated",
        /// Assumed, and printed so.
        Assumed = "assumed",
    }
);

/// A figure and how it is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Known<Q> {
    /// The figure.
    pub value: Q,
    /// How it is known.
    pub basis: Basis,
}

impl<Q> Known<Q> {
    /// A figure with its basis.
    pub const fn new(value: Q, basis: Basis) -> Self {
        Self { value, basis }
    }
}

/// Ripple current of one capacitor, rms.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RippleStress {
    /// All of it.
    pub total: Ampere,
    /// At the mains frequency.
    pub at_f: Ampere,
    /// At twice the mains frequency.
    pub at_2f: Ampere,
    /// All the rest.
    pub rest: Ampere,
    /// The mains frequency (or, for a stated ripple, the frequency it was stated at, all in `at_f`).
    pub f: Hertz,
}

/// What a part sees. `None`: not known, and nothing to reckon it from.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Stress {
    /// Working DC voltage across it (size).
    pub working: Option<Known<Volt>>,
    /// The most that can be across it under any condition (size).
    pub highest: Option<Known<Volt>>,
    /// Whether `highest` is proved: false where neither winding nor measurement gives it.
    pub highest_proved: bool,
    /// Ripple current.
    pub ripple: Option<Known<RippleStress>>,
    /// Temperature at the part.
    pub heat: Option<Known<Celsius>>,
    /// What was assumed for these, as printed.
    pub assumed: Vec<String>,
}

/// What a finding asks for, in rising order of weight where several ask for different things.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Call {
    /// Nothing: told for completeness.
    Note,
    /// Speaks for leaving the part.
    Keep,
    /// Keep after reforming.
    Reform,
    /// One more reading would settle it.
    Test,
    /// Renewing is advised, by policy or age.
    Advise,
    /// The part fails: renew it.
    Replace,
    /// The value or place must be found out first.
    FindOut,
    /// The part is dead and stays for looks, disconnected.
    Disconnect,
    /// Remove it and do not refit.
    Omit,
}

/// What speaks against the part, as far as the owner need know.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OwnerCause {
    /// Not made for the voltage or heat there.
    Overloaded,
    /// Passes current that it must stop.
    Passing,
    /// Dried out, so that its value is lost.
    DriedOut,
    /// Value changed with age.
    Changed,
    /// Open or shorted.
    Dead,
    /// Damaged to the eye.
    Damaged,
    /// On the mains, of a kind or state that must not be there.
    Mains,
    /// Renewed so that it matches its mate.
    Mate,
    /// Asked for by the technician or needed for the work.
    Chosen,
    /// Of a kind or age known to fail.
    KindOrAge,
}

impl OwnerCause {
    /// The word in machine output.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Overloaded => "overloaded",
            Self::Passing => "passing",
            Self::DriedOut => "dried-out",
            Self::Changed => "changed",
            Self::Dead => "dead",
            Self::Damaged => "damaged",
            Self::Mains => "mains",
            Self::Mate => "mate",
            Self::Chosen => "chosen",
            Self::KindOrAge => "kind-or-age",
        }
    }
}

/// One rule's statement about one part.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// Rule id.
    pub rule: &'static str,
    /// The statement with its figures, in a technician's words.
    pub says: String,
    /// The figure judged, in `unit`.
    pub value: Option<f64>,
    /// The limit it was held against, in `unit`.
    pub limit: Option<f64>,
    /// Unit of both, such as `mA`, `%`, `V`; empty where there is no figure.
    pub unit: &'static str,
    /// Where the limit comes from.
    pub source: SourceId,
    /// Whether the limit was changed by the shop's `[margins]`.
    pub limit_from_shop: bool,
    /// What it asks for.
    pub call: Call,
    /// Whether power must not be applied before it is dealt with.
    pub urgent: bool,
    /// Whether it is about safety, so that no wish, policy, price or ceiling overrides it.
    pub safety: bool,
    /// What it tells the owner on a quote; `None`: nothing.
    pub owner: Option<OwnerCause>,
    /// Reading that would settle it, for `Test` and `FindOut`.
    pub measure: Option<Measure>,
}

/// One reading to take, in the order in which a technician takes them.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Measure {
    /// When it is taken.
    pub stage: MeasureStage,
    /// What to do, such as `lift one end and read again`.
    pub what: String,
}

/// One reading and the decisions that it could change.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NextReading {
    /// The reading.
    pub measure: Measure,
    /// Parts that it is taken on, in the order of the job; empty for a transformer or choke.
    pub refs: Vec<String>,
    /// Decisions that it could change: those parts, their mates and the sections of their cans;
    /// for a transformer or choke every part that is to be ordered.
    pub changes: usize,
}

words!(
    /// When a reading is taken.
    MeasureStage {
        /// Looking and the service sheet.
        Look = "look",
        /// Cold, in circuit.
        Cold = "cold",
        /// One end lifted or out of circuit.
        OutOfCircuit = "out-of-circuit",
        /// At voltage.
        AtVoltage = "at-voltage",
    }
);

words!(
    /// What is to be done with a part; exactly one for each.
    Decision {
        /// Order and fit.
        Replace = "replace",
        /// Sound, left alone.
        Keep = "keep",
        /// Kept after reforming, with figures.
        Reform = "reform",
        /// One named measurement first.
        Test = "test",
        /// Removed, not refitted.
        Omit = "omit",
        /// Dead, disconnected, left in place for looks.
        Disconnect = "disconnect",
        /// Value or place unknown.
        FindOut = "find-out",
    }
);

words!(
    /// How a replacement is done.
    How {
        /// A new part.
        New = "new",
        /// With its mate, matched.
        Pair = "pair",
        /// New parts in the old can or sleeve.
        Restuff = "restuff",
        /// New parts beside the old can, which is left disconnected.
        BesideDeadCan = "beside-dead-can",
    }
);

/// The judgement of one part.
#[derive(Debug, Clone, PartialEq)]
pub struct Judgement {
    /// Reference of the part.
    pub reference: String,
    /// Decision.
    pub decision: Decision,
    /// How, for replacements.
    pub how: Option<How>,
    /// Whether power must not be applied before it is done.
    pub urgent: bool,
    /// Whether it fails or is unsafe (false: only advised by age or policy).
    pub must: bool,
    /// Every finding, the one that decided first.
    pub findings: Vec<Finding>,
    /// What the part sees.
    pub stress: Stress,
    /// What was assumed for this line, as printed.
    pub assumed: Vec<String>,
    /// The readings that would settle it.
    pub measure_next: Vec<Measure>,
}

/// Something to mind, and where that is from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Caution {
    /// What to mind.
    pub says: String,
    /// Where it is from; `None` where it is a figure of this job and no rule of the trade.
    pub source: Option<SourceId>,
}

impl Caution {
    /// The document behind it, or the remark that there is none; `None` for a figure of this job.
    pub fn behind(&self) -> Option<String> {
        self.source.map(|source| match source {
            // The trade's habits have no document to name; every other source is named.
            SourceId::WorkshopHabit => "common practice, no source".to_owned(),
            source => source.to_string(),
        })
    }
}

/// The caution with what is behind it.
impl std::fmt::Display for Caution {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match (self.source, self.behind()) {
            (Some(SourceId::WorkshopHabit), Some(habit)) => write!(f, "{} ({habit})", self.says),
            (_, Some(source)) => write!(f, "{}; {source}", self.says),
            (_, None) => f.write_str(&self.says),
        }
    }
}

impl From<String> for Caution {
    /// A caution of this job alone.
    fn from(says: String) -> Self {
        Self { says, source: None }
    }
}

words!(
    /// Why a job is on hold before any order.
    HoldReason {
        /// A transformer or choke is open or of low insulation.
        Iron = "iron",
        /// More than the owner has authorised.
        Ceiling = "ceiling",
        /// More than the set is worth.
        Uneconomic = "uneconomic",
        /// Something that safety hangs on is not proved.
        Unproved = "unproved",
    }
);

/// A reason to order nothing yet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hold {
    /// Reason.
    pub reason: HoldReason,
    /// In words, with the figures.
    pub says: String,
}

/// Whether any of these sights condemns an electrolytic.
pub fn condemns(sight: &[Sight]) -> bool {
    sight.iter().any(|s| !matches!(s, Sight::Ok))
}
