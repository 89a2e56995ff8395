//! Cautions, chosen by what the job holds.
//!
//! They defer to local codes and licensed practice; each names its source or says that there is none.

use super::hold::iron;
use crate::model::chassis::{Earth, Iron, Job, Polarity, RectifierKind, SupplyKind};
use crate::model::finding::{Caution, Judgement};
use crate::model::kind::{PartKind, Place};
use crate::model::part::Part;
use crate::model::supply::SupplyOutcome;
use crate::physics::discharge::{HazardTable, is_hazardous};
use crate::sources::SourceId;
use crate::units::Volt;

/// From this HT on the caution names it.
const HIGH_HT: Volt = Volt::new(400.0);
/// Sets up to this year may hold asbestos.
const ASBESTOS_UP_TO: i32 = 1975;

/// A job with its judgements, as the cautions look at it.
struct Scene<'a> {
    job: &'a Job,
    judgements: &'a [Judgement],
    supplies: &'a [SupplyOutcome],
}

/// The cautions of a job, the general ones first.
pub fn cautions(job: &Job, judgements: &[Judgement], supplies: &[SupplyOutcome]) -> Vec<Caution> {
    let scene = Scene { job, judgements, supplies };
    let mut lines = Vec::new();
    let mut add = |says: String, source| lines.push(Caution { says, source: Some(source) });
    add(
        "work on mains and high voltage is for qualified persons; local codes and licensed practice come first"
            .to_owned(),
        SourceId::WorkshopHabit,
    );
    add("NOT TO BE PLUGGED IN before the cold checks are done".to_owned(), SourceId::WorkshopHabit);
    for part in [live, urgent, stored, high_ht, earth, mains_parts, bias] {
        if let Some((says, source)) = part(&scene) {
            add(says, source);
        }
    }
    for part in [no_fuse, selenium, asbestos, oil, unchecked_iron, unproved, uncounted, no_ceiling] {
        if let Some((says, source)) = part(&scene) {
            add(says, source);
        }
    }
    lines
}

/// Supply capacitors that no supply counts, since their node is on no line of the chassis sheet.
fn uncounted(scene: &Scene<'_>) -> Line {
    let found = scene.judgements.iter().flat_map(|j| j.findings.iter().map(move |f| (j, f)));
    let told: Vec<String> =
        found.filter(|(_, f)| f.rule == "supply-node").map(|(j, f)| format!("{}: {}", j.reference, f.says)).collect();
    (!told.is_empty()).then(|| (told.join("; "), SourceId::MissingIsNotGood))
}

/// A caution, if the job calls for it.
type Line = Option<(String, SourceId)>;

fn live(scene: &Scene<'_>) -> Line {
    let words = match scene.job.chassis.supply {
        SupplyKind::Transformer => return None,
        SupplyKind::Live => "LIVE CHASSIS",
        SupplyKind::Unknown => "kind of supply not known, so treat as LIVE CHASSIS",
    };
    let says = format!("{words}: ISOLATING TRANSFORMER on the bench; a VARIABLE TRANSFORMER DOES NOT ISOLATE");
    Some((says, SourceId::IsolationPractice))
}

fn urgent(scene: &Scene<'_>) -> Line {
    let refs: Vec<&str> = scene.judgements.iter().filter(|j| j.urgent).map(|j| j.reference.as_str()).collect();
    (!refs.is_empty()).then(|| (format!("no power until done: {}", refs.join(", ")), SourceId::WorkshopHabit))
}

fn stored(scene: &Scene<'_>) -> Line {
    let holds_charge = |(part, judgement): (&Part, &Judgement)| {
        let volts = judgement.stress.highest.or(judgement.stress.working).map(|k| k.value.abs()).or(part.rating.volts);
        part.farad().zip(volts).is_some_and(|(c, v)| is_hazardous(HazardTable::Nfpa, c, v))
    };
    scene.job.parts.iter().zip(scene.judgements).any(holds_charge).then(|| {
        let says = "stored charge can kill: DISCHARGE, THEN MEASURE; through a resistor, under 10 V before touching, \
                    and measure again, voltage creeps back";
        (says.to_owned(), SourceId::DischargePractice)
    })
}

fn high_ht(scene: &Scene<'_>) -> Line {
    let nodes = scene.supplies.iter().flatten().flat_map(|s| s.nodes.iter()).map(|n| n.highest.abs());
    let parts = scene.judgements.iter().filter_map(|j| j.stress.highest).map(|k| k.value.abs());
    let most = nodes.chain(parts).fold(Volt::ZERO, Volt::max);
    (HIGH_HT < most).then(|| {
        (
            format!("HT up to {most}: ONE HAND, insulated probes, nothing touched with power on"),
            SourceId::IsolationPractice,
        )
    })
}

