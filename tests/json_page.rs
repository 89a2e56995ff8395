//! `docs/json.md` lists every key of the machine output with what may stand there: what a script relies on.
//!
//! Within one `schema` keys may be added; a key that goes, or changes what stands there, asks for the next number.
//! `CAPJOB_WRITE_KEYS=1 cargo test --test json_page` writes the lists anew.

#![allow(
    dead_code,
    unreachable_pub,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::print_stdout,
    clippy::print_stderr,
    clippy::format_push_string,
    clippy::format_collect,
    clippy::needless_for_each,
    reason = "support of tests: each test crate uses a part of it, and a test that cannot go on has failed"
)]

mod cli;

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::sync::OnceLock;

use cli::{root, run_args};
use serde_json::Value;

const JOBS: [&str; 3] = ["corran-radiogram", "hall-amplifier", "lark-recorder"];

/// What stands at a key: words for people.
fn kind(value: &Value) -> &'static str {
    match value {
        Value::Null => "null",
        Value::Bool(_) => "true or false",
        Value::Number(_) => "number",
        Value::String(_) => "text",
        Value::Array(_) => "list",
        Value::Object(_) => "object",
    }
}

/// Every key below a value, as a path, with what was seen there.
fn walk(path: &str, value: &Value, seen: &mut BTreeMap<String, BTreeSet<&'static str>>) {
    if !path.is_empty() {
        seen.entry(path.to_owned()).or_default().insert(kind(value));
    }
    match value {
        Value::Object(map) => {
            for (key, value) in map {
                let path = if path.is_empty() { key.clone() } else { format!("{path}.{key}") };
                walk(&path, value, seen);
            }
        }
        Value::Array(all) => all.iter().for_each(|v| walk(&format!("{path}[]"), v, seen)),
        _ => {}
    }
}

/// What each command prints, run once for all tests.
fn printed() -> &'static BTreeMap<&'static str, Vec<Value>> {
    static PRINTED: OnceLock<BTreeMap<&'static str, Vec<Value>>> = OnceLock::new();
    PRINTED.get_or_init(|| COMMANDS.into_iter().map(|c| (c, documents(c))).collect())
}

/// The documents of one command: of the samples, and what they do not show.
fn documents(command: &str) -> Vec<Value> {
    let mut lines: Vec<Vec<String>> = Vec::new();
    let words = |line: &[&str]| line.iter().map(|w| (*w).to_owned()).collect::<Vec<String>>();
    match command {
        "rules" => lines.push(words(&["rules"])),
        "decode" => {
            lines.extend(["4K7", "5312", "brown black orange gold", "no such mark"].map(|m| words(&["decode", m])));
        }
        "new" => lines.push(words(&["new", "some-set", "--shop", "some-shop", "--dry-run", "-q"])),
        "check" => {
            let part = "22uF 450V 105C axial";
            lines.push(words(&[
                "check",
                "catalog-sample/jobs/hall-amplifier",
                "C30",
                part,
                "--shop",
                "catalog-sample",
            ]));
        }
        _ => {
            for job in JOBS.into_iter().filter(|j| (command, *j) != ("verify", "lark-recorder")) {
                lines.push(words(&[command, &format!("catalog-sample/jobs/{job}"), "--shop", "catalog-sample"]));
            }
        }
    }
    let document = |line: Vec<String>| {
        let mut args: Vec<&str> = line.iter().map(String::as_str).collect();
        args.push("--json");
        let told = run_args(&args);
        assert!(told.code < 2, "{args:?}: {}", told.err);
        let document: Value = serde_json::from_str(&told.out).unwrap();
        assert_eq!(document["schema"], format!("capjob.{command}/1"));
        document
    };
    lines.into_iter().map(document).collect()
}

/// The list of a command's keys.
fn section(command: &str) -> String {
    let mut seen = BTreeMap::new();
    printed()[command].iter().for_each(|d| walk("", d, &mut seen));
    let mut text = format!("## `capjob.{command}/1`\n\n| key | holds |\n|---|---|\n");
    for (path, kinds) in seen {
        // What stands in a list has a line of its own where it has no keys.
        let plain = path.ends_with("[]") && kinds.iter().all(|k| matches!(*k, "object"));
        if !plain {
            text.push_str(&format!("| `{path}` | {} |\n", kinds.into_iter().collect::<Vec<_>>().join(" or ")));
        }
    }
    text
}

const COMMANDS: [&str; 12] =
    ["new", "inspect", "supply", "check", "plan", "order", "quote", "sheet", "verify", "reform", "rules", "decode"];

#[test]
fn the_page_lists_every_key() {
    let path = root().join("docs/json.md");
    let page = fs::read_to_string(&path).unwrap();
    let head = page.split("## `capjob.").next().unwrap();
    let due = format!("{head}{}", COMMANDS.map(section).join("\n"));
    if std::env::var_os("CAPJOB_WRITE_KEYS").is_some() {
        fs::write(&path, &due).unwrap();
        return;
    }
    for (line, due) in page.lines().zip(due.lines()) {
        assert_eq!(line, due, "docs/json.md is not what the program prints");
    }
    assert_eq!(page.lines().count(), due.lines().count());
}

#[test]
fn physical_figures_name_their_unit() {
    // Counts, places in a file, shares and calendar figures; `years` and `minutes` are units themselves.
    let bare = [
        "set_aside",
        "quantity",
        "needed",
        "spare",
        "count",
        "line",
        "column",
        "minutes",
        "default",
        "week",
        "years",
        "changes",
    ];
    let units = [
        "_v",
        "_ma",
        "_ua",
        "_a",
        "_w",
        "_ohm",
        "_hz",
        "_c",
        "_s",
        "_h",
        "_mm",
        "_percent",
        "_days",
        "farad",
        "ohm",
        "volts",
        "watts",
        "joule",
        "farad_min",
        "farad_max",
        "ohm_min",
        "ohm_max",
        "volts_min",
        "vac_min",
        "watts_min",
        "ma_min",
        "c_min",
    ];
    let mut without = BTreeSet::new();
    for command in COMMANDS {
        let mut seen = BTreeMap::new();
        printed()[command].iter().for_each(|d| walk("", d, &mut seen));
        let beside = |path: &str| path.rsplit_once('.').is_some_and(|(of, _)| seen.contains_key(&format!("{of}.unit")));
        for (path, kinds) in &seen {
            let key = path.trim_end_matches("[]").rsplit('.').next().unwrap().trim_end_matches("[]").to_owned();
            let named = units.iter().any(|u| key.ends_with(u)) || bare.contains(&key.as_str());
            if kinds.contains("number") && !named && !beside(path) {
                without.insert(format!("{command}: {path}"));
            }
        }
    }
    assert!(without.is_empty(), "{without:#?}");
}
