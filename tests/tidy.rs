//! What the compiler cannot check: which room may use which, file length, first lines, tests that are tests.

#![expect(clippy::expect_used, reason = "a test that cannot read the sources has failed")]

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

/// The rooms and what each may use, as the table of DEVELOPERS.md has it.
const ROOMS: &[(&str, &[&str])] = &[
    ("units", &[]),
    ("money", &[]),
    ("marking", &["units"]),
    ("sources", &[]),
    ("limits", &["units", "sources"]),
    ("model", &["units", "money", "sources"]),
    ("input", &["model", "units", "money"]),
    ("physics", &["units", "limits"]),
    ("stress", &["physics", "model", "units", "limits"]),
    ("rules", &["physics", "model", "limits", "sources", "units", "money", "marking"]),
    ("substitute", &["physics", "model", "limits", "sources", "units", "marking", "money"]),
    ("purchase", &["model", "money"]),
    ("quote", &["model", "money"]),
    ("verify", &["model", "units"]),
    ("sheet", &["model", "physics", "limits", "units", "verify"]),
    (
        "workflow",
        &[
            "model",
            "stress",
            "rules",
            "substitute",
            "purchase",
            "physics",
            "units",
            "money",
            "limits",
            "sources",
            "marking",
            "quote",
        ],
    ),
    ("documents", &["model", "units", "money", "rules", "marking", "quote", "verify", "sheet"]),
    ("export", &["documents"]),
    (
        "cli",
        &[
            "workflow",
            "input",
            "documents",
            "export",
            "model",
            "units",
            "money",
            "marking",
            "rules",
            "quote",
            "verify",
            "sheet",
        ],
    ),
];

/// Lines that a file may have before its tests.
const MOST_LINES: usize = 400;

fn rust_files(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).expect("a readable folder").flatten() {
        let path = entry.path();
        if path.is_dir() {
            rust_files(&path, found);
        } else if path.extension().is_some_and(|e| e == "rs") {
            found.push(path);
        }
    }
}

fn sources() -> Vec<(PathBuf, String)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut files = Vec::new();
    rust_files(&root, &mut files);
    files.sort();
    files
        .into_iter()
        .map(|f| {
            let text = fs::read_to_string(&f).expect("a readable file");
            (f.strip_prefix(&root).expect("a file below src").to_path_buf(), text)
        })
        .collect()
}

/// The lines of a file before its tests. A `#[cfg(test)]` further up is a line like any other: only the
/// module of the tests ends what is looked at.
fn before_tests(text: &str) -> impl Iterator<Item = &str> {
    text.lines().take_while(|l| *l != "mod tests {")
}

/// The part of a file before its tests, without comments.
fn code(text: &str) -> String {
    before_tests(text).filter(|l| !l.trim_start().starts_with("//")).collect::<Vec<_>>().join("\n")
}

fn room_of(path: &Path) -> String {
    let first = path.components().next().expect("a path").as_os_str().to_string_lossy().into_owned();
    first.trim_end_matches(".rs").to_owned()
}

#[test]
fn rooms_use_only_what_they_may() {
    let allowed: BTreeMap<&str, &[&str]> = ROOMS.iter().copied().collect();
    let mut faults = Vec::new();
    for (path, text) in sources() {
        let room = room_of(&path);
        if room == "main" || room == "lib" {
            continue;
        }
        let Some(may) = allowed.get(room.as_str()) else {
            faults.push(format!("{}: room `{room}` is not in the table", path.display()));
            continue;
        };
        for (other, _) in ROOMS {
            let uses = code(&text).contains(&format!("crate::{other}"));
            if uses && *other != room && !may.contains(other) {
                faults.push(format!("{}: `{room}` may not use `{other}`", path.display()));
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn the_table_of_developers_md_is_this_one() {
    let text = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("DEVELOPERS.md")).expect("DEVELOPERS.md");
    for (room, may) in ROOMS {
        let listed = if may.is_empty() { "nothing".to_owned() } else { may.join(" ") };
        let row = format!("| `{room}` | {listed} |");
        assert!(text.contains(&row), "DEVELOPERS.md lacks the row: {row}");
    }
}

#[test]
fn only_the_command_line_touches_files_clock_and_screen() {
    let words =
        ["std::fs", "File::open", "println!", "eprintln!", "print!(", "SystemTime", "Instant::now", "process::exit"];
    let mut faults = Vec::new();
    for (path, text) in sources() {
        let room = room_of(&path);
        for word in words {
            // The purchase room may look at the clock for its own search limit only.
            let may = room == "cli" || room == "main" || (room == "purchase" && word == "Instant::now");
            if !may && code(&text).contains(word) {
                faults.push(format!("{}: {word}", path.display()));
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn only_the_purchase_room_knows_the_solver() {
    for (path, text) in sources() {
        assert!(!code(&text).contains("good_lp") || room_of(&path) == "purchase", "{}", path.display());
    }
}

#[test]
fn files_begin_with_their_purpose_and_stay_small() {
    let mut faults = Vec::new();
    for (path, text) in sources() {
        if !text.starts_with("//!") {
            faults.push(format!("{}: the first line does not say what the file is for", path.display()));
        }
        let lines = before_tests(&text).filter(|l| *l != "#[cfg(test)]").count();
        if MOST_LINES < lines {
            faults.push(format!("{}: {lines} lines before its tests", path.display()));
        }
        if text.lines().any(|l| l.ends_with(' ')) {
            faults.push(format!("{}: blanks at a line's end", path.display()));
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn no_test_is_skipped_and_nothing_is_left_for_later() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut files = Vec::new();
    rust_files(&root.join("src"), &mut files);
    rust_files(&root.join("tests"), &mut files);
    let words = [
        concat!("#[ig", "nore"),
        concat!("should", "_panic"),
        concat!("TO", "DO"),
        concat!("FIX", "ME"),
        concat!("todo", "!("),
        concat!("unimplemented", "!("),
    ];
    for file in files.iter().filter(|f| !f.components().any(|c| c.as_os_str() == "target")) {
        let text = fs::read_to_string(file).expect("a readable file");
        for word in words {
            assert!(!text.contains(word), "{}: {word}", file.display());
        }
    }
}
