//! What a verdict follows besides need and article: the shop, the year, the rectifier's duty.

use crate::model::chassis::{Feed, HtSupply, Job};
use crate::model::part::Part;
use crate::model::shop::Shop;
use crate::units::{Ampere, Farad, Ohm, Volt};

/// What a rectifier has to do in its place.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct RectifierDuty {
    /// Capacitance at the first node; `None` behind a choke, or where it is not known.
    pub first: Option<Farad>,
    /// Direct current drawn from the whole supply; `None` where a load is not given.
    pub current: Option<Ampere>,
    /// Source resistance of each anode.
    pub source: Option<Ohm>,
    /// Winding voltage off load.
    pub winding: Option<Volt>,
}

/// The shop's rules and the job's circumstances that a verdict needs.
#[derive(Debug, Clone)]
pub struct Rules<'a> {
    /// The year of inspection, which ages are counted from; `None`: ages are not judged.
    pub year: Option<i32>,
    /// The shop: what it allows, its margins and its rectifier limits.
    pub shop: &'a Shop,
    /// The job, for what a rectifier has to do; `None`: its limits are not checked.
    pub job: Option<&'a Job>,
}

impl<'a> Rules<'a> {
    /// The rules for one job.
    pub fn new(shop: &'a Shop, job: &'a Job) -> Self {
        let year = job.chassis.inspected.map(|day| i32::from(day.year()));
        Self { year, shop, job: Some(job) }
    }

    /// What the rectifier of this designation has to do; `None` where no supply names it.
    pub fn duty(&self, designation: &str) -> Option<RectifierDuty> {
        let job = self.job?;
        let named =
            |s: &&HtSupply| s.designation.as_deref().is_some_and(|d| super::super::designation::same(d, designation));
        job.chassis.supplies.iter().find(named).map(|supply| duty(job, supply))
    }
}

/// The duty of the rectifier of one supply.
fn duty(job: &Job, supply: &HtSupply) -> RectifierDuty {
    let node = supply.nodes.first();
    let direct = node.is_some_and(|n| !matches!(n.feed, Feed::Choke { .. }));
    let first: Farad = match node {
        Some(node) if direct => {
            job.parts.iter().filter(|p| p.kind.is_capacitor() && p.touches(&node.name)).filter_map(Part::farad).sum()
        }
        _ => Farad::ZERO,
    };
    let loads: Option<Vec<Ampere>> = supply.nodes.iter().map(|n| n.load).collect();
    RectifierDuty {
        first: Some(first).filter(|f| Farad::ZERO < *f),
        current: loads.map(|l| l.into_iter().sum()),
        source: supply.source,
        winding: supply.winding,
    }
}
