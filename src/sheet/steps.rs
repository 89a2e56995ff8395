//! The order of work: bias, HT, coupling, the rest; one part at a time.

use crate::model::chassis::Job;
use crate::model::finding::{Call, Decision, Finding, How, Judgement};
use crate::model::kind::{PartKind, Place};
use crate::model::part::{NodeName, Part};
use crate::model::plan::{ArrangementKind, Fitting, Inspection, Plan};
use crate::verify::own::own_fit;

/// The stages of the work. In this order, for nothing later is safe or can be judged without what is earlier.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stage {
    /// The bias supply.
    Bias,
    /// The high-tension supply.
    Ht,
    /// Coupling capacitors.
    Coupling,
    /// The mains side, and everything else.
    Rest,
    /// Readings that are still due.
    Readings,
}

impl Stage {
    /// All, in order.
    pub const ALL: &'static [Self] = &[Self::Bias, Self::Ht, Self::Coupling, Self::Rest, Self::Readings];
}

/// Which way round the new part goes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Polarity {
    /// It has none that matters.
    None,
    /// Plus and minus to these nodes.
    PlusTo {
        /// Plus.
        plus: NodeName,
        /// Minus.
        minus: NodeName,
    },
    /// Plus to the chassis, as in a bias supply.
    PlusToChassis {
        /// Minus.
        minus: NodeName,
    },
    /// Polarised, and the nodes are not both known.
    ToBeFound,
}

/// What is done.
#[derive(Debug, Clone, PartialEq)]
pub enum Action {
    /// This is fitted.
    Fit(Box<Fitting>),
    /// Nothing in the catalog will do; what is needed, in words.
    NotMet(String),
    /// Taken out and not refitted.
    TakeOut,
    /// Disconnected and left in place.
    Disconnect,
    /// Reformed and kept.
    Reform,
    /// Read, or found out; what, in words.
    Settle(Vec<String>),
}

/// One step.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// Stage.
    pub stage: Stage,
    /// The part as it is in the set.
    pub part: Part,
    /// What is done.
    pub action: Action,
    /// How, for replacements.
    pub how: Option<How>,
    /// Which way round.
    pub polarity: Polarity,
    /// The other parts that one piece serves, by reference.
    pub together_with: Vec<String>,
    /// Whether power must not be applied before it is done.
    pub urgent: bool,
    /// Fitting notes.
    pub notes: Vec<String>,
    /// What was assumed for it.
    pub assumed: Vec<String>,
    /// What it rests on, each with its figure, its limit and where that comes from.
    pub reasons: Vec<Finding>,
}

/// The steps of one job, in order of work.
pub fn steps(job: &Job, inspection: &Inspection, plan: &Plan) -> Vec<Step> {
    let mut steps: Vec<Step> = inspection
        .judgements
        .iter()
        .filter_map(|j| job.part(&j.reference).map(|p| (p, j)))
        .filter_map(|(part, judgement)| step(part, judgement, inspection, plan))
        .collect();
    // Stable: within a stage the order of references stays.
    steps.sort_by_key(|s| (s.stage, late(&s.part)));
    steps
}

fn step(part: &Part, judgement: &Judgement, inspection: &Inspection, plan: &Plan) -> Option<Step> {
    let fit = own_fit(plan, &inspection.job, &part.reference);
    let action = match judgement.decision {
        Decision::Keep => return None,
        Decision::Replace => fit
            .as_ref()
            .map_or_else(|| Action::NotMet(need(plan, inspection, part)), |f| Action::Fit(Box::new(f.clone()))),
        Decision::Omit => Action::TakeOut,
        Decision::Disconnect => Action::Disconnect,
        Decision::Reform => Action::Reform,
        Decision::Test | Decision::FindOut => {
            Action::Settle(judgement.measure_next.iter().map(|m| m.what.clone()).collect())
        }
    };
    Some(Step {
        stage: stage(part, &action),
        polarity: polarity(part, &action),
        together_with: together_with(plan, inspection, part),
        how: judgement.how,
        urgent: judgement.urgent,
        notes: fit.map(|f| f.notes).unwrap_or_default(),
        assumed: judgement.assumed.iter().chain(&judgement.stress.assumed).cloned().collect(),
        reasons: reasons(judgement),
        part: part.clone(),
        action,
    })
}

