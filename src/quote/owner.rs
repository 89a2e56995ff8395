//! The decisions as the owner needs them: what is unsafe, what is worn, what is advised, what can wait.

use super::works::{self, Work};
use crate::model::chassis::Job;
use crate::model::finding::{Call, Decision, Judgement, OwnerCause};
use crate::model::kind::{PartKind, Place, Sight};
use crate::model::part::Part;
use crate::model::plan::{Fitting, Plan};
use crate::model::shop::QuoteSettings;
use crate::money::Money;

/// How much it matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum OwnerClass {
    /// The set must not be used before it is done: what the plan calls urgent, and what lies between the mains and
    /// what can be touched.
    Unsafe,
    /// It no longer does its work.
    Worn,
    /// It works, but its kind or age is known to fail, and it could take other parts with it.
    Advised,
    /// It works, and if it fails later, nothing else suffers.
    CanWait,
}

impl OwnerClass {
    /// All, the weightiest first.
    pub const ALL: &'static [Self] = &[Self::Unsafe, Self::Worn, Self::Advised, Self::CanWait];

    /// The word in machine output.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Unsafe => "unsafe",
            Self::Worn => "worn",
            Self::Advised => "advised",
            Self::CanWait => "can-wait",
        }
    }
}

/// What becomes of the part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OwnerWork {
    /// A new part.
    Replaced,
    /// Taken out for good.
    TakenOut,
    /// Left in place, out of use.
    OutOfUse,
}

/// One part on the owner's list.
#[derive(Debug, Clone, PartialEq)]
pub struct OwnerLine {
    /// The job's name.
    pub job: String,
    /// Reference within the job.
    pub reference: String,
    /// What it is.
    pub kind: PartKind,
    /// Where it sits.
    pub place: Option<Place>,
    /// How much it matters.
    pub class: OwnerClass,
    /// What becomes of it.
    pub work: OwnerWork,
    /// What is seen on it.
    pub sight: Vec<Sight>,
    /// What speaks against it most.
    pub cause: Option<OwnerCause>,
    /// Whether that is shown by a figure or to the eye, and not only feared.
    pub shown: bool,
    /// Whether the set must have no power before it is done, as the plan says.
    pub urgent: bool,
}

/// One part that could be left for now.
#[derive(Debug, Clone, PartialEq)]
pub struct Waiting {
    /// The job's name.
    pub job: String,
    /// Reference within the job.
    pub reference: String,
    /// What leaving it saves, tax included; about, for prices depend on quantities.
    pub saves: Money,
}

/// Every part that is worked on, the weightiest first.
pub fn lines(jobs: &[Job], plan: &Plan) -> Vec<OwnerLine> {
    let mut lines: Vec<OwnerLine> = judged(jobs, plan).filter_map(|(job, part, j)| line(job, part, j)).collect();
    lines.sort_by_key(|l| l.class);
    lines
}

fn judged<'a>(jobs: &'a [Job], plan: &'a Plan) -> impl Iterator<Item = (&'a Job, &'a Part, &'a Judgement)> {
    jobs.iter().flat_map(|job| {
        let inspection = plan.inspections.iter().find(|i| i.job == job.name);
        let judgements = inspection.map(|i| i.judgements.as_slice()).unwrap_or_default();
        judgements.iter().filter_map(move |j| job.part(&j.reference).map(|p| (job, p, j)))
    })
}

fn line(job: &Job, part: &Part, judgement: &Judgement) -> Option<OwnerLine> {
    let work = match judgement.decision {
        Decision::Replace => OwnerWork::Replaced,
        Decision::Omit => OwnerWork::TakenOut,
        Decision::Disconnect => OwnerWork::OutOfUse,
        Decision::Keep | Decision::Reform | Decision::Test | Decision::FindOut => return None,
    };
    let (cause, shown) = cause(judgement).map_or((None, true), |(cause, shown)| (Some(cause), shown));
    Some(OwnerLine {
        job: job.name.clone(),
        reference: part.reference.clone(),
        kind: part.kind,
        place: part.place,
        class: class(part, judgement),
        work,
        sight: part.found.sight.iter().copied().filter(|s| *s != Sight::Ok).collect(),
        cause,
        shown,
        urgent: judgement.urgent,
    })
}

