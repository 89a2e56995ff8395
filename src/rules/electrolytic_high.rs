//! Electrolytics that read far above their marking: a contradiction, and a sign of leakage.

use super::draft::find;
use super::electrolytic_reform::reformable;
use super::held::is_under;
use super::leak::{Leak, assess};
use super::say;
use super::{Rule, RuleMeta, Subject, Threshold};
use crate::model::finding::{Call, Finding, MeasureStage, OwnerCause};
use crate::sources::SourceId;

/// Capacitance far above the marking.
#[derive(Debug)]
pub(super) struct ElectrolyticHigh;

pub(crate) static HIGH: Threshold = Threshold {
    key: "electrolytic-high",
    default: 130.0,
    unit: "%",
    what: "capacitance from which the reading itself is doubted, share of the marking",
    source: SourceId::RetronicsPage,
};

static META: RuleMeta = RuleMeta {
    id: "electrolytic-high",
    title: "Electrolytic reads far above its marking",
    what: "A capacitance reading at or above the limit. It is printed as a contradiction, never averaged.",
    why: "Leakage disturbs the meter: a 20 µF part read over 30 µF while it passed 4.5 mA, and came down after \
          reforming.",
    not_where: "Where a leakage reading near the working voltage is within its limit, or the part is reformed in a \
                museum piece, the reading is only told. A marked plus tolerance wider than the limit is allowed for.",
    remedy: "Measure the leakage at voltage before trusting it. If it was read in circuit, lift one end and read again \
             first.",
    safety: "The leakage test puts the full HT on the bench.",
    thresholds: &[HIGH],
    sources: &[SourceId::RetronicsPage],
    owner: Some(OwnerCause::Passing),
};

impl Rule for ElectrolyticHigh {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn check(&self, subject: &Subject<'_>, findings: &mut Vec<Finding>) {
        if !reads_high(subject) {
            return;
        }
        let Some((reads, marked)) = subject.reads_farad().zip(subject.part.farad()) else { return };
        let (held, from) = (subject.held(&HIGH), doubted_from(subject));
        let share = reads / marked * 100.0;
        let by_tolerance = if held.value < from { " by its tolerance" } else { "" };
        let limit = say::limit(&format!("{from} %{by_tolerance}"), held.from_shop && by_tolerance.is_empty());
        let figure = format!("contradiction: marked {marked}, reads {reads}, {} ({limit})", say::percent(share));
        let draft = |call, remark: &str| {
            find(&META, held.source, call, format!("{figure}{remark}")).held(share, &held).against(share, from, "%")
        };
        match assess(subject) {
            Leak::Good(_) => draft(Call::Note, "; leakage is within its limit").add_to(findings),
            _ if reformable(subject) => {
                draft(Call::Note, "; leakage suspected, reforming settles it").add_to(findings);
            }
            _ if subject.part.read_in_circuit() => draft(Call::Test, "; a part in parallel, or leakage")
                .measure(MeasureStage::OutOfCircuit, "lift one end and read again")
                .add_to(findings),
            _ => draft(Call::Test, "; leakage suspected, not health")
                .measure(MeasureStage::AtVoltage, super::electrolytic_readings::leakage_reading(subject))
                .add_to(findings),
        }
    }
}

/// Whether an electrolytic reads so far above its marking that the reading is doubted.
pub(crate) fn reads_high(subject: &Subject<'_>) -> bool {
    let Some((reads, marked)) = subject.reads_farad().zip(subject.part.farad()) else { return false };
    subject.is_electrolytic() && !is_under(reads / marked * 100.0, doubted_from(subject))
}

/// The share of the marking from which a reading is doubted, percent: the limit, or the marked plus tolerance
/// where that is wider.
fn doubted_from(subject: &Subject<'_>) -> f64 {
    let allowed = 100.0 + subject.part.rating.tolerance.map_or(0.0, |t| t.plus_percent);
    subject.held(&HIGH).value.max(allowed)
}
