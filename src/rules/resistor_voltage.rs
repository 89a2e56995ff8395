//! Working voltage of resistors against what their bodies stand.

use super::draft::find;
use super::held::is_over;
use super::resistor_dissipation::body;
use super::say;
use super::{Rule, RuleMeta, Subject, Threshold};
use crate::model::finding::{Basis, Call, Finding, MeasureStage, OwnerCause};
use crate::physics::resistor::working_voltage_limit;
use crate::sources::SourceId;
use crate::units::Volt;

/// Working voltage of resistors.
#[derive(Debug)]
pub(super) struct ResistorVoltage;

static SHARE: Threshold = Threshold {
    key: "resistor-voltage",
    default: 100.0,
    unit: "%",
    what: "voltage across it, share of what its body stands",
    source: SourceId::CompositionSheet,
};

static META: RuleMeta = RuleMeta {
    id: "resistor-voltage",
    title: "Resistor works above its voltage limit",
    what: "The working voltage across the part against its limiting voltage as marked, else by kind and watts from \
           makers' sheets.",
    why: "A half-watt part may not stand 400 V whatever its ohms; it arcs along the body and drifts.",
    not_where: "Wirewound and fusible parts without a marked limit; parts without a known voltage or without watts.",
    remedy: "Replace by a larger body or two in series.",
    safety: "",
    thresholds: &[SHARE],
    sources: &[SourceId::CompositionSheet, SourceId::CarbonFilmSheet, SourceId::MetalFilmSheet, SourceId::MilPrf39005],
    owner: Some(OwnerCause::Overloaded),
};

impl Rule for ResistorVoltage {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn check(&self, subject: &Subject<'_>, findings: &mut Vec<Finding>) {
        let part = subject.part;
        if !part.kind.is_resistor() {
            return;
        }
        let Some(working) = subject.stress.working else { return };
        let Some((limit, source)) = body_limit(subject) else { return };
        let held = subject.held(&SHARE);
        let (volts, limit) = (working.value.abs(), limit * (held.value / 100.0));
        let text = say::limit(&limit.to_string(), held.from_shop);
        let says = format!("{volts} across it ({}) ({text})", working.basis);
        let known = matches!(working.basis, Basis::Measured | Basis::Computed);
        let call = match (is_over(volts.get(), limit.get()), known) {
            (false, _) => Call::Note,
            (true, true) => Call::Replace,
            (true, false) => Call::Test,
        };
        let draft = find(&META, source, call, says).against(volts.get(), limit.get(), "V").shop(held.from_shop);
        let draft = if call == Call::Test {
            draft.measure(MeasureStage::AtVoltage, "read the voltage across it")
        } else {
            draft
        };
        draft.add_to(findings);
    }
}

/// The limiting voltage: as marked, else by kind and watts.
fn body_limit(subject: &Subject<'_>) -> Option<(Volt, SourceId)> {
    let part = subject.part;
    if let Some(marked) = part.rating.volts {
        return Some((marked, SourceId::MilPrf39005));
    }
    working_voltage_limit(body(part.kind)?, part.rating.watts?).map(|limit| (limit.value, limit.source))
}
