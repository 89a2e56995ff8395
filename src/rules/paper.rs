//! Paper capacitors: changed whatever they read, but for a museum piece tested at voltage.

use super::draft::find;
use super::held::is_over;
use super::say;
use super::{Rule, RuleMeta, Subject, Threshold};
use crate::model::chassis::Policy;
use crate::model::finding::{Call, Finding, MeasureStage, OwnerCause};
use crate::model::kind::PartKind;
use crate::sources::SourceId;
use crate::units::Ampere;

/// Paper capacitors.
#[derive(Debug)]
pub(super) struct Paper;

static LEAKAGE: Threshold = Threshold {
    key: "paper",
    default: 3.0,
    unit: "µA",
    what: "leakage at working voltage up to which old paper may stay",
    source: SourceId::PaperKept,
};

static NEAR: Threshold = Threshold {
    key: "paper.near",
    default: 80.0,
    unit: "%",
    what: "share of the rated or working voltage (the lower) from which a leakage reading counts",
    source: SourceId::NearVoltageRule,
};

static VALUE: Threshold = Threshold {
    key: "paper.value",
    default: 20.0,
    unit: "%",
    what: "capacitance of old paper that stays, off its marking",
    source: SourceId::PaperKept,
};

static META: RuleMeta = RuleMeta {
    id: "paper",
    title: "Paper capacitor",
    what: "Every wax-paper, moulded-paper or metal-cased-paper capacitor.",
    why: "Old paper leaks at its working voltage though it reads well at the few volts of a meter, and it gets worse \
          with warmth. It is the part that spoils most sets.",
    not_where: "A museum piece whose part was tested near its working voltage and leaks no more than the limit: it may \
                stay. Under the policy `faulty` such a part stays too, in plain sight. On the mains nothing excuses it \
                (see mains-paper).",
    remedy: "Plastic film of the next standard value, rated at least as high, and at least the whole HT where the \
             place can see it.",
    safety: "",
    thresholds: &[LEAKAGE, NEAR, VALUE],
    sources: &[SourceId::PaperPractice, SourceId::PaperKept, SourceId::NearVoltageRule],
    owner: Some(OwnerCause::KindOrAge),
};

impl Rule for Paper {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn check(&self, subject: &Subject<'_>, findings: &mut Vec<Finding>) {
        if subject.part.kind != PartKind::Paper || subject.on_mains() {
            return;
        }
        match tested(subject) {
            Tested::Good(leakage) => kept(subject, leakage, findings),
            Tested::Leaks(leakage) => {
                let held = subject.held(&LEAKAGE);
                let says = format!("paper leaks {leakage} ({})", limit_text(held.value, held.from_shop));
                find(&META, held.source, Call::Replace, says).held(leakage.get() * 1e6, &held).add_to(findings);
            }
            Tested::No => {
                let says = format!("paper: changed{}", meter_remark(subject));
                let draft = find(&META, SourceId::PaperPractice, Call::Replace, says);
                let draft = if subject.museum() || subject.policy() == Policy::Faulty {
                    draft.measure(MeasureStage::AtVoltage, "read the leakage at working voltage, out of circuit")
                } else {
                    draft
                };
                draft.add_to(findings);
            }
        }
    }
}

/// A part that passed its test at voltage: it stays in a museum, under the policy `faulty` its renewal is advice,
/// else it is changed all the same.
fn kept(subject: &Subject<'_>, leakage: Ampere, findings: &mut Vec<Finding>) {
    let held = subject.held(&LEAKAGE);
    let limit = limit_text(held.value, held.from_shop);
    if let Some((off, limit)) = value_off(subject) {
        let value = subject.held(&VALUE);
        let by_tolerance = if value.value < limit { " by its tolerance" } else { "" };
        let text = say::limit(&format!("{limit} %{by_tolerance}"), value.from_shop && by_tolerance.is_empty());
        let says = format!("paper, {} off its marking ({text})", say::change_near(off, limit));
        find(&META, value.source, Call::Replace, says).held(off, &value).against(off, limit, "%").add_to(findings);
        return;
    }
    let (call, says) = match (subject.museum(), subject.policy()) {
        (true, _) => (Call::Keep, format!("paper tested at voltage, leaks {leakage} ({limit})")),
        (false, Policy::Faulty) => {
            (Call::Advise, format!("paper leaks {leakage} at voltage ({limit}), yet paper is best changed"))
        }
        _ => (Call::Replace, format!("paper: changed though it leaks only {leakage} at voltage ({limit})")),
    };
    let source = if call == Call::Keep { held.source } else { SourceId::PaperPractice };
    find(&META, source, call, says).held(leakage.get() * 1e6, &held).add_to(findings);
}

/// How a test at voltage came out.
enum Tested {
    Good(Ampere),
    Leaks(Ampere),
    No,
}

/// Whether the part was tested at voltage; leakage too large counts at any voltage.
fn tested(subject: &Subject<'_>) -> Tested {
    let Some(reading) = subject.part.found.leakage else { return Tested::No };
    let limit = subject.held(&LEAKAGE);
    if limit.value < reading.current.get() * 1e6 {
        return Tested::Leaks(reading.current);
    }
    let near = subject.held(&NEAR).value / 100.0;
    match (reading.at, subject.leakage_reference()) {
        (Some(at), Some(reference)) if reference * near <= at => Tested::Good(reading.current),
        _ => Tested::No,
    }
}

/// How far the capacitance is off where that is beyond the limit, and the limit, both in percent: at least the
/// marked tolerance on the side that the reading is off to. In circuit a high reading proves nothing: the part
/// beside it adds to it.
fn value_off(subject: &Subject<'_>) -> Option<(f64, f64)> {
    let off = (subject.reads_farad()? / subject.part.farad()? - 1.0) * 100.0;
    let tolerance = subject.part.rating.tolerance;
    let own = tolerance.map_or(0.0, |t| if off > 0.0 { t.plus_percent } else { t.minus_percent });
    let limit = subject.held(&VALUE).value.max(own);
    let counts = off < 0.0 || !subject.part.read_in_circuit();
    (counts && is_over(off.abs(), limit)).then_some((off, limit))
}

/// What a reading at a few volts, or at too low a voltage, is worth.
fn meter_remark(subject: &Subject<'_>) -> String {
    match (subject.part.found.leakage.and_then(|l| l.at), subject.reads_farad()) {
        (Some(at), _) => format!("; leakage read at {at}, not near its working voltage, proves nothing"),
        (None, Some(reads)) => format!("; {reads} at a meter's few volts proves nothing"),
        (None, None) => " whatever it reads".to_owned(),
    }
}

fn limit_text(limit_ua: f64, from_shop: bool) -> String {
    say::limit(&format!("{limit_ua} µA"), from_shop)
}
