//! Pairs and the sections of a can, judged together; how a replacement is done.

use std::collections::{BTreeMap, BTreeSet};

use super::super::draft::find;
use super::added::{CAN, PAIR};
use crate::model::chassis::{Job, OwnerWish, Policy};
use crate::model::finding::{Call, Decision, Finding, How, Judgement};
use crate::model::kind::{PartKind, Wish};
use crate::model::part::{NodeName, Part};
use crate::sources::SourceId;

/// Places of parts in the job by a group.
type Groups<K> = BTreeMap<K, Vec<usize>>;

/// What may be matched with what: resistors of any kind, capacitors of any kind, else one kind.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Family {
    Resistor,
    Capacitor,
    Named(PartKind),
}

/// The family of a kind.
const fn family(kind: PartKind) -> Family {
    if kind.is_resistor() {
        Family::Resistor
    } else if kind.is_capacitor() {
        Family::Capacitor
    } else {
        Family::Named(kind)
    }
}

/// Parts by their can letter.
fn by_can(job: &Job) -> Groups<&str> {
    let mut groups = Groups::new();
    for (at, part) in job.parts.iter().enumerate() {
        if let Some(can) = part.can.as_deref() {
            groups.entry(can).or_default().push(at);
        }
    }
    groups
}

/// Parts by their pair letter and family.
fn by_pair(job: &Job) -> Groups<(&str, Family)> {
    let mut groups = Groups::new();
    for (at, part) in job.parts.iter().enumerate() {
        if let Some(pair) = part.pair.as_deref() {
            groups.entry((pair, family(part.kind))).or_default().push(at);
        }
    }
    groups
}

/// Sound sections of a can of which another goes are renewed too; every old section is disconnected.
pub(super) fn cans(job: &Job, judgements: &mut [Judgement]) {
    for (can, sections) in by_can(job) {
        negatives(job, &sections, judgements);
        let Some(gone) = first_replaced(&sections, judgements) else { continue };
        let restuffed = is_restuffed(job, &sections);
        for &at in &sections {
            let (Some(part), Some(judgement)) = (job.parts.get(at), judgements.get_mut(at)) else { continue };
            let spared = part.wish == Some(Wish::Keep)
                || (job.chassis.policy == Policy::Faulty && judgement.decision == Decision::Keep);
            if may_follow(judgement.decision) && (restuffed || !spared) {
                let says = format!("{gone}, a section of can {can}, is replaced: this one is as old");
                follow(judgement, find(&CAN, SourceId::DeadSection, Call::Advise, says).done(), false);
            }
            if judgement.decision == Decision::Replace && !restuffed {
                judgement.findings.push(never_bridged(part));
            }
        }
    }
}

/// The statement that an old section is disconnected; a remark that asks for a bridge is refused.
fn never_bridged(part: &Part) -> Finding {
    let asks = part.note.as_deref().is_some_and(|note| note.to_lowercase().contains("bridg"));
    let says = if asks {
        "the remark asks to bridge it: refused; disconnect the old section, then fit the new part"
    } else {
        "disconnect the old section; a new part is never bridged across it"
    };
    find(&CAN, SourceId::DeadSection, Call::Note, says).done()
}

/// Tells of sections with different negatives, which a common-negative can must not serve.
fn negatives(job: &Job, sections: &[usize], judgements: &mut [Judgement]) {
    let minus = |at: &usize| job.parts.get(*at).and_then(|p| p.minus.as_ref());
    let nodes: BTreeSet<&NodeName> = sections.iter().filter_map(minus).collect();
    if nodes.len() < 2 {
        return;
    }
    let names = nodes.iter().map(|n| n.as_str()).collect::<Vec<_>>().join(", ");
    for &at in sections {
        if let Some(judgement) = judgements.get_mut(at) {
            let says = format!("sections with different negatives ({names}): no can with a common negative");
            judgement.findings.push(find(&CAN, SourceId::CircuitLaw, Call::Note, says).done());
        }
    }
}

/// Sound parts whose mate goes are replaced with it.
pub(super) fn pairs(job: &Job, judgements: &mut [Judgement]) {
    for (_, mates) in by_pair(job) {
        let Some(gone) = first_replaced(&mates, judgements) else { continue };
        let replaced = |at: &usize| judgements.get(*at).is_some_and(|j| j.decision == Decision::Replace && j.must);
        let must = mates.iter().any(replaced);
        for &at in &mates {
            let (Some(part), Some(judgement)) = (job.parts.get(at), judgements.get_mut(at)) else { continue };
            if !may_follow(judgement.decision) {
                continue;
            }
            if part.wish == Some(Wish::Keep) {
                let says = format!("its mate {gone} is replaced: the two will not match");
                judgement.findings.push(find(&PAIR, SourceId::PairPractice, Call::Note, says).done());
            } else {
                let call = if must { Call::Replace } else { Call::Advise };
                let says = format!("its mate {gone} is replaced: changed together and matched");
                follow(judgement, find(&PAIR, SourceId::PairPractice, call, says).done(), must);
            }
        }
    }
}

/// Whether a decision gives way to that of the group.
const fn may_follow(decision: Decision) -> bool {
    matches!(decision, Decision::Keep | Decision::Test | Decision::Reform)
}

/// The first part of a group that is replaced.
fn first_replaced(group: &[usize], judgements: &[Judgement]) -> Option<String> {
    let mut replaced = group.iter().filter_map(|at| judgements.get(*at)).filter(|j| j.decision == Decision::Replace);
    replaced.next().map(|j| j.reference.clone())
}

/// Turns a judgement into a replacement for the reason given, which is printed first.
fn follow(judgement: &mut Judgement, reason: Finding, must: bool) {
    judgement.decision = Decision::Replace;
    judgement.must = must;
    judgement.findings.insert(0, reason);
}

/// Whether new parts go into the old can: one section's wish, or an owner who wants the look kept.
fn is_restuffed(job: &Job, sections: &[usize]) -> bool {
    let wish = |at: &usize| job.parts.get(*at).is_some_and(|p| p.wish == Some(Wish::Restuff));
    job.chassis.wish == OwnerWish::Look || sections.iter().any(wish)
}

/// How each replacement is done.
pub(super) fn how(job: &Job, judgements: &mut [Judgement]) {
    let (cans, pairs) = (by_can(job), by_pair(job));
    for (part, judgement) in job.parts.iter().zip(judgements) {
        if judgement.decision != Decision::Replace {
            continue;
        }
        let sections = part.can.as_deref().and_then(|can| cans.get(can));
        let mates = part.pair.as_deref().and_then(|pair| pairs.get(&(pair, family(part.kind))));
        judgement.how = Some(match (part.wish, sections) {
            (Some(Wish::Restuff), _) => How::Restuff,
            (_, Some(sections)) if is_restuffed(job, sections) => How::Restuff,
            (_, Some(_)) => How::BesideDeadCan,
            _ if mates.is_some_and(|m| m.len() > 1) => How::Pair,
            _ => How::New,
        });
    }
}
