//! The judgement on the screen: replace now, advised, test further, keep, each with its reason.

use super::block::{Block, Entry};
use super::describe::{counted, old_part};
use crate::model::chassis::Job;
use crate::model::finding::{Call, Caution, Decision, Finding, How, Judgement, NextReading};
use crate::model::part::Part;
use crate::model::plan::Inspection;

/// Whether a judgement belongs to a group.
type Belongs = fn(&Judgement) -> bool;

/// The rule of a part that is left because the money does not reach.
const CAN_WAIT: &str = "can-wait";

/// Rules whose finding sets another one aside.
const OVERRIDES: &[&str] = &["wish", "policy", "owner-wish", CAN_WAIT];

/// The groups of the screen, in order.
const GROUPS: &[(&str, Belongs)] = &[
    ("REPLACE NOW", |j| j.decision == Decision::Replace && j.must),
    ("OMIT", |j| j.decision == Decision::Omit),
    ("REPLACE, ADVISED", |j| j.decision == Decision::Replace && !j.must),
    ("DISCONNECT, LEAVE IN PLACE", |j| j.decision == Decision::Disconnect),
    ("REFORM AND KEEP", |j| j.decision == Decision::Reform),
    ("TEST FURTHER (one reading settles each)", |j| j.decision == Decision::Test),
    ("FIND OUT", |j| j.decision == Decision::FindOut),
    ("KEEP", |j| j.decision == Decision::Keep),
];

/// Writes one inspection: each part with the one reason that decided, or, `in_full`, with every finding
/// and its source.
pub fn blocks(job: &Job, inspection: &Inspection, in_full: bool) -> Vec<Block> {
    let mut blocks = heading(inspection);
    if !in_full && !inspection.judgements.is_empty() {
        blocks.push(Block::Line("one reason for each part; all findings with their sources: --verbose".to_owned()));
    }
    for (title, belongs) in GROUPS {
        let entries: Vec<Entry> = inspection
            .judgements
            .iter()
            .filter(|j| belongs(j))
            .filter_map(|j| job.part(&j.reference).map(|p| entry(p, j, in_full)))
            .collect();
        if !entries.is_empty() {
            blocks.push(Block::Heading((*title).to_owned()));
            blocks.push(Block::Entries(entries));
        }
    }
    blocks.extend(closing(inspection, in_full));
    blocks
}

/// The name of the set and the counts of decisions.
pub(super) fn heading(inspection: &Inspection) -> Vec<Block> {
    let year = inspection.year.map(|y| format!(", {y}")).unwrap_or_default();
    let date = inspection.inspected.map(|d| format!(", inspected {d}")).unwrap_or_default();
    let looked = counted(inspection.judgements.len(), "part looked at", "parts looked at");
    let mut blocks = vec![Block::Title(format!("{}{year}", inspection.chassis), format!("{looked}{date}"))];
    let counts = counts(inspection);
    blocks.push(if counts.is_empty() {
        Block::Text("The parts list is empty: write a line for each part in parts.csv.".to_owned())
    } else {
        Block::Line(counts)
    });
    blocks.push(Block::Line("NOT TO BE PLUGGED IN until the cold checks are signed".to_owned()));
    let holds: Vec<String> = inspection.holds.iter().map(|h| format!("ON HOLD ({}): {}", h.reason, h.says)).collect();
    if !holds.is_empty() {
        blocks.push(Block::List(holds));
    }
    blocks
}

/// `replace 17   test further 3   keep 26`; what waits for money is counted apart from what is kept.
pub(super) fn counts(inspection: &Inspection) -> String {
    let words = [
        (Decision::Replace, "replace"),
        (Decision::Omit, "omit"),
        (Decision::Disconnect, "disconnect"),
        (Decision::Reform, "reform"),
        (Decision::Test, "test further"),
        (Decision::FindOut, "find out"),
        (Decision::Keep, "keep"),
    ];
    let count = |d: Decision| inspection.judgements.iter().filter(|j| j.decision == d && !waits(j)).count();
    let mut shown: Vec<(usize, &str)> = words.iter().map(|(d, w)| (count(*d), *w)).collect();
    shown.push((inspection.judgements.iter().filter(|j| waits(j)).count(), "can wait"));
    let shown: Vec<String> = shown.iter().filter(|(n, _)| *n > 0).map(|(n, w)| format!("{w} {n}")).collect();
    shown.join("   ")
}

