//! Working voltage against the rating, with the margin of the bench.

use super::draft::find;
use super::held::{Held, is_over as over};
use super::say;
use super::{Rule, RuleMeta, Subject, Threshold};
use crate::limits::derating::{ELECTROLYTIC_WARN, ELECTROLYTIC_WORKING, FILM_WORKING, TANTALUM_WORKING};
use crate::model::finding::{Basis, Call, Finding, MeasureStage, OwnerCause};
use crate::model::kind::PartKind;
use crate::sources::SourceId;

/// Working voltage of capacitors.
#[derive(Debug)]
pub(super) struct WorkingVoltage;

static MOST: Threshold = Threshold {
    key: "working-voltage",
    default: 90.0,
    unit: "%",
    what: "working share of an electrolytic's rating above which renewing is advised",
    source: ELECTROLYTIC_WORKING.source,
};

static WARN: Threshold = Threshold {
    key: "working-voltage.warn",
    default: 80.0,
    unit: "%",
    what: "working share of an electrolytic's rating above which it is told",
    source: ELECTROLYTIC_WARN.source,
};

static FILM: Threshold = Threshold {
    key: "working-voltage.film",
    default: 60.0,
    unit: "%",
    what: "working share of a film, mica, ceramic or paper part's rating above which it is told",
    source: FILM_WORKING.source,
};

static TANTALUM: Threshold = Threshold {
    key: "working-voltage.tantalum",
    default: 50.0,
    unit: "%",
    what: "working share of a solid tantalum's rating above which renewing is advised",
    source: TANTALUM_WORKING.source,
};

static META: RuleMeta = RuleMeta {
    id: "working-voltage",
    title: "Capacitor works near or above its rating",
    what: "The working DC voltage across the capacitor as a share of its marked rating.",
    why: "Near its rating an electrolytic leaks most and leaves no room for high mains. Above it nothing is promised.",
    not_where: "Mains capacitors, which go by class; parts without a marked rating or without a known voltage. A \
                higher rating is never a fault.",
    remedy: "Replace by a part with more rating. Above 100 % at once.",
    safety: "An electrolytic above its rating may burst.",
    thresholds: &[MOST, WARN, FILM, TANTALUM],
    sources: &[SourceId::BenchShares, SourceId::BenchProfile],
    owner: Some(OwnerCause::Overloaded),
};

impl Rule for WorkingVoltage {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn check(&self, subject: &Subject<'_>, findings: &mut Vec<Finding>) {
        if !subject.part.kind.is_capacitor() || subject.on_mains() {
            return;
        }
        let Some((rated, working)) = subject.part.rating.volts.zip(subject.stress.working) else { return };
        let volts = working.value.abs();
        let share = volts / rated * 100.0;
        let figure = format!("works at {volts} ({}), {} of {rated}", working.basis, say::percent(share));
        if over(share, 100.0) {
            beyond(subject, working.basis, (share, &figure), findings);
            return;
        }
        let (held, call) = match subject.part.kind {
            PartKind::Electrolytic if over(share, subject.held(&MOST).value) => (subject.held(&MOST), Call::Advise),
            PartKind::Electrolytic => (subject.held(&WARN), Call::Note),
            PartKind::Tantalum => (subject.held(&TANTALUM), Call::Advise),
            _ => (subject.held(&FILM), Call::Note),
        };
        let call = if over(share, held.value) { call } else { Call::Note };
        let text = limit_text(&held);
        find(&META, held.source, call, format!("{figure} ({text})")).held(share, &held).add_to(findings);
    }
}

/// A part above its rating: replaced where the voltage is known, else measured first.
fn beyond(subject: &Subject<'_>, basis: Basis, (share, figure): (f64, &str), findings: &mut Vec<Finding>) {
    let known = matches!(basis, Basis::Measured | Basis::Computed);
    let call = if known { Call::Replace } else { Call::Test };
    let draft =
        find(&META, SourceId::HighestVoltage, call, format!("{figure}: above its rating")).against(share, 100.0, "%");
    let draft = match (known, subject.is_electrolytic()) {
        (true, true) => draft.safety().urgent(),
        (true, false) => draft.safety(),
        (false, _) => draft.measure(MeasureStage::AtVoltage, "read the voltage across it"),
    };
    draft.add_to(findings);
}

fn limit_text(held: &Held) -> String {
    say::limit(&format!("{} %", held.value), held.from_shop)
}
