//! What every rule asks of a part and its job: age, place, readings that count, neighbours.

use super::Subject;
use crate::model::chassis::{Earth, Job, OwnerWish, Policy, SupplyKind};
use crate::model::kind::{PartKind, Place, Sight};
use crate::model::part::{NodeName, Part, Reading};
use crate::units::{Farad, Ohm, Volt};

impl Subject<'_> {
    /// Year that the part was made or fitted; the chassis's own where nothing else is written.
    pub fn made(&self) -> Option<i32> {
        self.part.fitted.or(self.job.chassis.year)
    }

    /// Age in whole years on the day of inspection; `None` when either year is not known.
    pub fn age_years(&self) -> Option<i32> {
        let day = self.job.chassis.inspected?;
        Some((i32::from(day.year()) - self.made()?).max(0))
    }

    /// Whether the owner wants a museum piece.
    pub fn museum(&self) -> bool {
        self.job.chassis.wish == OwnerWish::Museum
    }

    /// How far sound parts are renewed.
    pub fn policy(&self) -> Policy {
        self.job.chassis.policy
    }

    /// Whether the part is a capacitor that stands on the mains by its place.
    pub fn on_mains(&self) -> bool {
        self.part.kind.is_capacitor() && self.mains_place().is_some()
    }

    /// What its place is to the mains of this set; see
    /// [`Chassis::mains_place`](crate::model::chassis::Chassis::mains_place).
    pub fn mains_place(&self) -> Option<Place> {
        self.part.place.and_then(|place| self.job.chassis.mains_place(place))
    }

    /// Whether a capacitor of unknown place could be a mains part.
    pub fn could_be_mains(&self) -> bool {
        self.part.place.is_none() && looks_like_mains(self.part, self.job) && !denied(self.part, self.job)
    }

    /// Whether it is an electrolytic.
    pub fn is_electrolytic(&self) -> bool {
        self.part.kind == PartKind::Electrolytic
    }

    /// The capacitance read, if a meter showed one.
    pub fn reads_farad(&self) -> Option<Farad> {
        match self.part.found.reads {
            Some(Reading::Farad(farad)) => Some(farad),
            _ => None,
        }
    }

    /// The resistance read, if a meter showed one.
    pub fn reads_ohm(&self) -> Option<Ohm> {
        match self.part.found.reads {
            Some(Reading::Ohm(ohm)) => Some(ohm),
            _ => None,
        }
    }

    /// What was seen on it that speaks against it.
    pub fn damage(&self) -> Vec<Sight> {
        self.part.found.sight.iter().copied().filter(|s| *s != Sight::Ok).collect()
    }

    /// The voltage near which a leakage reading counts: the lower of rated and working.
    pub fn leakage_reference(&self) -> Option<Volt> {
        let working = self.stress.working.map(|known| known.value.abs());
        match (self.part.rating.volts, working.filter(|v| *v > Volt::ZERO)) {
            (Some(rated), Some(working)) => Some(rated.min(working)),
            (rated, working) => rated.or(working),
        }
    }

    /// The highest rating to reckon leakage limits with: marked, else the working voltage.
    pub fn rated_or_working(&self) -> Option<Volt> {
        self.part.rating.volts.or_else(|| self.stress.working.map(|known| known.value.abs()))
    }
}

/// Words of several sights, such as `bulged, weeping`.
pub(crate) fn sight_words(sights: &[Sight]) -> String {
    sights.iter().map(|s| s.word()).collect::<Vec<_>>().join(", ")
}

/// Smallest capacitance of parts that makers put on the mains.
const MAINS_FROM: Farad = Farad::new(0.9e-9);
/// Largest.
const MAINS_TO: Farad = Farad::new(0.11e-6);
/// Rating from which such a part is suspected.
const MAINS_RATED: Volt = Volt::new(600.0);
/// Largest paper part that is suspected in a set that may have a live chassis.
const LIVE_PAPER_TO: Farad = Farad::new(0.26e-6);
/// Rating from which it is: sets for 110 V had 400 V paper across the line.
const LIVE_PAPER_RATED: Volt = Volt::new(400.0);

/// Value and rating of a mains part: .001 to .1 µF, and 600 V or more or marked for AC; of paper, which
/// is what old sets have there, more is suspected.
fn looks_like_mains(part: &Part, job: &Job) -> bool {
    if !part.kind.is_capacitor() || part.kind == PartKind::Electrolytic {
        return false;
    }
    if part.rating.class.is_some() || part.kind == PartKind::Suppressor {
        return true;
    }
    let paper = part.kind == PartKind::Paper;
    let (most, least_rated) = if paper && job.chassis.supply != SupplyKind::Transformer {
        (LIVE_PAPER_TO, LIVE_PAPER_RATED)
    } else {
        (MAINS_TO, MAINS_RATED)
    };
    let in_range = part.farad().is_none_or(|c| c >= MAINS_FROM && c <= most);
    // A rating that nobody knows denies nothing; mica and ceramic of that time carry none, and are seldom there.
    let unrated = matches!(part.kind, PartKind::Paper | PartKind::Film);
    let rated = part.rating.volts.map_or(unrated, |v| v >= least_rated) || part.rating.vac.is_some();
    in_range && rated
}

/// Whether the nodes say that the part is not on the mains: both are nodes of the supplies, or one
/// is and the other is the chassis of a set with a mains transformer.
fn denied(part: &Part, job: &Job) -> bool {
    let (Some(plus), Some(minus)) = (&part.plus, &part.minus) else {
        return false;
    };
    let of_supply = |node: &NodeName| job.chassis.supplies.iter().any(|s| s.nodes.iter().any(|n| n.name == *node));
    let isolated = job.chassis.supply == SupplyKind::Transformer;
    let quiet = |node: &NodeName| of_supply(node) || (isolated && node.is_chassis());
    quiet(plus) && quiet(minus)
}

/// Whether the chassis is earthed, or will be by a three-core lead that the technician has asked for.
pub(crate) fn earthed(job: &Job) -> bool {
    if job.chassis.supply != SupplyKind::Transformer {
        return false;
    }
    job.chassis.mains.earth == Some(Earth::ThreeCore)
        || job
            .parts
            .iter()
            .any(|p| p.kind == PartKind::Lead && p.accept.designation.as_deref().is_some_and(is_three_core))
}

/// Whether a lead is said to be of three cores.
pub(crate) fn is_three_core(text: &str) -> bool {
    let text = text.to_lowercase();
    ["3-core", "3 core", "three-core", "three core", "3core"].iter().any(|word| text.contains(word))
}

/// Whether a lead is said to be of two cores.
pub(crate) fn is_two_core(text: &str) -> bool {
    let text = text.to_lowercase();
    ["2-core", "2 core", "two-core", "two core", "2core"].iter().any(|word| text.contains(word))
}
