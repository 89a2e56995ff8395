//! Parts whose value or type cannot be known from the sheet.

use super::draft::find;
use super::{Rule, RuleMeta, Subject};
use crate::model::finding::{Call, Finding, MeasureStage};
use crate::sources::SourceId;

/// Unknown values.
#[derive(Debug)]
pub(super) struct ValueUnknown;

static META: RuleMeta = RuleMeta {
    id: "value-unknown",
    title: "Value or type not known",
    what: "A capacitor or resistor without a value, or a valve, lamp, fuse or other named part without a type.",
    why: "What cannot be named cannot be ordered. A guess never speaks for keeping a part.",
    not_where: "A part whose substitute the technician has named (accept), or that is left out.",
    remedy: "Read it off the part, the service sheet or its twin in the other channel.",
    safety: "",
    thresholds: &[],
    sources: &[SourceId::MissingIsNotGood],
    owner: None,
};

impl Rule for ValueUnknown {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn check(&self, subject: &Subject<'_>, findings: &mut Vec<Finding>) {
        let part = subject.part;
        let accept = &part.accept;
        let named = accept.farad.is_some() || accept.ohm.is_some() || accept.designation.is_some();
        if part.value.is_some() || named {
            return;
        }
        let (says, what) = if part.kind.is_designated() {
            ("type not known", "read the type off the part or the service sheet")
        } else {
            ("value not known", "read the value off the part or the service sheet")
        };
        find(&META, SourceId::MissingIsNotGood, Call::FindOut, says).measure(MeasureStage::Look, what).add_to(findings);
    }
}
