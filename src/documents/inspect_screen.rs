//! The judgement on the screen: replace now, advised, test further, keep, each with its reason.

use super::block::{Block, Entry};
use super::describe::{counted, old_part};
use crate::model::chassis::Job;
use crate::model::finding::{Call, Decision, How, Judgement};
use crate::model::part::Part;
use crate::model::plan::Inspection;

/// Whether a judgement belongs to a group.
type Belongs = fn(&Judgement) -> bool;

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

/// Writes one inspection.
pub fn blocks(job: &Job, inspection: &Inspection) -> Vec<Block> {
    let mut blocks = heading(inspection);
    for (title, belongs) in GROUPS {
        let entries: Vec<Entry> = inspection
            .judgements
            .iter()
            .filter(|j| belongs(j))
            .filter_map(|j| job.part(&j.reference).map(|p| entry(p, j)))
            .collect();
        if !entries.is_empty() {
            blocks.push(Block::Heading((*title).to_owned()));
            blocks.push(Block::Entries(entries));
        }
    }
    blocks.extend(closing(inspection));
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

/// `replace 17   test further 3   keep 26`.
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
    let count = |d: Decision| inspection.judgements.iter().filter(|j| j.decision == d).count();
    let shown: Vec<String> =
        words.iter().map(|(d, w)| (count(*d), w)).filter(|(n, _)| *n > 0).map(|(n, w)| format!("{w} {n}")).collect();
    shown.join("   ")
}

/// One part with its reasons.
fn entry(part: &Part, judgement: &Judgement) -> Entry {
    let place = part.place.map(|p| p.word().replace('-', " ")).unwrap_or_default();
    Entry {
        cells: vec![part.reference.clone(), place, old_part(part)],
        mark: mark(judgement),
        beneath: reasons(judgement),
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

/// The deciding findings first; the reading to take where one would settle it.
pub(super) fn reasons(judgement: &Judgement) -> Vec<String> {
    let telling: Vec<&str> =
        judgement.findings.iter().filter(|f| f.call > Call::Keep).map(|f| f.says.as_str()).collect();
    let shown = if telling.is_empty() {
        judgement.findings.first().map(|f| f.says.as_str()).into_iter().collect()
    } else {
        telling
    };
    let mut lines = Vec::new();
    if !shown.is_empty() {
        lines.push(shown.join("; "));
    }
    lines.extend(judgement.measure_next.first().map(|m| format!("next: {}", m.what)));
    lines
}

/// What to measure next, what was assumed, and the cautions.
pub(super) fn closing(inspection: &Inspection) -> Vec<Block> {
    let mut blocks = Vec::new();
    if !inspection.measure_next.is_empty() {
        blocks.push(Block::Heading("MEASURE NEXT".to_owned()));
        let items = inspection.measure_next.iter().map(|n| {
            let at = if n.refs.is_empty() { String::new() } else { format!(" ({})", n.refs.join(" ")) };
            let hangs = match n.changes {
                0 => String::new(),
                n => format!(": {}", super::describe::counted(n, "decision hangs on it", "decisions hang on it")),
            };
            format!("{}{at}{hangs}", n.measure.what)
        });
        blocks.push(Block::List(items.collect()));
    }
    if !inspection.assumed.is_empty() {
        blocks.push(Block::Heading("ASSUMED".to_owned()));
        blocks.push(Block::List(inspection.assumed.clone()));
    }
    if !inspection.cautions.is_empty() {
        blocks.push(Block::Heading("CAUTION".to_owned()));
        blocks.push(Block::List(inspection.cautions.clone()));
    }
    blocks
}
