//! What flows through capacitors from the mains into whoever touches an unearthed chassis.

use super::draft::find;
use super::held::is_over;
use super::say;
use super::state::earthed;
use super::{Rule, RuleMeta, Subject, Threshold};
use crate::limits::mains::{ASSUMED_MAINS, CHASSIS_CAPACITANCE, ES1_CURRENT_AC};
use crate::model::finding::{Call, Finding, MeasureStage, OwnerCause};
use crate::model::kind::Place;
use crate::model::part::Part;
use crate::physics::mains::touch_current;
use crate::sources::SourceId;
use crate::units::{Ampere, Farad, Ohm};

/// Touch current of mains capacitors.
#[derive(Debug)]
pub(super) struct MainsTouch;

static CURRENT: Threshold = Threshold {
    key: "mains-touch",
    default: 0.5,
    unit: "mA",
    what: "touch current through capacitors from the mains, rms; may be set lower, not higher",
    source: ES1_CURRENT_AC.source,
};

static CAPACITANCE: Threshold = Threshold {
    key: "mains-touch.capacitance",
    default: 4.7,
    unit: "nF",
    what: "all capacitance from the mains to one unearthed chassis, or to all sockets of a live one; may be set lower, \
           not higher",
    source: CHASSIS_CAPACITANCE.source,
};

static META: RuleMeta = RuleMeta {
    id: "mains-touch",
    title: "Touch current through mains capacitors",
    what: "The current 2·π·f·C·V through all capacitors from the mains to a chassis that is not earthed, and through \
           all those from a live chassis to its touchable sockets together, with what a resistor across one of them \
           adds.",
    why: "A class Y part of the old value still gives a shock: 0.05 µF at 240 V 50 Hz passes 3.8 mA.",
    not_where: "An earthed chassis (told, not judged), capacitors from line to line, which one from line to a live \
                chassis is too, and the sockets of a set with a mains transformer.",
    remedy: "Class Y, 4.7 nF or less in all, or earth the chassis where its construction and local code allow.",
    safety: "Work on the mains side is for people qualified to do it; local codes and licensed practice come first.",
    thresholds: &[CURRENT, CAPACITANCE],
    sources: &[SourceId::Iec62368, SourceId::OurChassisCapacitance, SourceId::CircuitLaw],
    owner: Some(OwnerCause::Mains),
};

impl Rule for MainsTouch {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn check(&self, subject: &Subject<'_>, findings: &mut Vec<Finding>) {
        let Some(place) = subject.mains_place().filter(|place| *place != Place::LineToLine) else { return };
        if !subject.part.kind.is_capacitor() {
            return;
        }
        let Some(total) = all_at(subject, place) else {
            find(&META, SourceId::MissingIsNotGood, Call::Note, "value not known: touch current not computed")
                .measure(MeasureStage::Look, "read the value off the part or the service sheet")
                .add_to(findings);
            return;
        };
        judge(subject, &total, findings);
    }
}

/// Everything that passes current from the mains into whoever touches.
struct Total<'a> {
    /// All capacitance.
    farad: Farad,
    /// The capacitors, in the order of the job.
    refs: Vec<&'a str>,
    /// The resistors across them, with their conductances' sum in siemens.
    across: (Vec<&'a str>, f64),
}

/// Holds the current and the capacitance against their limits.
fn judge(subject: &Subject<'_>, all: &Total<'_>, findings: &mut Vec<Finding>) {
    let total = all.farad;
    let mains = &subject.job.chassis.mains;
    let volts = mains.volts().unwrap_or(ASSUMED_MAINS);
    // The current of a resistor is a quarter of a period apart from that of a capacitor.
    let through = volts.get() * all.across.1;
    let current = Ampere::new(touch_current(total, volts, mains.frequency()).get().hypot(through));
    let (held, most) = (subject.held_safe(&CURRENT), subject.held_safe(&CAPACITANCE));
    let assumed = if mains.volts().is_none() { ", 250 V mains assumed" } else { "" };
    let together = if all.refs.len() > 1 { format!(" of {} together", all.refs.join(", ")) } else { String::new() };
    let beside = if all.across.0.is_empty() { String::new() } else { format!(" and {}", all.across.0.join(", ")) };
    let figure = format!(
        "{} touch current through {total}{together}{beside} at {volts} {}{assumed}",
        say::leakage(current, Ampere::from_milli(held.value)),
        mains.frequency()
    );
    if subject.part.place == Some(Place::LineToChassis) && earthed(subject.job) {
        find(&META, held.source, Call::Note, format!("{figure}: taken by the earth")).add_to(findings);
        return;
    }
    let over_capacitance = is_over(total.get() * 1e9, most.value);
    if is_over(current.milli(), held.value) {
        let says = format!("{figure} ({})", say::limit(&format!("{} mA", held.value), held.from_shop));
        find(&META, held.source, Call::Replace, says).held(current.milli(), &held).safety().add_to(findings);
    } else if over_capacitance {
        let says = format!(
            "{total}{together} from the mains ({})",
            say::limit(&format!("{} nF in all", most.value), most.from_shop)
        );
        find(&META, most.source, Call::Replace, says).held(total.get() * 1e9, &most).safety().add_to(findings);
    } else {
        let says = format!("{figure} ({})", say::limit(&format!("{} mA", held.value), held.from_shop));
        find(&META, held.source, Call::Note, says).held(current.milli(), &held).add_to(findings);
    }
}

/// All that is at the same place, the part itself included; `None` when one of the values is not known.
fn all_at<'a>(subject: &Subject<'a>, place: Place) -> Option<Total<'a>> {
    let job = subject.job;
    let parts: Vec<&Part> = job.at_mains_place(place).collect();
    let farad = parts.iter().map(|p| p.farad()).sum::<Option<Farad>>()?;
    let here = |c: &Part| parts.iter().any(|p| p.reference == c.reference);
    let resistors: Vec<&Part> = job.parts.iter().filter(|p| job.bridged_isolation(p).is_some_and(here)).collect();
    let siemens = resistors.iter().filter_map(|p| p.ohm()).filter(|r| Ohm::ZERO < *r).map(|r| 1.0 / r.get()).sum();
    let refs = |parts: Vec<&'a Part>| parts.into_iter().map(|p| p.reference.as_str()).collect();
    Some(Total { farad, refs: refs(parts), across: (refs(resistors), siemens) })
}