fn earth(scene: &Scene<'_>) -> Line {
    let chassis = &scene.job.chassis;
    if chassis.supply != SupplyKind::Transformer && chassis.mains.earth == Some(Earth::ThreeCore) {
        let says = match chassis.supply {
            SupplyKind::Live => "LIVE CHASSIS WITH A MAINS EARTH: not plugged in before the earth is off the chassis",
            _ => {
                "a mains earth, and the kind of supply not known: find out before plugging in; a live chassis is never earthed"
            }
        };
        return Some((says.to_owned(), SourceId::LeadPractice));
    }
    if chassis.supply != SupplyKind::Transformer {
        return None;
    }
    let says = match chassis.mains.earth {
        Some(Earth::ThreeCore) => return None,
        Some(Earth::TwoCore) => {
            "two-core lead: the chassis is not earthed; three cores where construction and local code allow"
        }
        Some(Earth::Unknown) | None => "earth not known: treated as not earthed",
    };
    Some((says.to_owned(), SourceId::LeadPractice))
}

fn mains_parts(scene: &Scene<'_>) -> Line {
    let could_be = |j: &Judgement| j.findings.iter().any(|f| f.rule == "mains-unknown");
    let on_mains = |(p, j): &(&Part, &Judgement)| {
        p.place.is_some_and(|place| scene.job.chassis.mains_place(place).is_some())
            || p.kind == PartKind::Suppressor
            || could_be(j)
    };
    let parts = scene.job.parts.iter().zip(scene.judgements);
    let refs: Vec<&str> = parts.filter(on_mains).map(|(p, _)| p.reference.as_str()).collect();
    (!refs.is_empty()).then(|| {
        let also = if scene.judgements.iter().any(could_be) { ", or that could be," } else { "" };
        let says = format!(
            "parts on the mains{also} ({}): class X or Y only, never plain film, whatever its rating",
            refs.join(", ")
        );
        (says, SourceId::MainsClasses)
    })
}

fn no_fuse(scene: &Scene<'_>) -> Line {
    let listed = scene.job.parts.iter().any(|p| p.kind == PartKind::Fuse);
    (!listed).then(|| {
        let says = "no fuse on the list: see whether the set has one, of the right rating, in the live side";
        (says.to_owned(), SourceId::FusePractice)
    })
}

fn bias(scene: &Scene<'_>) -> Line {
    let negative = scene.job.chassis.supplies.iter().any(|s| s.polarity == Polarity::Negative);
    negative.then(|| {
        ("OUTPUT VALVES OUT until the bias has been measured at their holders".to_owned(), SourceId::WorkshopHabit)
    })
}

fn selenium(scene: &Scene<'_>) -> Line {
    let named = |p: &Part| p.kind == PartKind::Rectifier && p.marked.to_lowercase().contains("selenium");
    let supplies = &scene.job.chassis.supplies;
    let any = supplies.iter().any(|s| s.rectifier == RectifierKind::Selenium) || scene.job.parts.iter().any(named);
    any.then(|| {
        let says =
            "SELENIUM: a burning stack gives poisonous fumes; switch off, leave the room, dispose of it by local rules";
        (says.to_owned(), SourceId::HazardPractice)
    })
}

fn asbestos(scene: &Scene<'_>) -> Line {
    let note = |p: &Part| p.note.as_deref().is_some_and(|n| n.to_lowercase().contains("asbestos"));
    let hot = |p: &Part| p.kind == PartKind::Wirewound && p.place == Some(Place::Dropper);
    let old = scene.job.chassis.year.is_none_or(|year| year <= ASBESTOS_UP_TO);
    let any = scene.job.parts.iter().any(|p| note(p) || (old && hot(p)));
    any.then(|| {
        let says =
            "ASBESTOS: pads and sleeving at droppers and valve rectifiers may hold it; do not cut, scrape or blow";
        (says.to_owned(), SourceId::HazardPractice)
    })
}

fn oil(scene: &Scene<'_>) -> Line {
    let any = scene.job.parts.iter().any(|p| p.kind == PartKind::MotorRun);
    any.then(|| {
        let says = "old oil-filled capacitors may hold PCB oil: gloves, do not open, dispose of by local rules";
        (says.to_owned(), SourceId::HazardPractice)
    })
}

fn unchecked_iron(scene: &Scene<'_>) -> Line {
    let pieces: Vec<&str> =
        iron(&scene.job.chassis).into_iter().filter(|(_, s)| *s == Iron::Unchecked).map(|(piece, _)| piece).collect();
    (!pieces.is_empty()).then(|| {
        (format!("{} not checked: measure before anything is ordered", pieces.join(", ")), SourceId::IronFirst)
    })
}

fn unproved(scene: &Scene<'_>) -> Line {
    let names: Vec<&str> = scene.supplies.iter().filter_map(|s| s.as_ref().err()).map(|u| u.name.as_str()).collect();
    (!names.is_empty()).then(|| {
        let says =
            format!("supply {} not computed: ratings are held to the original's only, unproved", names.join(", "));
        (says, SourceId::MissingIsNotGood)
    })
}

fn no_ceiling(scene: &Scene<'_>) -> Line {
    let missing = scene.job.chassis.ceiling.is_none();
    missing.then(|| {
        ("no ceiling authorised: nothing is ordered without the owner's go-ahead".to_owned(), SourceId::OwnersChoice)
    })
}
