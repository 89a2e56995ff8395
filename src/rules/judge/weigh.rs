//! One part's findings weighed into one decision.

use super::super::Subject;
use super::super::draft::find;
use super::added::{OWNER, POLICY, UNDECIDED, WISH};
use crate::model::chassis::{OwnerWish, Policy};
use crate::model::finding::{Call, Decision, Finding, Judgement, MeasureStage};
use crate::model::kind::{Sight, Wish};
use crate::model::part::Reading;
use crate::sources::SourceId;

/// A part's findings and the decision that they come to, before groups are looked at.
pub(super) fn weigh(subject: &Subject<'_>, mut findings: Vec<Finding>) -> Judgement {
    if let Some(added) = set_aside(subject, &findings) {
        findings.push(added);
    }
    if winner(subject, &findings).is_none() {
        let says = "nothing that was read or seen speaks for it";
        findings.push(
            find(&UNDECIDED, SourceId::MissingIsNotGood, Call::Test, says)
                .measure(MeasureStage::Look, "look at it, find its place and read it")
                .done(),
        );
    }
    let by_rules = winner(subject, &findings);
    let call = by_rules.and_then(|at| findings.get(at)).map_or(Call::Test, |f| f.call);
    let rules = decision(call);
    let (decision, first) = match wished(subject, &findings, rules) {
        Some((decision, added)) => {
            findings.push(added);
            (decision, Some(findings.len() - 1))
        }
        None => (rules, decided_by(subject, &findings, by_rules)),
    };
    let must = is_must(subject, &findings, decision);
    let urgent = findings.iter().any(|f| f.urgent && f.call >= Call::Test);
    settle_missing(&mut findings, decision);
    bring_forward(&mut findings, first);
    Judgement {
        reference: subject.part.reference.clone(),
        decision,
        how: None,
        urgent,
        must,
        findings,
        stress: subject.stress.clone(),
        assumed: assumed(subject, decision),
        measure_next: Vec::new(),
    }
}

/// The decision that a call stands for.
const fn decision(call: Call) -> Decision {
    match call {
        Call::Omit => Decision::Omit,
        Call::Disconnect => Decision::Disconnect,
        Call::Replace | Call::Advise => Decision::Replace,
        Call::FindOut => Decision::FindOut,
        Call::Test => Decision::Test,
        Call::Reform => Decision::Reform,
        Call::Keep | Call::Note => Decision::Keep,
    }
}

/// Whether advice is followed: neither under the policy `faulty` nor in a museum piece.
fn follows_advice(subject: &Subject<'_>) -> bool {
    subject.job.chassis.wish != OwnerWish::Museum && subject.job.chassis.policy != Policy::Faulty
}

/// The finding that decides by the rules: the heaviest, of equals the urgent, the safe, the first.
fn winner(subject: &Subject<'_>, findings: &[Finding]) -> Option<usize> {
    let counts = |f: &Finding| f.call > Call::Note && (f.call != Call::Advise || follows_advice(subject));
    let key = |f: &Finding| (f.call, f.urgent, f.safety);
    let mut best: Option<(usize, &Finding)> = None;
    for (at, finding) in findings.iter().enumerate().filter(|(_, f)| counts(f)) {
        if best.is_none_or(|(_, b)| key(b) < key(finding)) {
            best = Some((at, finding));
        }
    }
    best.map(|(at, _)| at)
}

/// The finding to print first: the one that set advice aside, where that left the part.
fn decided_by(subject: &Subject<'_>, findings: &[Finding], winner: Option<usize>) -> Option<usize> {
    let call = winner.and_then(|at| findings.get(at)).map_or(Call::Note, |f| f.call);
    let left = call < Call::Advise && !follows_advice(subject);
    let aside = findings.iter().position(|f| f.rule == POLICY.id || f.rule == OWNER.id);
    if left && aside.is_some() { aside } else { winner }
}

/// The finding that tells who set the advice aside.
fn set_aside(subject: &Subject<'_>, findings: &[Finding]) -> Option<Finding> {
    let advice: Vec<&str> = findings.iter().filter(|f| f.call == Call::Advise).map(|f| f.rule).collect();
    if advice.is_empty() || follows_advice(subject) {
        return None;
    }
    let rules = advice.join(", ");
    let (meta, who) = if subject.job.chassis.wish == OwnerWish::Museum {
        (&OWNER, "museum piece, change as little as possible")
    } else {
        (&POLICY, "policy faulty, only what is faulty")
    };
    Some(find(meta, SourceId::OwnersChoice, Call::Note, format!("{who}: the advice of {rules} is not followed")).done())
}

