//! The sheet, the quote and the record in a real browser: on narrow and wide screens and on paper.
//!
//! Without a browser nothing is checked, and the test says so; with `CAPJOB_BROWSER=required` that is a failure.

#![expect(clippy::expect_used, reason = "a page that cannot be opened has failed")]
#![expect(clippy::print_stdout, reason = "a test that checks nothing says so")]

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use serde_json::Value;

#[path = "support/papers.rs"]
mod papers;
#[path = "support/rows.rs"]
mod rows;
#[path = "support/sample.rs"]
mod sample;
use papers::{attic, glass_case, hall};

/// Programs that will do, by their names on the path.
const BROWSERS: [&str; 4] = ["chromium", "chromium-browser", "google-chrome", "chrome"];
/// Nothing that reaches out of the machine, no window, no profile kept.
const QUIET: [&str; 10] = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--hide-scrollbars",
    "--enable-logging=stderr",
];
/// What text needs against its ground (WCAG 2, level AA, from memory).
const LEAST_CONTRAST: f64 = 4.5;

/// A browser with a folder to work in.
struct Browser {
    program: PathBuf,
    folder: PathBuf,
}

impl Browser {
    /// The first that is there; says so when none is.
    fn find(test: &str) -> Option<Self> {
        let path = std::env::var_os("PATH").unwrap_or_default();
        let program = std::env::split_paths(&path)
            .flat_map(|folder| BROWSERS.map(|name| folder.join(name)))
            .find(|program| program.is_file());
        let Some(program) = program else {
            let required = std::env::var("CAPJOB_BROWSER").is_ok_and(|v| v == "required");
            assert!(!required, "no browser is on the path, and CAPJOB_BROWSER=required");
            println!("{test}: NOTHING CHECKED, no browser is on the path ({})", BROWSERS.join(", "));
            return None;
        };
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(test);
        if folder.exists() {
            fs::remove_dir_all(&folder).expect("the old folder can go");
        }
        fs::create_dir_all(&folder).expect("a folder");
        Some(Self { program, folder })
    }

    fn write(&self, name: &str, text: &str) -> PathBuf {
        let path = self.folder.join(name);
        fs::write(&path, text).expect("a file");
        path
    }

    /// Opens a page and lets the browser end; its messages must hold none from the page.
    fn open(&self, page: &Path, wish: &str) -> Output {
        let output = Command::new(&self.program)
            .args(QUIET)
            .arg(format!("--user-data-dir={}", self.folder.join("profile").display()))
            .arg(wish)
            .arg(format!("file://{}", page.display()))
            .output()
            .expect("the browser runs");
        let messages = String::from_utf8_lossy(&output.stderr);
        let from_the_page: Vec<&str> = messages.lines().filter(|l| l.contains("CONSOLE")).collect();
        assert!(from_the_page.is_empty(), "{}: {}", page.display(), from_the_page.join("\n"));
        output
    }

    /// Opens a page in frames of three widths and gives back what was found in each.
    fn probe(&self, name: &str, page: &str) -> Vec<Value> {
        let quoted = page.replace('&', "&amp;").replace('"', "&quot;");
        let probe = include_str!("support/probe.html").replace("PAGE", &quoted);
        let file = self.write(&format!("{name}-probe.html"), &probe);
        let output = self.open(&file, "--dump-dom");
        let dom = String::from_utf8_lossy(&output.stdout);
        let found = dom.split("data-found=\"").nth(1).and_then(|rest| rest.split('"').next()).expect("a result");
        let found = found.replace("&quot;", "\"").replace("&lt;", "<").replace("&gt;", ">").replace("&amp;", "&");
        serde_json::from_str::<Vec<Value>>(&found).expect("a list")
    }

