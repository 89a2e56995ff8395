//! Capacitors on the mains without the class that the place asks for.

use super::draft::find;
use super::mains_paper::renewal;
use super::{Rule, RuleMeta, Subject};
use crate::model::finding::{Call, Finding, OwnerCause};
use crate::model::kind::{MainsClass, PartKind, Place};
use crate::sources::SourceId;

/// Class of mains capacitors.
#[derive(Debug)]
pub(super) struct MainsClassRule;

static META: RuleMeta = RuleMeta {
    id: "mains-class",
    title: "Mains capacitor without the class for its place",
    what: "A capacitor on the mains that is not paper and has no class mark, or class X where a failure could give a \
           shock. The right class is told too.",
    why: "Class X and Y parts are tested with impulses of 2.5 to 8 kV and are made to fail safely. A plain film, \
          ceramic or mica part is not, whatever its DC rating.",
    not_where: "Paper (see mains-paper) and parts that are not on the mains; the sockets of a set with a mains \
                transformer are not. A part from line to a live chassis stands from line to line.",
    remedy: "Line to chassis: class Y. Line to line: class X or Y. Socket to live chassis: class Y1 or two Y2 in \
             series. From line to chassis of an earthed set it may be left out.",
    safety: "Mains wiring is for people qualified to do it; local codes and licensed practice come first.",
    thresholds: &[],
    sources: &[SourceId::MainsClasses, SourceId::Iec60384Part14],
    owner: Some(OwnerCause::Mains),
};

impl Rule for MainsClassRule {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn check(&self, subject: &Subject<'_>, findings: &mut Vec<Finding>) {
        let Some(place) = subject.mains_place() else { return };
        if subject.part.kind == PartKind::Paper || !subject.on_mains() {
            return;
        }
        if let Some(class) = subject.part.rating.class.filter(|c| will_do(*c, place)) {
            let says = format!("class {} {place}: the class for this place", class.mark());
            find(&META, SourceId::MainsClasses, Call::Keep, says).add_to(findings);
            return;
        }
        let mark = subject.part.rating.class.map_or_else(
            || "no class mark: may kill or burn".to_owned(),
            |c| format!("class {} will not do here", c.mark()),
        );
        let (call, advice) = renewal(subject);
        let says = format!("{mark}; {advice}");
        find(&META, SourceId::MainsClasses, call, says).safety().urgent().add_to(findings);
    }
}

/// Whether a part of this class may stand in this mains place.
const fn will_do(class: MainsClass, place: Place) -> bool {
    match place {
        Place::LineToLine => true,
        Place::AerialIsolation => matches!(class, MainsClass::Y1),
        _ => matches!(class, MainsClass::Y1 | MainsClass::Y2),
    }
}
