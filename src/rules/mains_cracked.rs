//! Mains suppressors in old or cracked resin: the class mark does not save them.

use super::draft::find;
use super::mains_paper::renewal;
use super::state::sight_words;
use super::{Rule, RuleMeta, Subject, Threshold};
use crate::model::finding::{Call, Finding, MeasureStage, OwnerCause};
use crate::model::kind::PartKind;
use crate::sources::SourceId;

/// Cracked and aged suppressors.
#[derive(Debug)]
pub(super) struct MainsCracked;

static AGE: Threshold = Threshold {
    key: "mains-cracked",
    default: 30.0,
    unit: "years",
    what: "age from which a suppressor is renewed though no crack is seen",
    source: SourceId::AgeRule,
};

static META: RuleMeta = RuleMeta {
    id: "mains-cracked",
    title: "Mains suppressor cracked, damaged or old",
    what: "A suppressor, or any capacitor with a class mark on the mains, whose case is cracked, burnt or otherwise \
           damaged; one past its age; an old one that nobody has looked at.",
    why: "Metallised paper in resin cracks with age, takes up moisture and bursts, class mark or not.",
    not_where: "Plain paper parts (see mains-paper); parts that are not on the mains.",
    remedy: "Replace by a film part of the class that the place asks for.",
    safety: "The fault is often smoke and a burst case. Do not run the set to see whether it holds.",
    thresholds: &[AGE],
    sources: &[SourceId::CrackedSuppressor, SourceId::AgeRule],
    owner: Some(OwnerCause::Mains),
};

impl Rule for MainsCracked {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn check(&self, subject: &Subject<'_>, findings: &mut Vec<Finding>) {
        let part = subject.part;
        let classed = part.rating.class.is_some() && subject.on_mains();
        if part.kind != PartKind::Suppressor && !(classed && part.kind != PartKind::Paper) {
            return;
        }
        let damage = subject.damage();
        if !damage.is_empty() {
            let (call, advice) = renewal(subject);
            let says = format!("suppressor {}, class mark or not: {advice}", sight_words(&damage));
            find(&META, SourceId::CrackedSuppressor, call, says).safety().urgent().add_to(findings);
            return;
        }
        if part.found.sight.is_empty() {
            find(
                &META,
                SourceId::CrackedSuppressor,
                Call::Test,
                "mains suppressor not looked at: fine cracks condemn it",
            )
            .measure(MeasureStage::Look, "look for fine cracks in the resin with a lens")
            .add_to(findings);
        }
        aged(subject, findings);
    }
}

/// A suppressor past its age, or of unknown age.
fn aged(subject: &Subject<'_>, findings: &mut Vec<Finding>) {
    let held = subject.held(&AGE);
    let Some(age) = subject.age_years().map(f64::from) else {
        find(&META, SourceId::MissingIsNotGood, Call::Note, "age of the suppressor not known: its age rule is off")
            .add_to(findings);
        return;
    };
    if age > held.value {
        let limit = super::say::limit(&format!("{} years", held.value), held.from_shop);
        let says = format!("mains suppressor {age} years old ({limit})");
        find(&META, held.source, Call::Advise, says).held(age, &held).add_to(findings);
    }
}
