//! The job record: as found and as left side by side, pass or fail in plain words, what was changed.

use super::block::{Block, Cell, Column, Field, Table};
use super::describe::old_part;
use super::quote::capital;
use super::sheet::{expected_words, limit_sources, limit_words, slip, what_words};
use super::terms::Terms;
use crate::model::chassis::{HtSupply, Job, Polarity};
use crate::model::finding::Decision;
use crate::model::part::Reading;
use crate::model::plan::Plan;
use crate::model::shop::WordSet;
use crate::sheet::Sheet;
use crate::verify::{Check, Expected, OpenKind, Read, Sign, Unit, Verification, What};

/// Title of the document, for a page's head.
pub fn title(sheet: &Sheet) -> String {
    format!("Job record: {}", sheet.chassis)
}

/// What a record is made of.
#[derive(Debug, Clone, Copy)]
pub struct Record<'a> {
    /// The job as it was found.
    pub job: &'a Job,
    /// Its plan.
    pub plan: &'a Plan,
    /// Its bench sheet.
    pub sheet: &'a Sheet,
    /// Its readings after the work.
    pub verification: &'a Verification,
}

/// Writes the record.
pub fn blocks(record: &Record<'_>, words: WordSet) -> Vec<Block> {
    let terms = Terms::of(words);
    let mut blocks = heading(record);
    blocks.extend(answer(record));
    blocks.push(Block::Heading("As found and as left".to_owned()));
    blocks.push(Block::Table(table(record)));
    let expected: Vec<_> = record.verification.checks.iter().map(|c| &c.expected).collect();
    blocks.push(Block::Text(format!("Limits: {}.", limit_sources(&expected).join("; "))));
    blocks.push(Block::Heading("What was changed".to_owned()));
    blocks.push(Block::CutOut(slip(record.sheet, terms)));
    blocks.push(Block::Heading("Signed".to_owned()));
    blocks.push(Block::Fields(vec![
        Field::blank("Hours worked, rate"),
        Field::blank("Run in, hours"),
        Field::blank("Old parts returned or kept"),
        Field::blank("Tested by, date"),
    ]));
    blocks
}

fn heading(record: &Record<'_>) -> Vec<Block> {
    let sheet = record.sheet;
    let year = sheet.year.map(|y| format!(", {y}")).unwrap_or_default();
    let date = sheet.date.map(|d| d.to_string()).unwrap_or_default();
    let corrected = match (record.verification.mains, record.job.chassis.mains.volts()) {
        (Some(now), _) => format!("{now} while the readings were taken; limits are corrected for it"),
        (None, Some(then)) => format!("not written down with the readings; limits are for {then}, as at inspection"),
        (None, None) => "not known".to_owned(),
    };
    vec![
        Block::Title(
            format!("Job record: {}{year}", sheet.chassis),
            [sheet.job.clone(), date].join("  ").trim().to_owned(),
        ),
        Block::Fields(vec![Field::blank("Make, model, serial number"), Field::known("Mains", corrected)]),
    ]
}

/// The answer first, then what failed and what is open.
fn answer(record: &Record<'_>) -> Vec<Block> {
    let verification = record.verification;
    let readings = || verification.checks.iter().filter(|c| !matches!(c.expected.what, What::Done(_)));
    let failed: Vec<&Check> = readings().filter(|c| c.ok == Some(false)).collect();
    let passed = readings().filter(|c| c.ok == Some(true)).count();
    let not_taken = readings().filter(|c| c.read == Read::NotTaken).count();
    let counts = format!("{passed} passed, {} failed, {not_taken} not measured", failed.len());
    let mut lines = Vec::new();
    for check in &failed {
        let read = read_words(check);
        let limit = limit_words(&check.expected);
        let limit = if limit.is_empty() { String::new() } else { format!(" (limit {limit})") };
        lines.push(format!("{}: {read}{limit}: {}", capital(&what_words(&check.expected.what)), check.says));
    }
    lines.extend(open_lines(verification));
    let things = match verification.open.len() {
        1 => "1 thing is open".to_owned(),
        n => format!("{n} things are open"),
    };
    let answer = match (failed.is_empty(), verification.open.is_empty()) {
        (true, true) => format!("PASS: {counts}"),
        (true, false) if verification.pass => format!("NOT SHOWN TO BE READY: {things}; {counts}"),
        (true, false) => format!("NOT SHOWN TO BE READY, NOT TO BE RETURNED: {things}; {counts}"),
        (false, true) => format!("FAIL: NOT TO BE RETURNED: {counts}"),
        (false, false) => format!("FAIL: NOT TO BE RETURNED: {counts}; {things}"),
    };
    let mut blocks = vec![Block::Line(answer)];
    if verification.ready() {
        blocks.push(Block::Text("The set may go back.".to_owned()));
    } else {
        blocks.push(Block::Alert(lines));
    }
    let unread = readings().filter(|c| c.read == Read::NotTaken && !c.expected.needed);
    let unread: Vec<String> = unread.map(|c| what_words(&c.expected.what)).collect();
    if !unread.is_empty() {
        blocks.push(Block::Text(format!("Not measured, and so not proved: {}.", unread.join("; "))));
    }
    blocks
}