/// One part with its reasons.
fn entry(part: &Part, judgement: &Judgement, in_full: bool) -> Entry {
    let place = part.place.map(|p| p.word().replace('-', " ")).unwrap_or_default();
    Entry {
        cells: vec![part.reference.clone(), place, old_part(part)],
        mark: mark(judgement),
        beneath: if in_full { findings(judgement) } else { why(judgement) },
    }
}

/// `URGENT`, or how the replacing is done where it is not simply new.
pub(super) fn mark(judgement: &Judgement) -> Option<String> {
    let how = match judgement.how {
        Some(How::Pair) => Some("pair"),
        Some(How::Restuff) => Some("restuff"),
        Some(How::BesideDeadCan) => Some("beside the dead can"),
        Some(How::New) | None => None,
    };
    match (judgement.urgent, how) {
        (true, Some(how)) => Some(format!("{how}, URGENT")),
        (true, None) => Some("URGENT".to_owned()),
        (false, how) => how.map(str::to_owned),
    }
}

/// Whether a part is left for now because the money does not reach.
pub(super) fn waits(judgement: &Judgement) -> bool {
    judgement.findings.first().is_some_and(|f| f.rule == CAN_WAIT)
}

/// The deciding finding first, then all others that ask for something; the reading to take where one
/// would settle it.
pub(super) fn reasons(judgement: &Judgement) -> Vec<String> {
    let others = judgement.findings.iter().skip(1).filter(|f| f.call > Call::Keep);
    let shown: Vec<&str> = judgement.findings.first().into_iter().chain(others).map(|f| f.says.as_str()).collect();
    let mut lines = Vec::new();
    if !shown.is_empty() {
        lines.push(shown.join("; "));
    }
    lines.extend(next(judgement));
    lines
}

/// The finding that decided; what it overrides and what contradicts itself stay in plain sight.
fn why(judgement: &Judgement) -> Vec<String> {
    let Some(first) = judgement.findings.first() else { return Vec::new() };
    let others = judgement.findings.iter().skip(1);
    let mut lines = vec![first.says.clone()];
    let overridden = others.clone().filter(|f| f.call > Call::Keep).take(usize::from(OVERRIDES.contains(&first.rule)));
    lines.extend(overridden.map(|f| format!("over: {}", f.says)));
    lines.extend(others.filter(|f| in_plain_sight(f)).map(|f| f.says.clone()));
    lines.extend(next(judgement));
    lines
}

/// Whether a finding is never left out: a contradiction, or a wish that was refused.
fn in_plain_sight(finding: &Finding) -> bool {
    finding.says.starts_with("contradiction") || (finding.rule == "wish" && finding.safety)
}

/// Every finding with its rule, the origin of its limit and its source.
fn findings(judgement: &Judgement) -> Vec<String> {
    let told = |f: &Finding| {
        let origin = match (f.limit, f.limit_from_shop) {
            (None, _) => "",
            (Some(_), true) => "limit set in shop.toml; ",
            (Some(_), false) => "default limit; ",
        };
        format!("{}: {} [{origin}{}]", f.rule, f.says, f.source)
    };
    judgement.findings.iter().map(told).chain(next(judgement)).collect()
}

/// The reading to take first.
fn next(judgement: &Judgement) -> Option<String> {
    judgement.measure_next.first().map(|m| format!("next: {}", m.what))
}

/// What to measure next, what was assumed, and the cautions, `in_full` with their sources.
pub(super) fn closing(inspection: &Inspection, in_full: bool) -> Vec<Block> {
    let mut blocks = Vec::new();
    if !inspection.measure_next.is_empty() {
        blocks.push(Block::Heading("MEASURE NEXT (in this order)".to_owned()));
        blocks.push(Block::List(inspection.measure_next.iter().map(reading).collect()));
    }
    if !inspection.assumed.is_empty() {
        blocks.push(Block::Heading("ASSUMED".to_owned()));
        blocks.push(Block::List(inspection.assumed.clone()));
    }
    if !inspection.cautions.is_empty() {
        let text = |c: &Caution| if in_full { c.to_string() } else { c.says.clone() };
        blocks.push(Block::Heading("CAUTION".to_owned()));
        blocks.push(Block::List(inspection.cautions.iter().map(text).collect()));
    }
    blocks
}

/// One reading with the parts that it is taken on and what hangs on it.
fn reading(next: &NextReading) -> String {
    let at = if next.refs.is_empty() { String::new() } else { format!(" ({})", next.refs.join(" ")) };
    let hangs = match next.changes {
        0 => String::new(),
        n => format!(": {}", counted(n, "decision hangs on it", "decisions hang on it")),
    };
    format!("{}{at}{hangs}", next.measure.what)
}
