//! Electrolytics past their age.

use super::draft::find;
use super::{Rule, RuleMeta, Subject, Threshold};
use crate::model::chassis::Policy;
use crate::model::finding::{Call, Finding, MeasureStage, OwnerCause};
use crate::sources::SourceId;

/// Age of electrolytics.
#[derive(Debug)]
pub(super) struct ElectrolyticAge;

static YEARS: Threshold = Threshold {
    key: "electrolytic-age",
    default: 30.0,
    unit: "years",
    what: "age above which renewing is advised",
    source: SourceId::AgePolicy,
};

static FULL: Threshold = Threshold {
    key: "electrolytic-age.full",
    default: 10.0,
    unit: "years",
    what: "age above which renewing is advised under the policy full",
    source: SourceId::AgePolicy,
};

static META: RuleMeta = RuleMeta {
    id: "electrolytic-age",
    title: "Electrolytic past its age",
    what: "The age on the day of inspection, from the year that the part was fitted, else from the year of the set.",
    why: "An old electrolytic that reads well today dries out and leaks sooner than a new one, and takes other parts \
          along. For a customer who wants a warranty, age is reason enough.",
    not_where: "Where the year or the day of inspection is not known the rule is off, and says so. Under the policy \
                `faulty` and in a museum piece the advice is printed and not followed.",
    remedy: "Replacing is advised.",
    safety: "",
    thresholds: &[YEARS, FULL],
    sources: &[SourceId::AgePolicy],
    owner: Some(OwnerCause::KindOrAge),
};

impl Rule for ElectrolyticAge {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn check(&self, subject: &Subject<'_>, findings: &mut Vec<Finding>) {
        if !subject.is_electrolytic() {
            return;
        }
        let Some(age) = subject.age_years().map(f64::from) else {
            find(&META, SourceId::MissingIsNotGood, Call::Note, "age not known: the age rule is off")
                .measure(MeasureStage::Look, "find its date code or the year of the set")
                .add_to(findings);
            return;
        };
        let held = limit(subject);
        let made = subject.made().map_or_else(String::new, |year| format!(" (of {year})"));
        let over = held.value < age;
        let says = format!(
            "{age} years old{made}, limit {} years{}",
            held.value,
            if held.from_shop { ", set in shop.toml" } else { "" }
        );
        find(&META, held.source, if over { Call::Advise } else { Call::Note }, says).held(age, &held).add_to(findings);
    }
}

/// The age limit in force under the policy.
fn limit(subject: &Subject<'_>) -> super::held::Held {
    let usual = subject.held(&YEARS);
    let full = subject.held(&FULL);
    if subject.policy() == Policy::Full && full.value < usual.value { full } else { usual }
}
