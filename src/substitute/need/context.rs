//! What a need is made from.

use crate::model::chassis::Job;
use crate::model::finding::{Judgement, Measure, MeasureStage, Stress};
use crate::model::need::{Need, PointKind, Why};
use crate::model::part::Part;
use crate::model::shop::Shop;
use crate::model::supply::SupplyOutcome;
use crate::sources::SourceId;
use crate::units::Farad;

/// Everything that the need of one part follows from.
#[derive(Debug, Clone, Copy)]
pub struct NeedContext<'a> {
    /// The job, for the supplies, the conditions and the neighbours.
    pub job: &'a Job,
    /// The part to be replaced.
    pub part: &'a Part,
    /// What it sees.
    pub stress: &'a Stress,
    /// What is to be done with it and how.
    pub judgement: &'a Judgement,
    /// The job's supplies as computed, for what rectifiers bear.
    pub supplies: &'a [SupplyOutcome],
    /// The shop, for margins, equivalents, rectifier limits and what it allows.
    pub shop: &'a Shop,
}

/// How a value that is not known is found out.
pub(super) const READ_VALUE: &str = "read the value off the part or the service sheet";

/// Why no need can be stated: something has to be found out first.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{reference}: {says}")]
pub struct NoNeed {
    /// Reference of the part.
    pub reference: String,
    /// What has to be found out, in words.
    pub says: String,
    /// The reading, or the look, that finds it out.
    pub measure: Measure,
    /// What is known of the want all the same, for looking elsewhere.
    pub wanted: Vec<String>,
}

impl NeedContext<'_> {
    /// A need that asks nothing yet.
    pub(super) fn blank(&self) -> Need {
        Need {
            reference: self.part.reference.clone(),
            place: self.part.place,
            kinds: Vec::new(),
            designations: Vec::new(),
            farad: None,
            farad_nominal: None,
            farad_limit: None,
            ohm: None,
            ohm_nominal: None,
            tolerance_max_percent: None,
            volts_min: None,
            working: None,
            vac_min: None,
            watts_min: None,
            ripple: None,
            temp_min: None,
            ambient: None,
            life_min: None,
            class: None,
            styles: Vec::new(),
            max_diameter: None,
            max_length: None,
            polarised_ok: false,
            flameproof: false,
            matched: 1,
            why: Vec::new(),
        }
    }

    /// The error that this has to be found out, with what finds it out.
    pub(super) fn find_out(&self, says: impl Into<String>, how: impl Into<String>) -> NoNeed {
        NoNeed {
            reference: self.part.reference.clone(),
            says: says.into(),
            measure: Measure { stage: MeasureStage::Look, what: how.into() },
            wanted: Vec::new(),
        }
    }

    /// The marked capacitance, else the middle of what the technician demands.
    pub(super) fn farad(&self) -> Result<Farad, NoNeed> {
        let demanded = self.part.accept.farad.map(|(least, most)| (least + most) / 2.0);
        let known = self.part.farad().or(demanded).filter(|c| Farad::ZERO < *c);
        known.ok_or_else(|| self.find_out("the capacitance is not known: take it from the service sheet", READ_VALUE))
    }
}

/// Adds a reason to a need.
pub(super) fn because(need: &mut Need, point: PointKind, rule: &'static str, source: SourceId, says: String) {
    need.why.push(Why { point, rule, says, source });
}

/// From `minus_percent` below to `plus_percent` above.
pub(super) fn window(nominal: Farad, minus_percent: f64, plus_percent: f64) -> (Farad, Farad) {
    (nominal * (1.0 - minus_percent / 100.0), nominal * (1.0 + plus_percent / 100.0))
}