/// What the technician's wish makes of it; `None` without a wish or where it agrees with the rules.
fn wished(subject: &Subject<'_>, findings: &[Finding], rules: Decision) -> Option<(Decision, Finding)> {
    let wish = subject.part.wish?;
    let told = |call, says: String| find(&WISH, SourceId::TechniciansWish, call, says);
    match wish {
        Wish::Keep => kept(subject, findings, rules),
        Wish::Replace | Wish::Restuff if rules == Decision::FindOut => {
            Some((rules, told(Call::Note, format!("wish {wish}: cannot be ordered before that is found out")).done()))
        }
        // Where the rules replace too, a wish says at most how; the reason is the rule's.
        Wish::Replace | Wish::Restuff if rules == Decision::Replace => None,
        Wish::Replace | Wish::Restuff => {
            Some((Decision::Replace, told(Call::Replace, format!("wish {wish}, over {rules} by the rules")).done()))
        }
    }
}

/// A wish to keep: refused on safety, for looks only where the part is dead, else granted in plain sight.
fn kept(subject: &Subject<'_>, findings: &[Finding], rules: Decision) -> Option<(Decision, Finding)> {
    let told = |call, says: String| find(&WISH, SourceId::TechniciansWish, call, says);
    let barred: Vec<&str> = findings.iter().filter(|f| f.safety && f.call >= Call::Replace).map(|f| f.rule).collect();
    if !barred.is_empty() {
        let says = format!("wish keep refused: {} is about safety, {rules} stands", barred.join(", "));
        return Some((rules, told(Call::Note, says).safety().done()));
    }
    let dead = matches!(subject.part.found.reads, Some(Reading::Open | Reading::Short));
    if rules == Decision::Replace && dead && subject.part.kind.is_capacitor() {
        let says = "wish keep: dead, so it stays for looks only and is disconnected".to_owned();
        return Some((Decision::Disconnect, told(Call::Disconnect, says).done()));
    }
    if rules == Decision::Keep {
        return None;
    }
    Some((Decision::Keep, told(Call::Keep, format!("wish keep, over {rules} by the rules")).done()))
}

/// Whether the part fails, is unsafe or was asked for; false where it is only advised.
fn is_must(subject: &Subject<'_>, findings: &[Finding], decision: Decision) -> bool {
    let acts = matches!(decision, Decision::Replace | Decision::Omit | Decision::Disconnect | Decision::FindOut);
    let fails = findings.iter().any(|f| matches!(f.call, Call::Replace | Call::Omit | Call::Disconnect) || f.safety);
    let asked = matches!(subject.part.wish, Some(Wish::Replace | Wish::Restuff));
    acts && (fails || asked && decision == Decision::Replace)
}

/// A missing reading that can no longer change the decision is told, not asked for.
fn settle_missing(findings: &mut [Finding], decision: Decision) {
    if matches!(decision, Decision::Replace | Decision::Omit | Decision::Disconnect) {
        for finding in findings.iter_mut().filter(|f| f.call == Call::Test && f.source == SourceId::MissingIsNotGood) {
            finding.call = Call::Note;
            finding.measure = None;
        }
    }
}

/// Puts the finding that decided first; the others keep their order.
fn bring_forward(findings: &mut [Finding], first: Option<usize>) {
    if let Some(head) = first.and_then(|at| findings.get_mut(..=at)) {
        head.rotate_right(1);
    }
}

/// What was assumed for this line.
fn assumed(subject: &Subject<'_>, decision: Decision) -> Vec<String> {
    let found = &subject.part.found;
    let mut assumed = subject.stress.assumed.clone();
    let passive = subject.part.kind.is_capacitor() || subject.part.kind.is_resistor();
    if passive && found.reads.is_some() && found.in_circuit.is_none() {
        assumed.push("read in circuit, as nothing else was written".to_owned());
    }
    if found.leakage.is_some_and(|l| l.after.is_none()) {
        assumed.push("leakage read after its minutes, as none were written".to_owned());
    }
    if decision == Decision::Keep && subject.is_electrolytic() && !looked_at(&found.sight) {
        assumed.push("not looked at".to_owned());
    }
    assumed
}

/// Whether the part was looked at.
fn looked_at(sight: &[Sight]) -> bool {
    !sight.is_empty()
}
