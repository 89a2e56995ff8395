//! Resistors browned, burnt or cracked.

use super::draft::find;
use super::state::sight_words;
use super::{Rule, RuleMeta, Subject};
use crate::model::finding::{Call, Finding, MeasureStage, OwnerCause};
use crate::model::kind::Place;
use crate::sources::SourceId;

/// Sight of resistors.
#[derive(Debug)]
pub(super) struct ResistorSight;

static META: RuleMeta = RuleMeta {
    id: "resistor-sight",
    title: "Resistor browned, burnt or cracked",
    what: "Damage seen on a resistor.",
    why: "Something made it too hot. A browned screen resistor tells of an output valve that has died or of a coupling \
          capacitor that leaks.",
    not_where: "`ok` is no reading.",
    remedy: "Replace; screen, dropper and stopper resistors by flameproof or wirewound parts. Check the valve and the \
             coupling capacitor before the set is powered.",
    safety: "",
    thresholds: &[],
    sources: &[SourceId::SightPractice, SourceId::ScreenResistor],
    owner: Some(OwnerCause::Damaged),
};

impl Rule for ResistorSight {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn check(&self, subject: &Subject<'_>, findings: &mut Vec<Finding>) {
        let damage = subject.damage();
        if !subject.part.kind.is_resistor() || damage.is_empty() {
            return;
        }
        let words = sight_words(&damage);
        if subject.part.place == Some(Place::Screen) {
            let says = format!("{words} at a screen: check its valve and coupling capacitor first");
            find(&META, SourceId::ScreenResistor, Call::Replace, says)
                .measure(MeasureStage::AtVoltage, "test the valve, and read the DC on its grid with the valve out")
                .add_to(findings);
        } else {
            find(&META, SourceId::SightPractice, Call::Replace, format!("{words}: find what heated it"))
                .add_to(findings);
        }
    }
}
