//! The bench sheet's content: what must be known and done at the bench for one job, as plain data.
//!
//! Pure functions over the plan; the documents room puts them into words.

pub mod cautions;
pub mod drained;
pub mod power_up;
pub mod ratings;
pub mod slip;
pub mod steps;
pub mod stored;

use jiff::civil::Date;

use crate::model::chassis::{HtSupply, Job, Mains, OwnerWish, Policy, SupplyKind};
use crate::model::finding::{self, Hold};
use crate::model::plan::{Inspection, Plan};
use crate::model::supply::SupplyOutcome;
use crate::verify::Expected;
use crate::verify::expected::expected;

pub use cautions::Caution;
pub use drained::Drained;
pub use power_up::{BiasKind, Expect, PowerStage, PowerStep, PowerUp};
pub use ratings::Bar;
pub use slip::Slip;
pub use steps::{Action, Polarity, Stage, Step};
pub use stored::{Stored, StoredCharge};

/// Why no sheet can be made.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum SheetError {
    /// The job is not in the plan.
    #[error("job '{job}' is not in the plan")]
    NotPlanned {
        /// The job.
        job: String,
    },
}

/// Everything on the bench sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// The job's name.
    pub job: String,
    /// Name of the set.
    pub chassis: String,
    /// Year of the set.
    pub year: Option<i32>,
    /// Day of the sheet.
    pub date: Option<Date>,
    /// How the set is fed.
    pub supply: SupplyKind,
    /// How far to renew.
    pub policy: Policy,
    /// What the owner wants.
    pub wish: OwnerWish,
    /// The mains.
    pub mains: Mains,
    /// Reasons to order nothing yet.
    pub holds: Vec<Hold>,
    /// Cautions that this job calls for, from the plan.
    pub plan_cautions: Vec<finding::Caution>,
    /// Cautions that the work at the bench calls for.
    pub cautions: Vec<Caution>,
    /// Charge that stays after switching off.
    pub stored: StoredCharge,
    /// What to do, in order.
    pub steps: Vec<Step>,
    /// Highest voltages against ratings.
    pub bars: Vec<Bar>,
    /// The supplies as the chassis sheet has them.
    pub drawn: Vec<HtSupply>,
    /// The supplies, computed.
    pub supplies: Vec<SupplyOutcome>,
    /// First power.
    pub power_up: PowerUp,
    /// Readings to take.
    pub readings: Vec<Expected>,
    /// What stays in the chassis.
    pub slip: Slip,
    /// What was assumed for the job as a whole.
    pub assumed: Vec<String>,
}

/// Makes the sheet of one job; `date` wins over the day of inspection.
///
/// # Errors
/// [`SheetError::NotPlanned`] for a job that the plan does not hold.
pub fn sheet(job: &Job, plan: &Plan, date: Option<Date>) -> Result<Sheet, SheetError> {
    let inspection = plan
        .inspections
        .iter()
        .find(|i| i.job == job.name)
        .ok_or_else(|| SheetError::NotPlanned { job: job.name.clone() })?;
    let steps = steps::steps(job, inspection, plan);
    let bars = ratings::bars(job, inspection, plan);
    Ok(Sheet {
        job: job.name.clone(),
        chassis: job.chassis.name.clone(),
        year: job.chassis.year,
        date: date.or(inspection.inspected),
        supply: job.chassis.supply,
        policy: job.chassis.policy,
        wish: job.chassis.wish,
        mains: job.chassis.mains,
        holds: inspection.holds.clone(),
        cautions: cautions::cautions(job, inspection),
        plan_cautions: inspection.cautions.clone(),
        stored: stored::stored(job, inspection, plan),
        bars,
        drawn: job.chassis.supplies.clone(),
        supplies: inspection.supplies.clone(),
        power_up: power_up::power_up(job, inspection),
        readings: readings(job, inspection, plan),
        slip: slip::slip(job, inspection, &steps),
        steps,
        assumed: [inspection.assumed.as_slice(), &plan.assumed].concat(),
    })
}

/// The readings to take, and the values of the new parts; not those of parts that were kept.
fn readings(job: &Job, inspection: &Inspection, plan: &Plan) -> Vec<Expected> {
    let mut readings = expected(job, inspection, plan, None);
    readings.retain(|e| e.due || e.basis == "as fitted");
    readings
}
