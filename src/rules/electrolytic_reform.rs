//! Electrolytics of a museum piece: reformed and kept, where they are sound enough for it.

use super::draft::find;
use super::leak::{Leak, assess, limit, reading_text};
use super::say;
use super::{Rule, RuleMeta, Subject};
use crate::model::finding::{Call, Finding, MeasureStage};
use crate::model::part::Reading;
use crate::sources::SourceId;

/// Reforming in museum pieces.
#[derive(Debug)]
pub(super) struct ElectrolyticReform;

static META: RuleMeta = RuleMeta {
    id: "electrolytic-reform",
    title: "Electrolytic kept by reforming",
    what: "An electrolytic of a museum piece, undamaged and not failing: kept after reforming, out of circuit and \
           current limited, if its leakage then meets the limit and stands still.",
    why: "The owner wants as little changed as possible, and many old cans recover.",
    not_where: "Anything bulged, weeping, crusted or corroded; open or shorted parts; parts of working sets (replacing \
                is cheaper than the time); parts without value or voltage.",
    remedy: "Reform, write down date, voltage, time and final leakage, and repeat every year that the set stands.",
    safety: "Full HT on the bench for hours. Never leave it alone; stop at a warm can. DISCHARGE, THEN MEASURE.",
    thresholds: &[],
    sources: &[SourceId::ReformPractice, SourceId::JanC62, SourceId::OurReforming],
    owner: None,
};

impl Rule for ElectrolyticReform {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn check(&self, subject: &Subject<'_>, findings: &mut Vec<Finding>) {
        if !reformable(subject) {
            return;
        }
        let Some(limit) = limit(subject) else { return };
        let most = say::leakage(limit.most, limit.most);
        let good = matches!(assess(subject), Leak::Good(_));
        if let Some(reading) = subject.part.found.leakage.filter(|_| good) {
            let text = reading_text(reading, limit.most);
            let says = format!("museum piece: kept reformed, {text} (limit {most}); repeat yearly");
            find(&META, SourceId::ReformPractice, Call::Reform, says)
                .against(reading.current.milli(), limit.most.milli(), "mA")
                .shop(limit.from_shop)
                .add_to(findings);
        } else {
            let says = format!("museum piece: reform it, kept if leakage then stays within {most}");
            find(&META, SourceId::ReformPractice, Call::Reform, says)
                .measure(MeasureStage::AtVoltage, "reform out of circuit, then read the leakage")
                .add_to(findings);
        }
    }
}

/// Whether reforming is the way: a museum piece's electrolytic, undamaged, alive, of known limit.
pub(crate) fn reformable(subject: &Subject<'_>) -> bool {
    let dead = matches!(subject.part.found.reads, Some(Reading::Open | Reading::Short));
    subject.museum()
        && subject.is_electrolytic()
        && !dead
        && subject.damage().is_empty()
        && limit(subject).is_some()
        && !matches!(assess(subject), Leak::Over(_) if reformed_already(subject))
}

/// Whether the leakage was read after a time that counts as reforming.
fn reformed_already(subject: &Subject<'_>) -> bool {
    let time = subject.part.found.leakage.and_then(|l| l.after);
    time.is_some_and(|t| t >= crate::limits::reform::BENCH_MUST_FALL_WITHIN.value)
}
