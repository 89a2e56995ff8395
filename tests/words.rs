//! UK and US words: no screen and no document of one side shows a word that only the other side uses.
//!
//! The two lists are the trade's, from a list of labels collected by reading pages of both sides; where no page
//! was noted it is common practice, no source. What the user and the suppliers wrote stays as it is, so
//! the copy of the sample has such words taken out of its notes, markings and names first.

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

use std::fs;
use std::path::Path;

use cli::{Ran, files, program, ran, root, run};

/// Said on the UK side only. Its metal rectifier is called selenium in our own texts on both sides.
const UK: &[&str] = &[
    "valve",
    "valves",
    "HT",
    "LT",
    "heater",
    "heaters",
    "anode",
    "anodes",
    "earth",
    "earthed",
    "reservoir",
    "smoothing",
    "line to line",
    "line-to-line",
    "aerial",
    "moulded",
    "tag strip",
    "tag board",
    "dropper",
    "droppers",
    "mains transformer",
    "mains lead",
    "mains leads",
];

/// Said on the US side only.
const US: &[&str] = &[
    "tube",
    "tubes",
    "B+",
    "filaments",
    "plate",
    "plates",
    "ground",
    "grounded",
    "first filter",
    "across the line",
    "antenna",
    "molded",
    "terminal strip",
    "turret board",
    "dropping resistor",
    "power transformer",
    "line cord",
    "line cords",
];

/// A word of the list that stands in the text as a word of its own: not in a file's word such as
/// `valve-indirect`, not in the fixed safety words in capitals.
fn found<'a>(text: &str, words: &[&'a str]) -> Vec<(&'a str, String)> {
    let part_of_more = |c: char| c.is_alphanumeric() || "-_/`'\"".contains(c);
    let mut all = Vec::new();
    for word in words {
        let capital = format!("{}{}", word[..1].to_uppercase(), &word[1..]);
        for form in [*word, capital.as_str()] {
            for (at, _) in text.match_indices(form) {
                let (before, after) = (&text[..at], &text[at + form.len()..]);
                if !before.ends_with(part_of_more) && !after.starts_with(part_of_more) {
                    let line = before.rsplit('\n').next().unwrap_or_default().len();
                    all.push((*word, text[at - line..].lines().next().unwrap_or_default().to_owned()));
                }
            }
        }
    }
    all
}

/// What the user wrote, without a word of either side.
fn neutral(text: &str) -> String {
    let mut text = text.to_owned();
    for word in UK.iter().chain(US) {
        text = text.replace(word, "item");
    }
    text
}

/// A table whose free texts are neutral; its keywords stay.
fn neutral_table(bytes: &[u8]) -> Vec<u8> {
    let free = ["marked", "note", "designation", "description", "equivalent", "number"];
    let first = bytes.split(|b| *b == b'\n').find(|l| !l.starts_with(b"#")).unwrap_or_default();
    let delimiter = if first.contains(&b';') { b';' } else { b',' };
    let mut reader = csv::ReaderBuilder::new();
    let mut reader = reader.comment(Some(b'#')).flexible(true).delimiter(delimiter).from_reader(bytes);
    let head = reader.headers().unwrap().clone();
    let mut writer = csv::WriterBuilder::new().flexible(true).delimiter(delimiter).from_writer(Vec::new());
    writer.write_record(&head).unwrap();
    for record in reader.records() {
        let record = record.unwrap();
        let cells = record.iter().zip(&head).map(|(c, h)| if free.contains(&h) { neutral(c) } else { c.to_owned() });
        writer.write_record(cells).unwrap();
    }
    writer.into_inner().unwrap()
}

/// The sample shop with neutral texts, in the words of one side.
fn sample(side: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let from = root().join("catalog-sample");
    for (path, bytes) in files(&from) {
        let target = folder.path().join(path.strip_prefix(&from).unwrap());
        fs::create_dir_all(target.parent().unwrap()).unwrap();
        let bytes = match path.extension().and_then(|e| e.to_str()) {
            Some("csv") => neutral_table(&bytes),
            Some("toml") => {
                let text = String::from_utf8(bytes).unwrap();
                let text = text.replace("name = \"HT\"", "name = \"main\"");
                text.replace("words = \"uk\"", &format!("words = \"{side}\"")).into_bytes()
            }
            _ => bytes,
        };
        fs::write(target, bytes).unwrap();
    }
    folder
}

fn told(folder: &Path, args: &[&str]) -> Ran {
    let ran = ran(program().current_dir(folder).env("CAPJOB_SHOP", folder).args(args).output().unwrap());
    assert!(ran.code < 2, "{args:?}: {}", ran.err);
    ran
}

/// A page without what only a browser reads.
fn read_aloud(text: &str) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some((before, from)) = rest.split_once('<') {
        out.push_str(before);
        let end = if from.starts_with("style") { "</style>" } else { ">" };
        rest = from.split_once(end).map_or("", |(_, after)| after);
        out.push(' ');
    }
    out + rest
}