/// The cause behind the weightiest finding, and whether that finding calls for the work: an urgent one first, then
/// what fails, then what is advised, then what is only to be tested.
fn cause(judgement: &Judgement) -> Option<(OwnerCause, bool)> {
    let weight = |call: Call| match call {
        Call::Note | Call::Keep | Call::Reform => None,
        Call::Test | Call::FindOut => Some(0),
        Call::Advise => Some(1),
        Call::Replace | Call::Disconnect | Call::Omit => Some(2),
    };
    let causes = judgement.findings.iter().filter_map(|f| {
        let weight = weight(f.call)?;
        f.owner.map(|cause| ((f.urgent, weight), (cause, weight == 2)))
    });
    // Of equals the first, in the order of the rules.
    causes.reduce(|best, next| if best.0 < next.0 { next } else { best }).map(|(_, cause)| cause)
}

fn class(part: &Part, judgement: &Judgement) -> OwnerClass {
    let asked = |call| matches!(call, Call::Replace | Call::Disconnect | Call::Omit);
    let about_safety = judgement.findings.iter().any(|f| f.safety && asked(f.call));
    let to_the_touch = about_safety && part.place.is_some_and(Place::is_mains);
    match () {
        () if judgement.urgent || to_the_touch => OwnerClass::Unsafe,
        () if judgement.must => OwnerClass::Worn,
        () if could_harm_others(part) => OwnerClass::Advised,
        () => OwnerClass::CanWait,
    }
}

/// Whether a failure there would take other parts with it.
fn could_harm_others(part: &Part) -> bool {
    let harmful = |p: Place| {
        let others = matches!(
            p,
            Place::Coupling | Place::Screen | Place::OutputAnode | Place::Bias | Place::Motor | Place::Dropper
        );
        p.is_mains() || p.is_ht_supply() || others
    };
    matches!(part.kind, PartKind::Lead | PartKind::Fuse | PartKind::Rectifier) || part.place.is_some_and(harmful)
}

/// What leaving each part that can wait would save.
pub fn waiting(jobs: &[Job], plan: &Plan, priced: &[Work], settings: &QuoteSettings) -> Vec<Waiting> {
    judged(jobs, plan)
        .filter(|(_, part, j)| j.decision == Decision::Replace && class(part, j) == OwnerClass::CanWait)
        .map(|(job, part, judgement)| Waiting {
            job: job.name.clone(),
            reference: part.reference.clone(),
            saves: saves(plan, &label(plan, job, part), works::kind(part, judgement), (priced, settings)),
        })
        .collect()
}

fn label(plan: &Plan, job: &Job, part: &Part) -> String {
    if plan.several_jobs() { format!("{}/{}", job.name, part.reference) } else { part.reference.clone() }
}

/// The part's own share of goods and labour, with mark-up and tax, in minor units.
fn saves(
    plan: &Plan,
    wanted: &str,
    kind: Option<works::WorkKind>,
    (priced, settings): (&[Work], &QuoteSettings),
) -> Money {
    let share = |fit: &Fitting| fit.cost.ratio(1, i64::try_from(fit.refs.len()).unwrap_or(1));
    let goods = plan.fits.iter().find(|f| f.refs.iter().any(|r| r == wanted)).map_or(Money::ZERO, share);
    let parts = goods + goods.percent(settings.markup.unwrap_or_default());
    let labour = priced.iter().find(|w| Some(w.kind) == kind).map_or(Money::ZERO, |w| one_of(w, settings));
    let net = parts + labour;
    (net + net.percent(settings.tax.unwrap_or_default())).rounded(plan.currency.minor_digits())
}

/// The labour of one piece of a kind of work.
fn one_of(work: &Work, settings: &QuoteSettings) -> Money {
    let count = i64::from(work.count);
    let by_hour = work.hundredths_of_minute.zip(settings.rate_per_hour).map(|(h, rate)| rate.ratio(h, 6_000 * count));
    by_hour.unwrap_or_default() + work.flat.map(|f| f.ratio(1, count)).unwrap_or_default()
}
