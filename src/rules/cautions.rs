//! Cautions, chosen by what the job holds.
//!
//! They defer to local codes and licensed practice; each names its source or says that there is none.

use super::hold::iron;
use crate::limits::discharge::SAFE_DC;
use crate::model::chassis::{Earth, Iron, Job, Polarity, RectifierKind, SupplyKind};
use crate::model::finding::{Caution, Judgement};
use crate::model::kind::{PartKind, Place};
use crate::model::part::Part;
use crate::model::supply::SupplyOutcome;
use crate::physics::discharge::{HazardTable, is_hazardous};
use crate::sources::SourceId;
use crate::units::Volt;

/// Heaters more than this off their voltage are cautioned against, percent (common practice, no source).
const HEATERS_OFF_PERCENT: f64 = 10.0;
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
    for part in [live, urgent, stored, touchable, earth, mains_parts, bias, tapping] {
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

/// Any voltage above what may be touched can kill; the figure is the most there can be anywhere in the set.
fn touchable(scene: &Scene<'_>) -> Line {
    let nodes = scene.supplies.iter().flatten().flat_map(|s| s.nodes.iter()).map(|n| n.highest.abs());
    let parts = scene.judgements.iter().filter_map(|j| j.stress.highest).map(|k| k.value.abs());
    let most = nodes.chain(parts).fold(Volt::ZERO, Volt::max);
    let unproved = scene.supplies.iter().any(Result::is_err);
    let what = if SAFE_DC.value < most {
        format!("HT up to {most}, and {} is the most that may be touched", SAFE_DC.value)
    } else if unproved {
        "HT not known, to be taken as deadly".to_owned()
    } else {
        return None;
    };
    Some((format!("{what}: ONE HAND, insulated probes, nothing touched with power on"), SAFE_DC.source))
}

/// Heaters and HT follow the mains over the tapping.
fn tapping(scene: &Scene<'_>) -> Line {
    let mains = &scene.job.chassis.mains;
    let (measured, tapping) = mains.measured.zip(mains.tapping)?;
    let off = (mains.loaded_factor() - 1.0) * 100.0;
    (HEATERS_OFF_PERCENT < off.abs()).then(|| {
        let way = if off > 0.0 { "high" } else { "low" };
        let says = format!(
            "mains {measured} on the {tapping} tapping: heaters and HT {:.0} % {way}; set the tapping that is nearest, \
             or bring the mains down to it, before power (heaters within {HEATERS_OFF_PERCENT} %)",
            off.abs()
        );
        (says, SourceId::WorkshopHabit)
    })
}

fn earth(scene: &Scene<'_>) -> Line {
    let chassis = &scene.job.chassis;
    if chassis.supply != SupplyKind::Transformer && chassis.mains.earth == Some(Earth::ThreeCore) {
        let says = match chassis.supply {
            SupplyKind::Live => "LIVE CHASSIS WITH A MAINS EARTH: not plugged in before the earth is off the chassis",
            _ => {
                "a mains earth, and the kind of supply not known: find out before plugging in; a live chassis is never \
                 earthed"
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
    // Between the mains and what can be touched class X is barred; the chassis of a live set is the mains itself.
    let live = scene.job.chassis.supply == SupplyKind::Live;
    let across = |p: &Part| p.place == Some(Place::LineToLine) || (live && p.place == Some(Place::LineToChassis));
    let parts: Vec<(&Part, &Judgement)> =
        scene.job.parts.iter().zip(scene.judgements).filter(|(p, j)| on_mains(&(p, j))).collect();
    let refs = |wanted: bool| -> String {
        let of = parts.iter().filter(|(p, _)| across(p) == wanted).map(|(p, _)| p.reference.as_str());
        of.collect::<Vec<_>>().join(", ")
    };
    let also = if scene.judgements.iter().any(could_be) { ", or that could be," } else { "" };
    let groups = [(refs(true), "class X or Y only"), (refs(false), "class Y only, for it can be touched behind them")];
    let groups: Vec<String> = groups
        .into_iter()
        .filter(|(refs, _)| !refs.is_empty())
        .map(|(refs, class)| format!("({refs}) {class}"))
        .collect();
    (!groups.is_empty()).then(|| {
        let says = format!("parts on the mains{also} {}; never plain film, whatever its rating", groups.join("; "));
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