    /// Prints a page on this paper and gives back the file.
    fn print(&self, name: &str, page: &str, paper: &str) -> PathBuf {
        let sized = page.replacen("</style>", &format!("@page {{ size: {paper}; }}</style>"), 1);
        let file = self.write(&format!("{name}-{paper}.html"), &sized);
        let pdf = self.folder.join(format!("{name}-{paper}.pdf"));
        let wish = format!("--print-to-pdf={}", pdf.display());
        self.open_printing(&file, &wish);
        assert!(pdf.is_file(), "{name} was not printed");
        pdf
    }

    fn open_printing(&self, file: &Path, wish: &str) {
        let output = Command::new(&self.program)
            .args(QUIET)
            .arg("--no-pdf-header-footer")
            .arg(format!("--user-data-dir={}", self.folder.join("profile").display()))
            .arg(wish)
            .arg(format!("file://{}", file.display()))
            .output()
            .expect("the browser runs");
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    }
}

fn list<'a>(found: &'a Value, key: &str) -> &'a Vec<Value> {
    found[key].as_array().expect("a list")
}

fn count(found: &Value, key: &str) -> u64 {
    found[key].as_u64().expect("a count")
}

/// Every page of the amplifier and of the live receiver, the sheet of the museum piece, each with its drawings.
fn pages() -> Vec<(String, String, u64)> {
    let of = |set: &str, papers: &papers::Papers, drawings: u64| -> Vec<(String, String, u64)> {
        let count = |name: &str| if name == "sheet" { drawings } else { 0 };
        papers.html().into_iter().map(|(name, page)| (format!("{set}-{name}"), page, count(name))).collect()
    };
    let mut pages = of("hall", hall(), 3);
    pages.extend(of("attic", attic(), 3));
    pages.extend(of("glass", glass_case(), 5).into_iter().filter(|(name, ..)| name.ends_with("sheet")));
    pages
}

#[test]
fn pages_open_quietly_and_fit_every_screen() {
    let Some(browser) = Browser::find("screens") else { return };
    for (name, page, drawings) in pages() {
        let file = browser.write(&format!("{name}.html"), &page);
        browser.open(&file, "--dump-dom");
        let headings = page.matches("<h1").count() + page.matches("<h2").count();
        let boxes = page.matches("<input type=\"checkbox\"").count();
        let found = browser.probe(&name, &page);
        assert_eq!(found.len(), 3);
        for (found, width) in found.iter().zip([380, 800, 1280]) {
            let at = format!("{name} at {width}: {found}");
            assert_eq!(count(found, "width"), width, "{at}");
            assert!(count(found, "scroll") <= width && list(found, "overflowing").is_empty(), "{at}");
            assert!(list(found, "resources").is_empty(), "{at}");
            assert_eq!(list(found, "headings").len(), headings, "{at}");
            assert_eq!(count(found, "boxes"), u64::try_from(boxes).expect("a count"), "{at}");
            for none in ["hidden", "unnamed", "untold", "scripts"] {
                assert_eq!(count(found, none), 0, "{none}: {at}");
            }
            assert!(list(found, "outside").is_empty() && list(found, "doubles").is_empty(), "{at}");
            assert!(LEAST_CONTRAST <= found["contrast"].as_f64().expect("a contrast"), "{at}");
            assert_eq!(found["language"], "en", "{at}");
            assert_eq!(count(found, "drawings"), drawings, "{at}");
        }
    }
}

/// A page with a fault of each kind that is looked for: else a probe that sees nothing would pass everything.
#[test]
fn the_probe_sees_faults() {
    let Some(browser) = Browser::find("faults") else { return };
    let page = "<!DOCTYPE html><html lang=\"en\"><body><h1 id=\"a\">A</h1><p id=\"a\" style=\"color:#bbb\">pale</p>\
                <div style=\"width:900px\">wide</div><input type=\"checkbox\"><input type=\"checkbox\" hidden>\
                <svg width=\"50\" height=\"20\" role=\"img\" aria-labelledby=\"t\"><title>t</title>\
                <text x=\"20\" y=\"15\">far too long</text></svg></body></html>";
    let found = browser.probe("faulty", page);
    let narrow = &found[0];
    assert!(380 < count(narrow, "scroll") && !list(narrow, "overflowing").is_empty(), "{narrow}");
    for (key, due) in [("unnamed", 2), ("hidden", 1), ("untold", 1)] {
        assert_eq!(count(narrow, key), due, "{key}: {narrow}");
    }
    assert!(!list(narrow, "outside").is_empty() && !list(narrow, "doubles").is_empty(), "{narrow}");
    assert!(narrow["contrast"].as_f64().expect("a contrast") < LEAST_CONTRAST, "{narrow}");
    assert!(list(&found[2], "overflowing").is_empty(), "{}", found[2]);
}

