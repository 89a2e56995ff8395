//! Every rule has a table of lines with what it says to them, and a page written from its own text.
//!
//! `expect` names what the rule of the file calls for on that line (several joined by `+`, empty:
//! it stays silent). After a change of a rule's text, `CAPJOB_WRITE_PAGES=1 cargo test --test
//! rule_fixtures` writes the pages anew.

#[cfg(test)]
#[path = "support/judging.rs"]
mod judging;

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use capjob::model::finding::{Call, Finding, Judgement};
use capjob::rules::{RuleMeta, index, page, pages, thresholds};
use judging::{Row, data, jobs, judged, table};

fn word(call: Call) -> &'static str {
    match call {
        Call::Note => "note",
        Call::Keep => "keep",
        Call::Reform => "reform",
        Call::Advise => "advise",
        Call::Test => "test",
        Call::FindOut => "find-out",
        Call::Replace => "replace",
        Call::Disconnect => "disconnect",
        Call::Omit => "omit",
    }
}

/// What the rule found, in the order of its findings.
fn found<'a>(meta: &RuleMeta, judgement: &'a Judgement) -> Vec<&'a Finding> {
    judgement.findings.iter().filter(|f| f.rule == meta.id).collect()
}

/// The page of what the plan decides under a ceiling, which no table of parts can show; `tests/ceiling.rs` does.
const OF_THE_PLAN: &str = "can-wait";

/// Every page whose findings hang on the parts list alone.
fn judging_pages() -> impl Iterator<Item = &'static RuleMeta> {
    pages().filter(|meta| meta.id != OF_THE_PLAN)
}

/// Rules without a setting that still have a figure at which they turn.
const TURN_AT_A_FIGURE: &[&str] = &[
    "mains-unknown",
    "fuse",
    "mica-is-paper",
    "supply-limit",
    "earlier-repair",
    "electrolytic-reform",
    "resistor-low-in-circuit",
];

/// Rules that go by a word or a sight that is there or not, so that there is no line without it.
const NOTHING_TO_MISS: &[&str] = &["paper", "wish", "policy", "owner-wish", "undecided", "value-unknown"];

#[test]
fn every_rule_says_what_its_table_expects() {
    let mut wrong = Vec::new();
    for meta in judging_pages() {
        let rows = table(&data(&format!("rules/{}.csv", meta.id)));
        for job in jobs(&rows) {
            for (row, judgement) in job.iter().zip(judged(&job)) {
                wrong.extend(faults(meta, row, &judgement));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Where the rule said something else on this line than is due.
fn faults(meta: &RuleMeta, row: &Row, judgement: &Judgement) -> Vec<String> {
    let findings = found(meta, judgement);
    let calls = findings.iter().map(|f| word(f.call)).collect::<Vec<_>>().join("+");
    let said = findings.iter().map(|f| f.says.as_str()).collect::<Vec<_>>().join(" | ");
    let name = format!("{}: {}", meta.id, row.text("case").unwrap_or("a line without a case"));
    let mut faults = Vec::new();
    if calls != row.text("expect").unwrap_or_default() {
        faults.push(format!("{name}: due `{}`, got `{calls}` ({said})", row.text("expect").unwrap_or_default()));
    }
    for words in row.text("says").into_iter().flat_map(|t| t.split('|')) {
        if !said.contains(words) {
            faults.push(format!("{name}: does not say `{words}` ({said})"));
        }
    }
    if let Some(due) = row.text("urgent")
        && (due == "yes") != findings.iter().any(|f| f.urgent)
    {
        faults.push(format!("{name}: urgent: due `{due}` ({said})"));
    }
    if row.text("shop").is_some() && !findings.iter().any(|f| f.limit_from_shop) {
        faults.push(format!("{name}: does not say that the shop set the limit ({said})"));
    }
    faults
}

#[test]
fn every_table_has_the_cases_at_its_limit() {
    for meta in judging_pages() {
        let rows = table(&data(&format!("rules/{}.csv", meta.id)));
        let cases: Vec<&str> = rows.iter().filter_map(|r| r.text("case")).collect();
        let mut due = vec!["not applicable"];
        if meta.thresholds.is_empty() {
            due.push("applies");
        }
        if !meta.thresholds.is_empty() || TURN_AT_A_FIGURE.contains(&meta.id) {
            due.extend(["just inside", "exactly on", "just outside"]);
        }
        if !NOTHING_TO_MISS.contains(&meta.id) {
            due.push("missing");
        }
        for start in due {
            assert!(cases.iter().any(|c| c.starts_with(start)), "{} has no case `{start}`", meta.id);
        }
        for threshold in meta.thresholds {
            let tried = rows.iter().filter_map(|r| r.text("shop")).any(|t| t.contains(&format!("{}=", threshold.key)));
            assert!(tried, "{}: no line sets {} in the shop", meta.id, threshold.key);
        }
    }
}

#[test]
fn ids_are_unique_and_keys_belong_to_them() {
    let ids: Vec<&str> = pages().map(|meta| meta.id).collect();
    assert_eq!(ids.iter().collect::<BTreeSet<_>>().len(), ids.len());
    for id in &ids {
        assert!(id.chars().all(|c| c.is_ascii_lowercase() || c == '-') && !id.starts_with('-'), "{id}");
    }
    for meta in pages() {
        assert!(!meta.sources.is_empty() && !meta.what.is_empty() && !meta.why.is_empty(), "{}", meta.id);
        for threshold in meta.thresholds {
            let own =
                threshold.key == meta.id || threshold.key.strip_prefix(meta.id).is_some_and(|t| t.starts_with('.'));
            assert!(own, "{} of {}", threshold.key, meta.id);
            assert!(meta.sources.contains(&threshold.source), "{}: its source is not on the page", threshold.key);
        }
    }
    let keys: Vec<&str> = thresholds().map(|t| t.key).collect();
    assert_eq!(keys.iter().collect::<BTreeSet<_>>().len(), keys.len());
}

/// The folder of the pages.
fn pages_folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/rules")
}

#[test]
fn pages_are_those_of_the_rules() {
    let folder = pages_folder();
    if std::env::var_os("CAPJOB_WRITE_PAGES").is_some() {
        std::fs::create_dir_all(&folder).expect("a folder for the pages");
        for meta in pages() {
            std::fs::write(folder.join(format!("{}.md", meta.id)), page(meta)).expect("a page");
        }
        std::fs::write(folder.join("README.md"), index(pages())).expect("the list of pages");
    }
    let list = std::fs::read_to_string(folder.join("README.md")).expect("the list of pages");
    assert_eq!(list, index(pages()), "the list of pages is not as the rules say");
    for meta in pages() {
        let path = folder.join(format!("{}.md", meta.id));
        let text = std::fs::read_to_string(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
        assert_eq!(text, page(meta), "{} is not as the rule says", path.display());
    }
    let ids: BTreeSet<String> = pages().map(|meta| meta.id.to_owned()).collect();
    for (folder, ending) in [(folder, "md"), (data("rules"), "csv")] {
        for entry in std::fs::read_dir(&folder).expect("the folder can be read") {
            let path = entry.expect("an entry").path();
            let stem = path.file_stem().and_then(|s| s.to_str()).unwrap_or_default();
            let known = path.extension().is_some_and(|e| e == ending) && ids.contains(stem);
            let known = known || path.ends_with("README.md");
            assert!(known, "{} belongs to no rule", path.display());
        }
    }
}
