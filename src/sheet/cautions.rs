//! The cautions of the bench work itself; those of the job's own hazards stand in the plan already.

use crate::model::chassis::{Job, SupplyKind};
use crate::model::finding::Decision;
use crate::model::kind::{PartKind, Place};
use crate::model::part::Part;
use crate::model::plan::Inspection;

/// A caution that the work at the bench calls for. The documents room has the words for it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Caution {
    /// Readings under power.
    OneHand,
    /// A variable transformer does not isolate.
    DoesNotIsolate,
    /// An earthed instrument on a live chassis.
    EarthedInstrument,
    /// How the mains side is put together.
    MainsSide,
    /// The same where the chassis is live, or may be, and must not be earthed.
    MainsSideLive,
    /// An output stage must not run without its load.
    LoadOn,
}

/// The bench cautions of this job, in the order in which they are printed.
pub fn cautions(job: &Job, inspection: &Inspection) -> Vec<Caution> {
    let mut list = vec![Caution::OneHand, Caution::DoesNotIsolate];
    let live = job.chassis.supply != SupplyKind::Transformer;
    if live {
        list.push(Caution::EarthedInstrument);
    }
    if works_on_mains(job, inspection) {
        list.push(if live { Caution::MainsSideLive } else { Caution::MainsSide });
    }
    if job.parts.iter().any(|p| p.kind == PartKind::Valve) {
        list.push(Caution::LoadOn);
    }
    list
}

fn works_on_mains(job: &Job, inspection: &Inspection) -> bool {
    let worked_on = inspection.judgements.iter().filter(|j| j.decision != Decision::Keep);
    let on_mains = |p: &Part| {
        p.place.is_some_and(Place::is_mains) || matches!(p.kind, PartKind::Lead | PartKind::Fuse | PartKind::Suppressor)
    };
    worked_on.filter_map(|j| job.part(&j.reference)).any(on_mains)
}
