//! The findings that the weighing itself (and the choice under a ceiling) adds, each with its page like a rule's.

use super::super::RuleMeta;
use super::super::draft::find;
use crate::model::finding::{Call, Finding, OwnerCause};
use crate::sources::SourceId;

/// The technician's wish.
pub(crate) static WISH: RuleMeta = RuleMeta {
    id: "wish",
    title: "The technician's wish",
    what: "A wish written on the part's line (keep, replace, restuff) that changes what the rules ask for, or that was \
           refused because the finding is about safety. The overridden finding stays printed.",
    why: "The technician stands before the set and the program does not. But nobody may ask for a part on the mains \
          that is not allowed there, or for one below the voltage that it sees.",
    not_where: "Lines without a wish, and wishes that agree with the rules.",
    remedy: "Remove the wish to follow the rules.",
    safety: "A wish to keep a part against a finding about safety is refused.",
    thresholds: &[],
    sources: &[SourceId::TechniciansWish],
    owner: Some(OwnerCause::Chosen),
};

/// The policy of the job.
pub(crate) static POLICY: RuleMeta = RuleMeta {
    id: "policy",
    title: "Policy of the job",
    what: "Under the policy `faulty` an advice to renew by age or kind is printed and not followed.",
    why: "How far sound parts are renewed is agreed with the owner.",
    not_where: "Failing parts and findings about safety.",
    remedy: "Change the policy in the chassis sheet (suspect or full) to follow the advice.",
    safety: "",
    thresholds: &[],
    sources: &[SourceId::OwnersChoice],
    owner: Some(OwnerCause::KindOrAge),
};

/// The owner's wish.
pub(crate) static OWNER: RuleMeta = RuleMeta {
    id: "owner-wish",
    title: "What the owner wants",
    what: "In a museum piece an advice to renew by age or kind is printed and not followed.",
    why: "As little as possible is changed.",
    not_where: "Failing parts and findings about safety.",
    remedy: "Change the wish in the chassis sheet to follow the advice.",
    safety: "",
    thresholds: &[],
    sources: &[SourceId::OwnersChoice],
    owner: Some(OwnerCause::Chosen),
};

/// Nothing speaks for the part.
pub(crate) static UNDECIDED: RuleMeta = RuleMeta {
    id: "undecided",
    title: "Nothing speaks for the part",
    what: "A part that no rule condemns and none speaks for.",
    why: "What was not found good is not taken as good.",
    not_where: "Every part that some rule has an answer for.",
    remedy: "Look at it, find its place, read it.",
    safety: "",
    thresholds: &[],
    sources: &[SourceId::MissingIsNotGood],
    owner: None,
};

/// Matched parts.
pub(crate) static PAIR: RuleMeta = RuleMeta {
    id: "pair",
    title: "Matched parts are changed together",
    what: "A sound part whose mate (same letter under `pair`) is replaced.",
    why: "Both halves of a phase splitter, of output grid leaks, screens or channels must match. New beside old does \
          not.",
    not_where: "A mate that the technician wishes to keep: told, and left.",
    remedy: "Order both from one source, a few more, and select.",
    safety: "",
    thresholds: &[],
    sources: &[SourceId::PairPractice],
    owner: Some(OwnerCause::Mate),
};

/// Sections of one can.
pub(crate) static CAN: RuleMeta = RuleMeta {
    id: "can-sections",
    title: "Sections of one can",
    what: "Sections of a can of which another is replaced; the dead section that stays in place; sections with \
           different negatives.",
    why: "The sections are of one age and one electrolyte. A dead section that stays connected may still leak \
          or short, and a new part across it does not cure that.",
    not_where: "A measured section under the policy `faulty`, and one that the technician wishes to keep, unless the \
                can is restuffed.",
    remedy: "Replace all sections. Disconnect the old ones; never bridge a new part across a dead section. With \
             different negatives fit separate parts, not a can with a common negative.",
    safety: "",
    thresholds: &[],
    sources: &[SourceId::DeadSection],
    owner: None,
};

/// Advised work that waits because money is short.
pub(crate) static CAN_WAIT: RuleMeta = RuleMeta {
    id: "can-wait",
    title: "Advised, and can wait",
    what: "Under a ceiling (`--ceiling`) that does not reach for everything: a part whose renewal is only advised and \
           that is left for now. What fails or is unsafe is never left.",
    why: "Of the advised parts those are done that take away the most expected trouble for the money. The trouble is a \
          failure rate by MIL-HDBK-217F Notice 2. It ranks parts against each other, knows nothing of their age, and \
          foretells nothing.",
    not_where: "Orders without a ceiling, or within it. A pair or the sections of a can are done together or left \
                together, and are never left where one of them must be done.",
    remedy: "Ask the owner for the money, or do it at the next repair.",
    safety: "",
    thresholds: &[],
    sources: &[SourceId::MilHdbk217, SourceId::OwnersChoice],
    owner: None,
};

/// The finding on a part that is left for now.
pub fn can_wait_finding(says: &str) -> Finding {
    find(&CAN_WAIT, SourceId::MilHdbk217, Call::Keep, says).done()
}

/// Every finding that the weighing adds, in the order of their pages.
pub static ADDED: &[&RuleMeta] = &[&WISH, &POLICY, &OWNER, &PAIR, &CAN, &UNDECIDED, &CAN_WAIT];
