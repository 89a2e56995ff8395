//! The works that are only advised: single parts, pairs and cans, each done whole or left.

use std::collections::BTreeSet;

use crate::model::chassis::Job;
use crate::model::finding::{Decision, Judgement};
use crate::model::kind::Place;
use crate::model::part::Part;
use crate::model::plan::Inspection;
use crate::rules::trouble;

/// One work that can wait.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Advised {
    /// References as the plan writes them.
    pub(super) refs: Vec<String>,
    /// Expected failures in a million hours of all of them, if they stay.
    pub(super) trouble: f64,
}

/// A part to be replaced, with its group.
struct Due<'a> {
    job: &'a Job,
    part: &'a Part,
    judgement: &'a Judgement,
    label: String,
}

/// Every work that is only advised, the most expected trouble first. What is changed together with a
/// part that must be done is not among them.
pub(super) fn advised(jobs: &[Job], inspections: &[Inspection]) -> Vec<Advised> {
    let due = due(jobs, inspections);
    let mut done: BTreeSet<usize> = BTreeSet::new();
    let mut works = Vec::new();
    for at in 0..due.len() {
        if done.contains(&at) {
            continue;
        }
        let group = group(&due, at);
        done.extend(group.iter().copied());
        let members: Vec<&Due<'_>> = group.iter().filter_map(|i| due.get(*i)).collect();
        if members.iter().all(|d| !d.judgement.must && !guards_valves(d.part)) {
            works.push(Advised {
                refs: members.iter().map(|d| d.label.clone()).collect(),
                trouble: members.iter().map(|d| of(d)).sum(),
            });
        }
    }
    works.sort_by(|a, b| b.trouble.total_cmp(&a.trouble).then_with(|| a.refs.cmp(&b.refs)));
    works
}

/// Whether output valves hang on the part, so that it is never put off: whatever is in a bias supply.
fn guards_valves(part: &Part) -> bool {
    part.place == Some(Place::Bias)
}

/// The expected trouble of one part.
fn of(due: &Due<'_>) -> f64 {
    trouble(due.part, &due.judgement.stress, due.job.chassis.conditions.inside)
}

/// Every part that is to be replaced, with the label that the plan writes.
fn due<'a>(jobs: &'a [Job], inspections: &'a [Inspection]) -> Vec<Due<'a>> {
    let mut due = Vec::new();
    for (job, inspection) in jobs.iter().zip(inspections) {
        for (part, judgement) in job.parts.iter().zip(&inspection.judgements) {
            if judgement.decision == Decision::Replace {
                let several = jobs.len() > 1;
                let label = if several { format!("{}/{}", job.name, part.reference) } else { part.reference.clone() };
                due.push(Due { job, part, judgement, label });
            }
        }
    }
    due
}

/// A part and all that is changed with it: its mates, the sections of its can, and theirs.
fn group(due: &[Due<'_>], first: usize) -> BTreeSet<usize> {
    let mut group = BTreeSet::from([first]);
    let mut open = vec![first];
    while let Some(a) = open.pop().and_then(|i| due.get(i)) {
        for (i, b) in due.iter().enumerate() {
            if together(a, b) && group.insert(i) {
                open.push(i);
            }
        }
    }
    group
}

/// Whether two parts are changed together: sections of one can, or mates of one sort.
fn together(a: &Due<'_>, b: &Due<'_>) -> bool {
    let same = |x: &Option<String>, y: &Option<String>| x.is_some() && x == y;
    let sort = |p: &Part| (p.kind.is_capacitor(), p.kind.is_resistor());
    a.job.name == b.job.name
        && (same(&a.part.can, &b.part.can) || same(&a.part.pair, &b.part.pair) && sort(a.part) == sort(b.part))
}