/// Every screen and every document of the sample jobs.
fn everything(folder: &Path) -> Vec<(String, String)> {
    let mut all = Vec::new();
    for job in ["corran-radiogram", "hall-amplifier", "lark-recorder"] {
        let path = format!("jobs/{job}");
        for command in ["inspect", "supply", "reform"] {
            all.push((format!("{command} {job}"), told(folder, &[command, &path]).out));
        }
        for command in ["plan", "order", "quote", "sheet", "verify"] {
            // The recorder's work is not done yet: there is nothing to verify.
            if (command, job) == ("verify", "lark-recorder") {
                continue;
            }
            let out = format!("out/{job}-{command}");
            all.push((format!("{command} {job}"), told(folder, &[command, &path, "--out", &out]).out));
        }
    }
    let hall = "jobs/hall-amplifier";
    for reference in ["C30", "C12", "R3"] {
        all.push((format!("plan --why {reference}"), told(folder, &["plan", hall, "--why", reference]).out));
    }
    for (reference, part) in [("C30", "22uF 450V 105C axial"), ("C12", "0.1uF 400V film"), ("R30", "10k 5W")] {
        all.push((format!("check {reference}"), told(folder, &["check", hall, reference, part]).out));
    }
    for (path, bytes) in files(&folder.join("out")) {
        if path.extension().is_some_and(|e| ["html", "md", "csv", "svg"].iter().any(|known| e == *known)) {
            all.push((path.display().to_string(), read_aloud(&String::from_utf8(bytes).unwrap())));
        }
    }
    // A rule's name is the same word on both sides.
    let rules = told(folder, &["rules"]).out;
    let nameless = rules.lines().map(|l| l.trim_start().split_once(' ').map_or("", |(_, said)| said));
    all.push(("rules".to_owned(), nameless.collect::<Vec<_>>().join("\n")));
    for id in rules.lines().filter_map(|l| l.strip_prefix("  ")?.split(' ').next()) {
        if id.chars().all(|c| c.is_ascii_lowercase() || c == '-') && id != "capjob" {
            let page = told(folder, &["rules", id]).out;
            all.push((format!("rules {id}"), page.replacen(id, "", 1)));
        }
    }
    all.push(("decode".to_owned(), told(folder, &["decode", "brown black orange gold"]).out));
    all
}

fn nothing_of(words: &[&str], side: &str) {
    let folder = sample(side);
    let all = everything(folder.path());

    assert!(all.len() > 100, "{}", all.len());
    let mut wrong = Vec::new();
    for (what, text) in &all {
        // A lamp's filament is one on both sides.
        let text = text.replace("filament lamp", "lamp");
        wrong.extend(found(&text, words).into_iter().map(|(word, line)| format!("{what}: `{word}` in: {line}")));
    }
    wrong.sort();
    wrong.dedup();
    assert!(wrong.is_empty(), "{}\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
fn us_words_reach_every_screen_and_document() {
    nothing_of(UK, "us");
}

#[test]
fn uk_words_reach_every_screen_and_document() {
    nothing_of(US, "uk");
}

/// Help is written for both sides: a word that one side only uses has the other's behind it.
#[test]
fn help_is_neutral() {
    let pairs = [("valve (tube)", "chassis"), ("HT (B+)", "supply")];
    let mut helps = vec![run("-h").out];
    let commands = ["new", "inspect", "supply", "check", "plan", "order", "quote", "sheet", "verify", "reform"];
    helps.extend(
        commands.iter().chain(&["rules", "decode", "man", "completions"]).map(|c| run(&format!("help {c}")).out),
    );
    for help in helps {
        let text = pairs.iter().fold(help, |text, (pair, both)| text.replace(pair, both));
        assert_eq!(found(&text, UK), [], "{text}");
        assert_eq!(found(&text, US), [], "{text}");
    }
}

#[test]
fn the_users_own_texts_stay() {
    let bench = cli::Bench::new();
    bench.write("job/chassis.toml", bench.read("job/chassis.toml").replace("\"job\"", "\"Valve HT thing\""));
    let parts = bench.read("job/parts.csv");
    bench.write("job/parts.csv", format!("{parts}L1,lead,mains lead 2-core,,,,,,,,cracked,keep,earth is perished\n"));
    bench.write("shop/shop.toml", bench.read("shop/shop.toml").replace("words = \"uk\"", "words = \"us\""));
    let us = bench.run("inspect job").out;
    assert!(us.contains("  plate ") && us.contains("first filter") && !us.contains("anode"), "{us}");
    assert!(us.contains("Valve HT thing") && us.contains("mains lead 2-core"), "{us}");
    // What machines read is the files' words on both sides.
    assert_eq!(bench.run("inspect job --json").out.matches("plate").count(), 0);
}