/// The findings that weigh most: those that the decision rests on.
fn reasons(judgement: &Judgement) -> Vec<Finding> {
    let most = judgement.findings.iter().map(|f| f.call).max().unwrap_or(Call::Note).max(Call::Reform);
    judgement.findings.iter().filter(|f| f.call == most).cloned().collect()
}

/// The reference as the plan writes it.
fn label(plan: &Plan, inspection: &Inspection, part: &Part) -> String {
    if plan.several_jobs() { format!("{}/{}", inspection.job, part.reference) } else { part.reference.clone() }
}

/// The other references that are served together with this one, without the job's name.
fn together_with(plan: &Plan, inspection: &Inspection, part: &Part) -> Vec<String> {
    let label = label(plan, inspection, part);
    let fit = plan.fits.iter().find(|f| f.refs.contains(&label));
    let others = fit.into_iter().flat_map(|f| &f.refs).filter(|r| **r != label);
    others.map(|r| r.rsplit('/').next().unwrap_or(r).to_owned()).collect()
}

/// The need that nothing meets, in words.
fn need(plan: &Plan, inspection: &Inspection, part: &Part) -> String {
    let label = label(plan, inspection, part);
    plan.unmet.iter().find(|u| u.reference == label).map(|u| u.need.clone()).unwrap_or_default()
}

fn stage(part: &Part, action: &Action) -> Stage {
    match (action, part.place) {
        (Action::Settle(_), _) => Stage::Readings,
        (_, Some(Place::Bias)) => Stage::Bias,
        (_, Some(p)) if p.is_ht_supply() => Stage::Ht,
        (_, Some(Place::Screen | Place::Dropper | Place::Bleeder | Place::Balancing)) => Stage::Ht,
        _ if part.kind == PartKind::Rectifier => Stage::Ht,
        (_, Some(Place::Coupling)) => Stage::Coupling,
        _ => Stage::Rest,
    }
}

/// Within the rest: the mains side first, valves last.
fn late(part: &Part) -> u8 {
    match part.kind {
        _ if part.place.is_some_and(Place::is_mains) => 0,
        PartKind::Lead | PartKind::Fuse => 0,
        PartKind::Valve => 2,
        _ => 1,
    }
}

fn polarity(part: &Part, action: &Action) -> Polarity {
    let polarised = match action {
        Action::Fit(fit) => fit.parts.iter().any(|p| is_polarised(p.article.kind, p.article.polarised)),
        Action::Reform => is_polarised(part.kind, None),
        _ => false,
    };
    if !polarised {
        return Polarity::None;
    }
    match (&part.plus, &part.minus) {
        (Some(plus), Some(minus)) if plus.is_chassis() => Polarity::PlusToChassis { minus: minus.clone() },
        (Some(plus), Some(minus)) => Polarity::PlusTo { plus: plus.clone(), minus: minus.clone() },
        _ => Polarity::ToBeFound,
    }
}

/// An electrolytic or tantalum is polarised unless its maker says otherwise; a metal rectifier always is.
fn is_polarised(kind: PartKind, said: Option<bool>) -> bool {
    match kind {
        PartKind::Electrolytic | PartKind::Tantalum => said != Some(false),
        PartKind::Rectifier => true,
        _ => false,
    }
}

impl Step {
    /// Whether several capacitors stand in a row here, so that their inner polarity must be told.
    pub fn is_series(&self) -> bool {
        matches!(&self.action, Action::Fit(f) if f.arrangement == ArrangementKind::Series)
    }
}
