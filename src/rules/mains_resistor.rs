//! Resistors across the capacitors that keep the mains from what can be touched.

use super::draft::find;
use super::{Rule, RuleMeta, Subject};
use crate::limits::mains::ASSUMED_MAINS;
use crate::model::finding::{Call, Finding, OwnerCause};
use crate::sources::SourceId;
use crate::units::Ohm;

/// Resistors across mains isolation.
#[derive(Debug)]
pub(super) struct MainsResistor;

static META: RuleMeta = RuleMeta {
    id: "mains-resistor",
    title: "Resistor across the isolation from the mains",
    what: "A resistor with both ends at the ends of a capacitor from line to chassis, or from a touchable socket to a \
           live chassis.",
    why: "It passes the mains into whoever touches the socket, and an ordinary one undoes what the class Y part beside \
          it is there for: it is tested with no impulse, and old composition may fail low.",
    not_where: "Resistors from line to line, and sets whose sockets are apart from the mains by a transformer. Without \
                both of its nodes it is not seen.",
    remedy: "Leave it out; it only carried off the static charge of an aerial. Where it is wanted, one that its maker \
             rates across mains insulation, so large that with the capacitors the touch current stays within its \
             limit.",
    safety: "Work on the mains side is for people qualified to do it; local codes and licensed practice come first.",
    thresholds: &[],
    sources: &[SourceId::MainsResistors, SourceId::Iec62368],
    owner: Some(OwnerCause::Mains),
};

impl Rule for MainsResistor {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn check(&self, subject: &Subject<'_>, findings: &mut Vec<Finding>) {
        let Some(capacitor) = subject.job.bridged_isolation(subject.part) else { return };
        let volts = subject.job.chassis.mains.volts().unwrap_or(ASSUMED_MAINS);
        let passes = subject
            .part
            .ohm()
            .filter(|r| Ohm::ZERO < *r)
            .map_or_else(String::new, |ohm| format!(", {} at {volts} through it alone", volts / ohm));
        let says = format!(
            "across {}, which keeps the mains from what can be touched{passes}: leave it out, or fit one rated by its \
             maker across mains insulation",
            capacitor.reference
        );
        find(&META, SourceId::MainsResistors, Call::Omit, says).safety().urgent().add_to(findings);
    }
}
