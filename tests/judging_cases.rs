//! Acceptance: invented sets, and what a competent technician decides on each of their parts.
//!
//! The cases and their reasons stand in `tests/data/judging/cases.csv`; its remarks say where they
//! are from.

#[cfg(test)]
#[path = "support/judging.rs"]
mod judging;

use capjob::model::finding::{Decision, How, Judgement};
use judging::{Row, data, jobs, judged, table};

#[test]
fn every_case_comes_out_as_the_technician_decides() {
    let rows = table(&data("judging/cases.csv"));
    let mut wrong = Vec::new();
    for job in jobs(&rows) {
        for (row, judgement) in job.iter().zip(judged(&job)) {
            let name = format!("case {} {}", row.text("case").unwrap_or_default(), judgement.reference);
            for fault in faults(row, &judgement) {
                wrong.push(format!("{name}: {fault}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Where a judgement is not as due.
#[expect(clippy::expect_used, reason = "a test stops at bad data")]
fn faults(row: &Row, judgement: &Judgement) -> Vec<String> {
    let mut faults = Vec::new();
    let said = || judgement.findings.iter().map(|f| format!("{}: {}", f.rule, f.says)).collect::<Vec<_>>().join(" | ");
    let due = row.text("due").map(|t| Decision::from_word(t).expect("a decision"));
    if due != Some(judgement.decision) {
        faults.push(format!("due {due:?}, got {} ({})", judgement.decision, said()));
    }
    if let Some(how) = row.text("how").map(|t| How::from_word(t).expect("a way"))
        && judgement.how != Some(how)
    {
        faults.push(format!("due {how}, got {:?}", judgement.how));
    }
    for (column, got) in [("urgent", judgement.urgent), ("must", judgement.must)] {
        if row.text(column).is_some_and(|due| (due == "yes") != got) {
            faults.push(format!("{column} should not be {got}"));
        }
    }
    for rule in row.text("rules").into_iter().flat_map(|t| t.split('+')) {
        if !judgement.findings.iter().any(|f| f.rule == rule) {
            faults.push(format!("no finding of {rule} ({})", said()));
        }
    }
    if row.text("first").is_some_and(|first| judgement.findings.first().is_none_or(|f| f.rule != first)) {
        faults.push(format!("first should be {:?} ({})", row.text("first"), said()));
    }
    for words in row.text("says").into_iter().flat_map(|t| t.split('|')) {
        if !judgement.findings.iter().any(|f| f.says.contains(words)) {
            faults.push(format!("nothing says `{words}` ({})", said()));
        }
    }
    if let Some(words) = row.text("measure")
        && !judgement.measure_next.iter().any(|m| m.what.contains(words))
    {
        faults.push(format!("measure next lacks `{words}`: {:?}", judgement.measure_next));
    }
    faults
}