/// What is open, one line for each kind, with how it is closed.
fn open_lines(verification: &Verification) -> Vec<String> {
    let line = |kind: OpenKind| {
        let open = verification.open_of(kind);
        if open.is_empty() {
            return None;
        }
        let refs = open.join(" ");
        Some(match kind {
            OpenKind::Urgent => format!(
                "Urgent, and not done: {refs} (in after.csv: done:{} yes when it is)",
                open.first().unwrap_or(&"REF")
            ),
            OpenKind::NotMet => format!(
                "NOT MET in the plan, and nothing says what was fitted: {refs} (done:{} yes, with what in the note)",
                open.first().unwrap_or(&"REF")
            ),
            OpenKind::Undecided => {
                format!("To be tested or found out, and not settled: {refs} (its reading, or done:REF yes with a note)")
            }
            OpenKind::Iron => format!("Held by the chassis sheet: {}", open.join("; ")),
            OpenKind::NotRead => {
                let unread = verification.checks.iter().filter(|c| open.contains(&c.expected.what.key().as_str()));
                let words: Vec<String> = unread.map(|c| what_words(&c.expected.what)).collect();
                format!("Not measured, and not to be returned without it: {}", words.join("; "))
            }
        })
    };
    [OpenKind::Urgent, OpenKind::NotMet, OpenKind::Undecided, OpenKind::Iron, OpenKind::NotRead]
        .into_iter()
        .filter_map(line)
        .collect()
}

fn table(record: &Record<'_>) -> Table {
    let columns = vec![
        Column::text("What"),
        Column::figures("As found"),
        Column::figures("Expected"),
        Column::figures("Limits"),
        Column::figures("As left"),
        Column::text("Result"),
        Column::text("Remark"),
    ];
    let rows = record.verification.checks.iter().map(|c| row(record, c)).collect();
    Table { columns, rows, total: None }
}

fn row(record: &Record<'_>, check: &Check) -> Vec<Cell> {
    let expected = &check.expected;
    let result = match (check.ok, check.read) {
        (_, Read::Yes) => "done",
        (_, Read::No) => "NOT DONE",
        (Some(true), _) => "pass",
        (Some(false), _) => "FAIL",
        (None, Read::NotTaken) => "not measured",
        (None, _) => "no limit",
    };
    let no_target = expected.between.map(|_| expected.basis.as_ref());
    let remark = match (&check.note, no_target.filter(|_| check.says.is_empty()).unwrap_or(&check.says)) {
        (Some(note), "" | "no limit known" | "not done") => note.clone(),
        (Some(note), says) => format!("{says}; {note}"),
        (None, "not measured" | "no limit known" | "not done") => String::new(),
        (None, says) => says.to_owned(),
    };
    vec![
        Cell::text(what_words(&expected.what)),
        Cell::text(as_found(record, expected)),
        Cell::text(expected_words(expected)),
        Cell::text(limit_words(expected)),
        Cell::text(read_words(check)),
        Cell::text(result),
        Cell::text(remark),
    ]
}

fn read_words(check: &Check) -> String {
    match check.read {
        Read::Figure(si, unit) => unit.shown(si),
        Read::Open => "open".to_owned(),
        Read::Short => "short".to_owned(),
        Read::Yes => "yes".to_owned(),
        Read::No => "no".to_owned(),
        Read::NotTaken => "not measured".to_owned(),
    }
}

/// The same thing before the work.
fn as_found(record: &Record<'_>, expected: &Expected) -> String {
    let part = |reference: &str| record.job.part(reference);
    match &expected.what {
        What::Node(name) => {
            let of_supply = |s: &HtSupply| {
                let read = s.nodes.iter().filter(|n| n.name == *name).find_map(|n| n.measured)?;
                Some(if s.polarity == Polarity::Negative { -read.abs() } else { read })
            };
            record.job.chassis.supplies.iter().find_map(of_supply).map(|v| v.to_string()).unwrap_or_default()
        }
        What::Bias => {
            let all = record.job.parts.iter().filter_map(|p| p.found.bias).map(crate::units::Volt::abs);
            let below = expected.sign == Sign::Below;
            let largest = all.reduce(crate::units::Volt::max).map(|v| if below { -v } else { v });
            largest.map(|v| v.to_string()).unwrap_or_default()
        }
        What::Done(reference) => part(reference).map(|p| as_found_value(record, p)).unwrap_or_default(),
        What::Grid(reference) => part(reference).and_then(|p| p.found.grid).map(|v| v.to_string()).unwrap_or_default(),
        What::Reads(reference) => part(reference).map(|p| as_found_value(record, p)).unwrap_or_default(),
        _ => String::new(),
    }
}

/// The old part's marking and reading; that it went, where it did.
fn as_found_value(record: &Record<'_>, part: &crate::model::part::Part) -> String {
    let reads = match part.found.reads {
        Some(Reading::Farad(f)) => Unit::Farad.shown(f.get()),
        Some(Reading::Ohm(r)) => Unit::Ohm.shown(r.get()),
        Some(Reading::Open) => "open".to_owned(),
        Some(Reading::Short) => "short".to_owned(),
        None => "not measured".to_owned(),
    };
    let inspection = record.plan.inspections.iter().find(|i| i.job == record.job.name);
    let judgement = inspection.and_then(|i| i.judgements.iter().find(|j| j.reference == part.reference));
    let gone = judgement.is_some_and(|j| j.decision == Decision::Replace);
    format!("{}, {reads}{}", old_part(part), if gone { ", replaced" } else { "" })
}