#[test]
fn what_must_stand_on_the_sheet_stands_there() {
    let Some(browser) = Browser::find("sheet") else { return };
    let (name, page) = hall().html().into_iter().find(|(n, _)| *n == "sheet").expect("a sheet");
    let found = browser.probe(name, &page);
    let headings: Vec<&str> = list(&found[1], "headings").iter().filter_map(Value::as_str).collect();
    for due in [
        "Cautions",
        "Charge that stays after switching off",
        "Order of work",
        "1 High-voltage supply",
        "2 Coupling",
        "3 Mains side and the rest",
        "4 Readings still due",
        "The HT supply",
        "Cold checks, before any power",
        "First power",
        "Readings, warm, everything in",
        "Load test and hum",
        "Touch current, before the set goes back",
        "Running in",
        "Job record",
        "Slip to stay in the chassis",
    ] {
        assert!(headings.contains(&due), "{due}: {headings:?}");
    }
    let steps = hall().sheet.steps.len();
    assert!(u64::try_from(steps).expect("a count") < count(&found[1], "boxes"), "a box for every step");
}

/// What a tool of the PDF library prints; `None` where the tool is not there.
fn tool(program: &str, arguments: &[&str]) -> Option<String> {
    let output = Command::new(program).args(arguments).output().ok()?;
    Some(String::from_utf8_lossy(&output.stdout).into_owned())
}

/// The number behind a key such as `xMax="`.
fn figure(line: &str, key: &str) -> Option<f64> {
    line.split(key).nth(1)?.split('"').next()?.parse().ok()
}

#[test]
fn pages_print_on_a4_and_letter() {
    let Some(browser) = Browser::find("print") else { return };
    for (name, page, _) in pages() {
        for (paper, width) in [("A4", 595.0), ("Letter", 612.0)] {
            let pdf = browser.print(&name, &page, paper);
            let pdf = pdf.to_str().expect("a plain name");
            let Some(info) = tool("pdfinfo", &[pdf]) else {
                assert!(std::env::var_os("CAPJOB_BROWSER").is_none(), "pdfinfo is not there");
                println!("print: NOTHING MEASURED, pdfinfo and pdftotext are not there");
                return;
            };
            let pages: u32 = info
                .lines()
                .find_map(|l| l.strip_prefix("Pages:"))
                .and_then(|n| n.trim().parse().ok())
                .expect("a count of pages");
            let most = if name.ends_with("sheet") { 8 } else { 4 };
            assert!((1..=most).contains(&pages), "{name} on {paper}: {pages} pages");
            let text = tool("pdftotext", &["-layout", pdf, "-"]).expect("pdftotext");
            assert!(text.contains("written by capjob"), "{name} on {paper}");
            for heading in page.split("<h2 id=").skip(1) {
                let heading = heading.split('>').nth(1).and_then(|t| t.split('<').next()).expect("a heading");
                assert!(text.contains(heading), "{name} on {paper}: {heading}");
            }
            let words = tool("pdftotext", &["-bbox", pdf, "-"]).expect("pdftotext");
            for line in words.lines().filter(|l| l.contains("<word ")) {
                let (left, right) = (figure(line, "xMin=\""), figure(line, "xMax=\""));
                assert!(left.is_some_and(|x| 20.0 < x) && right.is_some_and(|x| x < width - 20.0), "{name}: {line}");
            }
        }
    }
}
