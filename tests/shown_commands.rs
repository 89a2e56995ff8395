//! Every command that a page shows is run as it stands, and must print what is shown (those of the help texts:
//! point 3 of `tests/cli_checklist.rs`).
//!
//! In a page, a fenced block `console` holds commands after `$ ` with their output beneath (`...` alone on a
//! line stands for any lines; no output shown: any). A block whose fence names a file, like `csv my-set/parts.csv`,
//! is written to that file first. All blocks of a page share one folder, where the sample shop is at hand.
//! With `CAPJOB_WRITE_SHOWN` set, shown outputs are written anew from what the program prints.

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

use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};

use cli::{files, folder, root, shell};

/// Whether what was printed is what is shown, `...` standing for any lines.
fn agrees(shown: &[&str], printed: &[&str]) -> bool {
    match shown.split_first() {
        None => printed.is_empty(),
        Some((&"...", rest)) => (0..=printed.len()).any(|skip| agrees(rest, &printed[skip..])),
        Some((line, rest)) => printed.split_first().is_some_and(|(p, more)| p == line && agrees(rest, more)),
    }
}

/// What is wrong with a page.
enum Wrong {
    /// An output is not the one shown; written anew where that is asked for.
    Output(String),
    /// Anything else: writing anew does not mend it.
    Page(String),
}

/// The first lines in which shown and printed part.
fn difference(shown: &[&str], printed: &[&str]) -> String {
    let at = shown.iter().zip(printed).take_while(|(s, p)| s == p).count();
    let of =
        |lines: &[&str]| lines[at.min(lines.len())..].iter().take(3).map(|l| format!("    {l}\n")).collect::<String>();
    format!("from its line {} on the page shows\n{}  and the program prints\n{}", at + 1, of(shown), of(printed))
}

/// The body of a fenced block, run; its body as it should stand and what disagrees.
fn console(body: &[&str], folder: &Path) -> (String, Vec<Wrong>) {
    let (mut text, mut faults) = (String::new(), Vec::new());
    let mut at = 0;
    while at < body.len() {
        let Some(command) = body[at].strip_prefix("$ ") else {
            faults.push(Wrong::Page(format!("a line before any command: {}", body[at])));
            break;
        };
        let until = body[at + 1..].iter().position(|l| l.starts_with("$ ")).map_or(body.len(), |p| at + 1 + p);
        let shown = &body[at + 1..until];
        let (said, code) = shell(command, folder);
        let printed: Vec<&str> = said.lines().collect();
        if code > 1 && shown.is_empty() {
            faults.push(Wrong::Page(format!("`{command}` ends with {code}: {said}")));
        }
        if !shown.is_empty() && !agrees(shown, &printed) {
            let says = format!("`{command}`: {}", difference(shown, &printed));
            // What `...` stands for is kept, so that nothing is written anew there.
            faults.push(if shown.contains(&"...") { Wrong::Page(says) } else { Wrong::Output(says) });
        }
        let keep = shown.is_empty() || shown.contains(&"...");
        let lines = if keep { shown } else { printed.as_slice() };
        let _ = writeln!(text, "$ {command}");
        lines.iter().for_each(|l| text.push_str(&format!("{l}\n")));
        at = until;
    }
    (text, faults)
}

/// Runs a page; the page as it should stand, what disagrees, how many blocks were run.
fn page(text: &str) -> (String, Vec<Wrong>, usize) {
    let folder = folder();
    let (mut out, mut faults, mut blocks) = (String::new(), Vec::new(), 0);
    let mut lines = text.lines();
    while let Some(line) = lines.next() {
        let _ = writeln!(out, "{line}");
        let Some(info) = line.strip_prefix("```").filter(|i| !i.is_empty()) else { continue };
        let body: Vec<&str> = lines.by_ref().take_while(|l| *l != "```").collect();
        let mut kept: String = body.iter().map(|l| format!("{l}\n")).collect();
        if info == "console" {
            let (new, more) = console(&body, folder.path());
            kept = new;
            faults.extend(more);
            blocks += 1;
        } else if let Some((_, file)) = info.split_once(' ') {
            fs::write(folder.path().join(file), &kept).unwrap();
        }
        let _ = writeln!(out, "{kept}```");
    }
    (out, faults, blocks)
}

#[cfg(unix)]
#[test]
fn every_page_shows_what_the_program_prints() {
    let mut pages: Vec<PathBuf> = vec![root().join("README.md")];
    pages.extend(files(&root().join("docs")).into_keys().filter(|p| p.extension().is_some_and(|e| e == "md")));
    let (mut wrong, mut blocks) = (Vec::new(), 0);
    for path in pages.iter().filter(|p| fs::read_to_string(p).unwrap().contains("```console")) {
        let text = fs::read_to_string(path).unwrap();
        let (new, faults, ran) = page(&text);
        blocks += ran;
        let write = std::env::var_os("CAPJOB_WRITE_SHOWN").is_some();
        if write && new != text {
            fs::write(path, new).unwrap();
        }
        for fault in faults {
            match fault {
                Wrong::Output(_) if write => {}
                Wrong::Output(says) | Wrong::Page(says) => wrong.push(format!("{}: {says}", path.display())),
            }
        }
    }
    let help = "CAPJOB_WRITE_SHOWN=1 cargo test --test shown_commands writes the outputs anew; read the diff";
    assert!(wrong.is_empty(), "{}\n\n{help}", wrong.join("\n\n"));
    assert!(blocks > 10, "{blocks} blocks");
}
