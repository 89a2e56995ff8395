//! Leakage of electrolytics: the reading that decides.

use super::draft::find;
use super::leak::{Leak, LeakLimit, assess, minutes, reading_text};
use super::say;
use super::{Rule, RuleMeta, Subject, Threshold};
use crate::model::finding::{Call, Finding, MeasureStage, OwnerCause};
use crate::model::part::LeakageReading;
use crate::sources::SourceId;

/// Leakage of electrolytics.
#[derive(Debug)]
pub(super) struct ElectrolyticLeakage;

pub(crate) static FACTOR: Threshold = Threshold {
    key: "electrolytic-leakage",
    default: 1.0,
    unit: "times",
    what: "multiple of the leakage limit (old parts K·C + 0.3 mA, newer ones by the maker's formula)",
    source: SourceId::JanC62,
};

pub(crate) static NEAR: Threshold = Threshold {
    key: "electrolytic-leakage.near",
    default: 80.0,
    unit: "%",
    what: "share of the rated or working voltage (the lower) from which a good reading counts",
    source: SourceId::NearVoltageRule,
};

pub(crate) static OLD_YEARS: Threshold = Threshold {
    key: "electrolytic-leakage.old-years",
    default: 30.0,
    unit: "years",
    what: "age above which the limit of old parts holds",
    source: SourceId::AgeRule,
};

pub(crate) static ABOVE_RATING: Threshold = Threshold {
    key: "electrolytic-leakage.above-rating",
    default: 105.0,
    unit: "%",
    what: "test voltage, share of the rating, above which a reading does not speak against the part",
    source: SourceId::NearVoltageRule,
};

static META: RuleMeta = RuleMeta {
    id: "electrolytic-leakage",
    title: "Leakage of an electrolytic",
    what: "The leakage current after its minutes at voltage. The limit of old parts is K·C + 0.3 mA with C in µF, at \
           most 10 mA: K is 0.01 up to 100 V rated, 0.02 to 250 V, 0.025 to 350 V, 0.04 above. Newer parts have the \
           maker's limit: 0.01·C·V µA, at least 3, up to 100 V; above, 0.03·C·V + 15 µA, or 0.02·C·V + 25 µA where C·V \
           is over 1000.",
    why: "Leakage is what heats and bursts an HT electrolytic. It is the deciding reading; capacitance and series \
          resistance come second.",
    not_where: "A reading well below the working voltage counts only against the part, never for it. One above the \
                limit but read too early is to be read again. A part whose value or voltage is not known has no limit.",
    remedy: "Replace. In a museum piece a part over the limit that was not reformed yet may be reformed and read \
             again.",
    safety: "The test puts the full HT on the bench. DISCHARGE, THEN MEASURE, through a resistor.",
    thresholds: &[FACTOR, NEAR, ABOVE_RATING, OLD_YEARS],
    sources: &[SourceId::JanC62, SourceId::RgaSheet, SourceId::NearVoltageRule, SourceId::AgeRule],
    owner: Some(OwnerCause::Passing),
};

impl Rule for ElectrolyticLeakage {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn check(&self, subject: &Subject<'_>, findings: &mut Vec<Finding>) {
        if !subject.is_electrolytic() {
            return;
        }
        let Some(reading) = subject.part.found.leakage else { return };
        match assess(subject) {
            Leak::Missing => {}
            Leak::NoLimit => {
                let says = format!("{}: no limit without value and voltage", reading_text(reading, reading.current));
                find(&META, SourceId::MissingIsNotGood, Call::Note, says).add_to(findings);
            }
            Leak::Good(limit) => told("", Call::Keep, reading, limit).add_to(findings),
            Leak::TooLow(limit) => {
                told(": does not count, not near the working voltage", Call::Note, reading, limit).add_to(findings);
            }
            Leak::Over(limit) => over(subject, reading, limit, findings),
            Leak::Early(limit) => told(": read too early", Call::Test, reading, limit)
                .measure(MeasureStage::AtVoltage, format!("read the leakage again after {}", minutes(limit.after)))
                .add_to(findings),
            Leak::AboveRating(limit) => told(": read above its rating", Call::Test, reading, limit)
                .measure(MeasureStage::AtVoltage, "read the leakage at its rating or working voltage")
                .add_to(findings),
            Leak::AgeDecides(limit) => {
                told(": within the limit of an old part only, and its age is not known", Call::Test, reading, limit)
                    .measure(MeasureStage::Look, "find its date code")
                    .add_to(findings);
            }
        }
    }
}

/// Time at voltage from which a part counts as having been reformed.
const REFORMED: crate::units::Second = crate::limits::reform::BENCH_MUST_FALL_WITHIN.value;

/// Over the limit: replaced, or reformed first in a museum piece where that was not done yet.
fn over(subject: &Subject<'_>, reading: LeakageReading, limit: LeakLimit, findings: &mut Vec<Finding>) {
    let reformed = reading.after.is_some_and(|t| t >= REFORMED);
    if subject.museum() && !reformed && subject.damage().is_empty() {
        told(", not reformed yet", Call::Reform, reading, limit)
            .measure(MeasureStage::AtVoltage, "reform out of circuit, then read the leakage")
            .add_to(findings);
    } else {
        told("", Call::Replace, reading, limit).add_to(findings);
    }
}

/// The statement with its limit.
fn told(remark: &str, call: Call, reading: LeakageReading, limit: LeakLimit) -> super::draft::Draft {
    let text = reading_text(reading, limit.most);
    let most = say::limit(&say::leakage(limit.most, limit.most), limit.from_shop);
    let says = format!("{text}{remark} ({most})");
    find(&META, limit.source, call, says)
        .against(reading.current.milli(), limit.most.milli(), "mA")
        .shop(limit.from_shop)
}
