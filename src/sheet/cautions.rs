//! The cautions that a job calls for, each with where it comes from.

use crate::model::chassis::{Earth, Job, RectifierKind, SupplyKind};
use crate::model::finding::Decision;
use crate::model::kind::{PartKind, Place};
use crate::model::part::Part;
use crate::model::plan::Inspection;
use crate::units::Volt;

/// A hazard of this job. The documents room has the words for it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Caution {
    /// Not before the cold checks are signed.
    NotPluggedIn,
    /// Charge stays after switching off.
    Discharge,
    /// HT above 400 V.
    HighHt,
    /// Work on a live set.
    OneHand,
    /// One side of the mains is on the chassis.
    LiveChassis,
    /// Whether the chassis is live is not known.
    PerhapsLive,
    /// A variable transformer does not isolate.
    DoesNotIsolate,
    /// Parts on the mains side are worked on.
    MainsParts,
    /// No safety earth.
    TwoCore,
    /// The earth is not known.
    EarthUnknown,
    /// Bias must be there before the output valves.
    FixedBias,
    /// An output stage must not run without its load.
    LoadOn,
    /// A metal rectifier that gives poisonous fumes.
    Selenium,
    /// Asbestos.
    Asbestos,
    /// Oil that may hold PCB.
    Pcb,
    /// Who may do this work.
    Deference,
}

/// From this HT on its own caution is given; a round figure, our own.
pub const HIGH_HT: Volt = Volt::new(400.0);
/// Oil-filled parts made up to this year may hold PCB; from memory.
const PCB_UNTIL: i32 = 1986;

/// The cautions of this job, in the order in which they are printed.
pub fn cautions(job: &Job, inspection: &Inspection) -> Vec<Caution> {
    let mut list = vec![Caution::NotPluggedIn, Caution::Discharge];
    let mut add = |is_so: bool, caution: Caution| {
        if is_so {
            list.push(caution);
        }
    };
    add(highest_ht(inspection) > HIGH_HT, Caution::HighHt);
    add(true, Caution::OneHand);
    add(job.chassis.supply == SupplyKind::Live, Caution::LiveChassis);
    add(job.chassis.supply == SupplyKind::Unknown, Caution::PerhapsLive);
    add(true, Caution::DoesNotIsolate);
    add(works_on_mains(job, inspection), Caution::MainsParts);
    add(job.chassis.mains.earth == Some(Earth::TwoCore), Caution::TwoCore);
    add(matches!(job.chassis.mains.earth, None | Some(Earth::Unknown)), Caution::EarthUnknown);
    add(job.parts.iter().any(|p| p.place == Some(Place::Bias)), Caution::FixedBias);
    add(job.parts.iter().any(|p| p.kind == PartKind::Valve), Caution::LoadOn);
    add(has_selenium(job), Caution::Selenium);
    add(job.parts.iter().any(|p| mentions(p, "asbestos") || is_line_cord(p)), Caution::Asbestos);
    add(job.parts.iter().any(|p| may_hold_pcb(p, job.chassis.year)), Caution::Pcb);
    list.push(Caution::Deference);
    list
}

/// The most that can be on any node or part of the job.
pub fn highest_ht(inspection: &Inspection) -> Volt {
    let nodes = inspection.supplies.iter().filter_map(|s| s.as_ref().ok()).flat_map(|s| &s.nodes);
    let parts = inspection.judgements.iter().filter_map(|j| j.stress.highest).map(|k| k.value.abs());
    nodes.map(|n| n.highest.abs()).chain(parts).fold(Volt::ZERO, Volt::max)
}

fn works_on_mains(job: &Job, inspection: &Inspection) -> bool {
    let worked_on = inspection.judgements.iter().filter(|j| j.decision != Decision::Keep);
    let on_mains = |p: &Part| {
        p.place.is_some_and(Place::is_mains) || matches!(p.kind, PartKind::Lead | PartKind::Fuse | PartKind::Suppressor)
    };
    worked_on.filter_map(|j| job.part(&j.reference)).any(on_mains)
}

fn has_selenium(job: &Job) -> bool {
    let supply = job.chassis.supplies.iter().any(|s| s.rectifier == RectifierKind::Selenium);
    supply || job.parts.iter().any(|p| p.kind == PartKind::Rectifier && mentions(p, "selenium"))
}

/// Whether the technician has written this word beside the part.
fn mentions(part: &Part, word: &str) -> bool {
    let texts = [Some(part.marked.as_str()), part.note.as_deref()];
    texts.into_iter().flatten().any(|t| t.to_lowercase().contains(word))
}

/// A lead that is itself a resistor is wound on asbestos in many sets.
fn is_line_cord(part: &Part) -> bool {
    part.kind == PartKind::Lead && (mentions(part, "resist") || part.place == Some(Place::Dropper))
}

fn may_hold_pcb(part: &Part, chassis_year: Option<i32>) -> bool {
    let oil = part.kind == PartKind::MotorRun || mentions(part, "oil");
    let year = part.fitted.or(chassis_year);
    part.kind.is_capacitor() && oil && year.is_none_or(|y| y <= PCB_UNTIL)
}
