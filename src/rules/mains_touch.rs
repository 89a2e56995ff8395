//! What flows through capacitors from the mains into whoever touches an unearthed chassis.

use super::draft::find;
use super::say;
use super::state::earthed;
use super::{Rule, RuleMeta, Subject, Threshold};
use crate::limits::mains::{CHASSIS_CAPACITANCE, ES1_CURRENT_AC};
use crate::model::finding::{Call, Finding, MeasureStage};
use crate::model::kind::Place;
use crate::physics::mains::touch_current;
use crate::sources::SourceId;
use crate::units::{Ampere, Farad, Volt};

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
    what: "all capacitance from the mains to one unearthed chassis or socket; may be set lower, not higher",
    source: CHASSIS_CAPACITANCE.source,
};

/// The mains that is reckoned with when the sheet gives none.
const ASSUMED_MAINS: Volt = Volt::new(250.0);

static META: RuleMeta = RuleMeta {
    id: "mains-touch",
    title: "Touch current through mains capacitors",
    what: "The current 2·π·f·C·V through all capacitors from the mains to a chassis that is not earthed, and through \
           each capacitor from a live chassis to a touchable socket.",
    why: "A class Y part of the old value still gives a shock: 0.05 µF at 240 V 50 Hz passes 3.8 mA.",
    not_where: "An earthed chassis (told, not judged) and capacitors from line to line.",
    remedy: "Class Y, 4.7 nF or less in all, or earth the chassis where its construction and local code allow.",
    safety: "Work on the mains side is for people qualified to do it; local codes and licensed practice come first.",
    thresholds: &[CURRENT, CAPACITANCE],
    sources: &[SourceId::Iec62368, SourceId::OurChassisCapacitance, SourceId::CircuitLaw],
};

impl Rule for MainsTouch {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn check(&self, subject: &Subject<'_>, findings: &mut Vec<Finding>) {
        let total = match subject.part.place {
            Some(Place::LineToChassis) => to_chassis(subject),
            Some(Place::AerialIsolation) => subject.part.farad(),
            _ => return,
        };
        if !subject.part.kind.is_capacitor() {
            return;
        }
        let Some(total) = total else {
            find(&META, SourceId::MissingIsNotGood, Call::Note, "value not known: touch current not computed")
                .measure(MeasureStage::Look, "read the value off the part or the service sheet")
                .add_to(findings);
            return;
        };
        judge(subject, total, findings);
    }
}

/// Holds the current and the capacitance against their limits.
fn judge(subject: &Subject<'_>, total: Farad, findings: &mut Vec<Finding>) {
    let mains = &subject.job.chassis.mains;
    let volts = mains.volts().unwrap_or(ASSUMED_MAINS);
    let current = touch_current(total, volts, mains.frequency());
    let (held, most) = (subject.held_safe(&CURRENT), subject.held_safe(&CAPACITANCE));
    let assumed = if mains.volts().is_none() { ", 250 V mains assumed" } else { "" };
    let figure = format!(
        "{} touch current through {total} at {volts} {}{assumed}",
        say::leakage(current, Ampere::from_milli(held.value)),
        mains.frequency()
    );
    if subject.part.place == Some(Place::LineToChassis) && earthed(subject.job) {
        find(&META, held.source, Call::Note, format!("{figure}: taken by the earth")).add_to(findings);
        return;
    }
    // A hair is allowed so that a part of exactly the limit passes whatever the last bit says.
    let over_capacitance = most.value * (1.0 + 1e-9) < total.get() * 1e9;
    if held.value < current.milli() {
        let says = format!("{figure} ({})", say::limit(&format!("{} mA", held.value), held.from_shop));
        find(&META, held.source, Call::Replace, says).held(current.milli(), &held).safety().add_to(findings);
    } else if over_capacitance {
        let says =
            format!("{total} from the mains ({})", say::limit(&format!("{} nF in all", most.value), most.from_shop));
        find(&META, most.source, Call::Replace, says).held(total.get() * 1e9, &most).safety().add_to(findings);
    } else {
        let says = format!("{figure} ({})", say::limit(&format!("{} mA", held.value), held.from_shop));
        find(&META, held.source, Call::Note, says).held(current.milli(), &held).add_to(findings);
    }
}

/// All capacitance from line to chassis; `None` when one of the values is not known.
fn to_chassis(subject: &Subject<'_>) -> Option<Farad> {
    let parts = subject.job.parts.iter().filter(|p| p.place == Some(Place::LineToChassis) && p.kind.is_capacitor());
    parts.map(crate::model::part::Part::farad).sum()
}
