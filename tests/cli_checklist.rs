//! The points of the interface, tested from outside, each by its number.
//!
//! Point 35 is tested as far as it can be seen from outside: a program that is shipped has no way to panic on
//! demand, so the line that it would print is tested beside its code. Of the exit codes of point 34, 70 stands
//! there too, and 130 is that of point 42.

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

use std::collections::BTreeMap;
use std::fs;
use std::process::{Command, Stdio};
use std::time::Duration;

use clap::CommandFactory as _;
use cli::{Bench, CORRAN, LARK, Ran, files, folder, program, ran, root, run, run_args, shell};
use serde_json::Value;

fn tree() -> clap::Command {
    let mut tree = capjob::cli::args::Cli::command();
    tree.build();
    tree
}

fn commands() -> Vec<String> {
    tree().get_subcommands().map(|c| c.get_name().to_owned()).filter(|n| n != "help").collect()
}

fn json(text: &str) -> Value {
    serde_json::from_str(text).unwrap()
}

fn plan(more: &str) -> Ran {
    run(&format!("plan {CORRAN} --shop catalog-sample {more}"))
}

/// Whether a program is there; what is skipped without it says so.
fn there(name: &str) -> bool {
    let found = Command::new("sh").args(["-c", &format!("command -v {name}")]).output().unwrap().status.success();
    if !found {
        println!("skipped: `{name}` is not on this machine");
    }
    found
}

/// Runs a shell line under a terminal of `script`; what the terminal saw.
fn on_a_terminal(line: &str, environment: &[(&str, &str)]) -> Option<String> {
    if !there("script") {
        return None;
    }
    let mut command = Command::new("script");
    command.args(["-qec", line, "/dev/null"]).current_dir(root()).stdin(Stdio::null());
    command.env_remove("NO_COLOR").env_remove("CAPJOB_SHOP").env("TERM", "xterm");
    for (name, value) in environment {
        command.env(name, value);
    }
    Some(String::from_utf8(command.output().unwrap().stdout).unwrap())
}

fn exe() -> &'static str {
    env!("CARGO_BIN_EXE_capjob")
}

#[test]
fn point_01_no_arguments_help_on_stderr_else_on_stdout() {
    let bare = run("");
    assert_eq!((bare.code, bare.out.as_str()), (2, ""));
    assert!(bare.err.matches("\n  capjob ").count() == 2 && bare.err.contains("Commands:"), "{}", bare.err);
    for form in ["help", "-h", "--help"] {
        let asked = run(form);
        assert_eq!((asked.code, asked.err.as_str()), (0, ""), "{form}");
        assert!(asked.out.contains("capjob help COMMAND"), "{form}: {}", asked.out);
    }
}

#[test]
fn point_02_help_of_a_command_is_one_text() {
    for command in commands() {
        let (short, word) = (run(&format!("{command} -h")), run(&format!("help {command}")));
        assert_eq!(short.code, 0);
        assert_eq!(short.out, word.out, "{command}");
    }
    assert!(run("plan x --seconds 3 -h").out.contains("Usage: capjob plan"));
}

#[cfg(unix)]
#[test]
fn point_03_every_example_of_the_help_runs() {
    let top = program().arg("-h").output().unwrap();
    let mut helps = vec![String::from_utf8(top.stdout).unwrap()];
    let named = helps[0].lines().skip_while(|l| *l != "Commands:").skip(1).take_while(|l| !l.is_empty());
    let names: Vec<String> = named.filter_map(|l| l.split_whitespace().next()).map(str::to_owned).collect();
    assert!(names.len() > 10, "{names:?}");
    helps.extend(names.iter().filter(|n| *n != "help").map(|n| run(&format!("help {n}")).out));
    let mut ran = Vec::new();
    let joined = helps.join("\n").replace("\\\n", "");
    for line in joined.lines().filter(|l| l.starts_with("  capjob ")) {
        if ran.contains(&line) {
            continue;
        }
        let (said, code) = shell(line.trim(), folder().path());
        assert_eq!(code, 0, "{line}\n{said}");
        ran.push(line);
    }
    assert!(ran.len() >= names.len(), "{ran:?}");
}

#[test]
fn point_03_help_leads_with_examples() {
    for command in commands() {
        let text = run(&format!("{command} -h")).out;
        let (example, usage) = (text.find("\n  capjob "), text.find("Usage:"));
        assert!(example.is_some() && example < usage, "{command}: {text}");
    }
}

#[test]
fn point_04_short_help_fits_a_small_screen() {
    let text = run("-h").out;
    assert!(text.lines().count() <= 24, "{} lines", text.lines().count());
    assert!(text.lines().all(|l| l.chars().count() <= 80), "{text}");
    for command in commands() {
        let text = run(&format!("{command} --help")).out;
        assert!(text.lines().all(|l| l.chars().count() <= 80), "{text}");
    }
}

#[test]
fn point_05_help_ends_with_documentation_and_faults() {
    for command in commands() {
        let text = run(&format!("{command} -h")).out;
        let end: Vec<&str> = text.lines().rev().take(3).collect();
        assert!(end.join(" ").contains("docs/") && end.join(" ").contains("faults:"), "{command}: {end:?}");
    }
    let top = run("-h").out;
    assert!(top.trim_end().ends_with("issue list"), "{top}");
}

#[test]
fn point_06_version() {
    for form in ["-V", "--version"] {
        let told = run(form);
        assert_eq!((told.code, told.out), (0, format!("capjob {}\n", env!("CARGO_PKG_VERSION"))));
    }
    assert_eq!(run("-v").code, 2);
}

#[test]
fn point_07_unknown_command_names_the_nearest() {
    let command = run("pln x");
    assert_eq!((command.code, command.out.as_str()), (2, ""));
    assert!(command.err.contains("exist") && command.err.contains("'plan'"), "{}", command.err);
    let option = run("inspect x --jsn");
    assert_eq!((option.code, option.out.as_str()), (2, ""));
    assert!(option.err.contains("'--json'") && !option.err.contains('?'), "{}", option.err);
}

#[test]
fn point_08_nothing_is_abbreviated() {
    for short in ["pla x", "inspec x", "inspect x --jso", "inspect x --overw"] {
        assert_eq!(run(short).code, 2, "{short}");
    }
}

#[test]
fn point_09_every_short_option_has_a_long_one() {
    for command in tree().get_subcommands() {
        for arg in command.get_arguments().filter(|a| a.get_short().is_some()) {
            assert!(arg.get_long().is_some(), "{} {}", command.get_name(), arg.get_id());
            assert!(matches!(arg.get_short(), Some('q' | 'v' | 'h' | 'V')), "{}", arg.get_id());
        }
    }
}

#[test]
fn point_10_manual_pages_are_clean_and_from_the_same_source() {
    for name in commands().iter().map(String::as_str).chain([""]) {
        let page = run(&format!("man {name}"));
        assert_eq!((page.code, page.err.as_str()), (0, ""), "{name}");
        assert!(page.out.starts_with(".ie") && page.out.contains(".SH EXAMPLES"), "{name}");
        let about = run(&format!("help {name}")).out;
        let first = about.lines().next().unwrap();
        let said = first.split_once(": ").filter(|_| name.is_empty()).map_or(first, |(_, said)| said);
        assert!(page.out.replace("\\-", "-").contains(&said.replace('\'', "\\*(Aq")), "{name}: {said}");
        if there("groff") {
            let file = tempfile::NamedTempFile::new().unwrap();
            fs::write(file.path(), &page.out).unwrap();
            let checked = Command::new("groff").args(["-man", "-ww", "-z"]).arg(file.path()).output().unwrap();
            assert_eq!(String::from_utf8_lossy(&checked.stderr), "", "{name}");
        }
        if there("mandoc") {
            let file = tempfile::NamedTempFile::new().unwrap();
            fs::write(file.path(), &page.out).unwrap();
            let checked = Command::new("mandoc").args(["-Tlint", "-W", "warning"]).arg(file.path()).output().unwrap();
            assert_eq!(String::from_utf8_lossy(&checked.stdout), "", "{name}");
        }
    }
}

#[test]
fn point_11_completions_need_no_folder() {
    let empty = tempfile::tempdir().unwrap();
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        let told = ran(program().current_dir(empty.path()).args(["completions", shell]).output().unwrap());
        assert_eq!((told.code, told.err.as_str()), (0, ""), "{shell}");
        assert!(told.out.contains("capjob"), "{shell}");
    }
    if there("bash") {
        let file = empty.path().join("capjob.bash");
        fs::write(&file, run("completions bash").out).unwrap();
        assert!(Command::new("bash").arg("-n").arg(&file).status().unwrap().success());
    }
}

#[test]
fn point_12_same_option_same_meaning() {
    let mut meanings: BTreeMap<String, String> = BTreeMap::new();
    for command in tree().get_subcommands() {
        for arg in command.get_arguments() {
            let Some(long) = arg.get_long() else { continue };
            // `new --shop DIR` names the shop folder too, but makes it.
            if (command.get_name(), long) == ("new", "shop") {
                continue;
            }
            let says = arg.get_help().map(ToString::to_string).unwrap_or_default();
            let before = meanings.entry(long.to_owned()).or_insert_with(|| says.clone());
            assert_eq!(*before, says, "{} --{long}", command.get_name());
        }
    }
}

#[test]
fn point_13_result_on_stdout_the_rest_on_stderr() {
    let bench = Bench::new();
    let catalog = bench.read("shop/catalog/example.csv");
    bench.write("shop/catalog/example.csv", format!("{catalog}BAD,Example (invented),no-such-part\n"));
    let planned = bench.run("plan job");
    assert_eq!(planned.code, 0, "{}", planned.err);
    assert!(planned.err.contains("set aside") && !planned.out.contains("set aside"), "{}", planned.err);
    assert!(planned.out.contains("REPLACE") && !planned.err.contains("REPLACE"));
}

#[test]
fn point_14_json_is_one_document() {
    let job = format!("{CORRAN} --shop catalog-sample --json");
    let runs = [
        ("inspect", format!("inspect {job}")),
        ("supply", format!("supply {job}")),
        ("reform", format!("reform {job}")),
        ("plan", format!("plan {job}")),
        ("order", format!("order {job}")),
        ("quote", format!("quote {job}")),
        ("sheet", format!("sheet {job}")),
        ("verify", format!("verify {job}")),
        ("new", "new some-folder --dry-run --quiet --json".to_owned()),
        ("rules", "rules paper --json".to_owned()),
        ("decode", "decode 4K7 --json".to_owned()),
    ];
    for (command, args) in runs {
        let told = run(&args);
        assert!(told.out.starts_with("{\n") && told.out.ends_with("}\n"), "{command}");
        let document = json(&told.out);
        assert_eq!(document["schema"], format!("capjob.{command}/1"));
        assert_eq!(document["tool_version"], env!("CARGO_PKG_VERSION"));
        for key in ["job", "assumed", "cautions", "set_aside", "diagnostics"] {
            assert!(document.get(key).is_some(), "{command}: {key}");
        }
        assert_eq!(told.err, "", "{command}");
    }
    let checked = run_args(&["check", CORRAN, "C30", "22uF 300V", "--shop", "catalog-sample", "--json"]);
    assert_eq!((checked.code, &json(&checked.out)["schema"]), (1, &Value::from("capjob.check/1")));
}

#[test]
fn point_15_set_aside_lines_are_in_the_document_and_errors_leave_stdout_empty() {
    let bench = Bench::new();
    let catalog = bench.read("shop/catalog/example.csv");
    let line = catalog.lines().count() + 1;
    bench.write("shop/catalog/example.csv", format!("{catalog}BAD,Example (invented),no-such-part\n"));
    for command in ["plan", "order"] {
        let document = json(&bench.run(&format!("{command} job --json")).out);
        assert_eq!(document["set_aside"], 1);
        let first = &document["diagnostics"][0];
        assert_eq!((first["line"].as_u64(), first["column"].as_u64()), (Some(line as u64), Some(24)), "{first}");
        assert!(first["file"].as_str().unwrap().ends_with("example.csv"));
        assert_eq!(first["code"], "unknown-word");
        assert!(first["message"].is_string() && first["help"].is_string(), "{first}");
    }
    let failed = bench.run("plan nowhere --json");
    assert_eq!((failed.code, failed.out.as_str()), (3, ""));
    assert!(failed.err.contains("nowhere"));
}

/// Walks a document with the key of each value.
fn walk(key: &str, value: &Value, look: &mut impl FnMut(&str, &Value)) {
    look(key, value);
    match value {
        Value::Object(map) => map.iter().for_each(|(k, v)| walk(k, v, look)),
        Value::Array(all) => all.iter().for_each(|v| walk(key, v, look)),
        _ => {}
    }
}

#[test]
fn point_16_numbers_in_json() {
    let document = json(&plan("--json").out);
    let money = ["goods", "carriage", "fee", "fees", "total", "landed", "bound", "each", "line", "one_supplier"];
    let mut seen = 0;
    walk("", &document, &mut |key, value| {
        if money.contains(&key) && !value.is_null() {
            let text = value.as_str().unwrap_or_else(|| panic!("{key} is {value}"));
            assert!(
                text.split_once('.').is_some_and(|(w, m)| w.parse::<i64>().is_ok() && m.len() >= 2),
                "{key} {text}"
            );
            seen += 1;
        }
        if let Some(number) = value.as_f64() {
            assert!(number.is_finite());
        }
    });
    assert!(seen > 10);
}

#[test]
fn point_17_a_pipe_gets_plain_records() {
    let text = plan("").out;
    assert!(!text.chars().any(|c| ('\u{2500}'..='\u{257f}').contains(&c)), "{text}");
    let parts = json(&plan("--json").out)["parts"].as_array().unwrap().len();
    assert!(parts > 10 && !text.contains('\u{1b}'));
    let listed = run("rules").out;
    assert_eq!(listed.lines().filter(|l| l.trim_start().starts_with("paper ")).count(), 1);
}

#[test]
fn point_18_quiet_and_verbose() {
    let bench = Bench::new();
    let catalog = bench.read("shop/catalog/example.csv");
    bench.write("shop/catalog/example.csv", format!("{catalog}BAD,Example (invented),no-such-part\n"));
    let bytes: Vec<usize> = ["-q", "", "-v", "-vv"].map(|v| bench.run(&format!("plan job {v}")).err.len()).to_vec();
    assert!(bytes[0] == 0 && bytes.windows(2).all(|w| w[0] < w[1]), "{bytes:?}");
    assert_eq!(plan("-q -v").code, 2);
}

#[test]
fn point_19_no_labels_on_stderr() {
    let told = plan("-v").err;
    assert!(!told.is_empty());
    for word in ["INFO", "WARN", "DEBUG", "capjob::", "2026-"] {
        assert!(!told.contains(word), "{told}");
    }
}

#[test]
fn point_20_colour_only_where_it_is_wanted() {
    let line = format!("{} inspect {CORRAN} --shop catalog-sample", exe());
    let shown = |more: &str, environment: &[(&str, &str)]| {
        on_a_terminal(&format!("{line} {more}"), environment).map(|t| t.contains('\u{1b}'))
    };
    assert!(!run(&format!("inspect {CORRAN} --shop catalog-sample")).out.contains('\u{1b}'));
    assert!(run(&format!("inspect {CORRAN} --shop catalog-sample --color always")).out.contains('\u{1b}'));
    for (more, environment, due) in [
        ("", &[][..], true),
        ("", &[("NO_COLOR", "1")][..], false),
        ("", &[("NO_COLOR", "")][..], true),
        ("", &[("TERM", "dumb")][..], false),
        ("--color never", &[][..], false),
        ("--color always", &[("NO_COLOR", "1")][..], true),
    ] {
        if let Some(coloured) = shown(more, environment) {
            assert_eq!(coloured, due, "{more} {environment:?}");
        }
    }
}

#[test]
fn point_21_nothing_is_said_by_colour_alone() {
    let job = format!("inspect {CORRAN} --shop catalog-sample --color");
    let (with, without) = (run(&format!("{job} always")).out, run(&format!("{job} never")).out);
    assert_eq!(with.replace("\u{1b}[1m", "").replace("\u{1b}[0m", ""), without);
}

#[test]
fn point_22_width() {
    for columns in ["60", "80", "200"] {
        let job = ["inspect", "supply", "plan", "order", "quote", "sheet", "verify", "reform"];
        let mut commands: Vec<Vec<&str>> = job.map(|c| vec![c, CORRAN, "--shop", "catalog-sample"]).to_vec();
        commands.push(vec!["plan", CORRAN, "--shop", "catalog-sample", "--why", "C30"]);
        commands.push(vec!["check", CORRAN, "C30", "22uF 450V axial", "--shop", "catalog-sample"]);
        commands.extend([vec!["rules"], vec!["rules", "paper"], vec!["decode", "brown black orange gold"]]);
        for command in commands {
            let mut program = program();
            program.env("COLUMNS", columns).args(&command);
            let text = ran(program.output().unwrap()).out;
            let most: usize = columns.parse().unwrap();
            for line in text.lines() {
                let long = line.chars().count();
                assert!(long <= most || !line.trim().contains(' '), "{command:?} at {columns}: {long}: {line}");
            }
            assert!(!text.contains('…'));
        }
    }
    if let Some(text) = on_a_terminal(&format!("{} rules paper", exe()), &[("COLUMNS", "60")]) {
        assert!(
            text.lines().all(|l| l.replace("\u{1b}[1m", "").replace("\u{1b}[0m", "").trim_end().chars().count() <= 80)
        );
    }
}

#[test]
fn point_23_there_is_no_pager() {
    if let Some(text) = on_a_terminal(&format!("{} rules", exe()), &[("PAGER", "false")]) {
        assert!(text.contains("paper"));
    }
}

#[test]
fn point_24_no_animation_off_a_terminal() {
    let told = plan("-v").err;
    assert!(!told.contains('\r') && !told.contains('\u{1b}'));
}

/// On a terminal work that lasts is told of, and the line is taken back; the catalog waits for a writer.
#[cfg(target_os = "linux")]
#[test]
fn point_24_work_under_way_is_told_on_a_terminal_and_taken_back() {
    use std::io::Read as _;
    if !there("script") || !there("mkfifo") {
        return;
    }
    let bench = Bench::new();
    let slow = bench.path("shop/catalog/slow.csv");
    assert!(Command::new("mkfifo").arg(&slow).status().unwrap().success());
    let shown = |more: &str, due: &str| {
        let mut command = Command::new("script");
        command.args(["-qec", &format!("{} plan job {more}", exe()), "/dev/null"]).current_dir(bench.folder.path());
        command.stdin(Stdio::null()).stdout(Stdio::piped()).env_remove("CAPJOB_SHOP");
        let mut child = command.spawn().unwrap();
        let (mut out, mut seen, mut piece) = (child.stdout.take().unwrap(), Vec::new(), [0; 256]);
        while !String::from_utf8_lossy(&seen).contains(due) {
            let read = out.read(&mut piece).unwrap();
            assert!(read > 0, "{}", String::from_utf8_lossy(&seen));
            seen.extend(&piece[..read]);
        }
        let head = bench.read("shop/catalog/example.csv").lines().find(|l| !l.starts_with('#')).unwrap().to_owned();
        fs::write(&slow, head).unwrap();
        out.read_to_end(&mut seen).unwrap();
        assert!(child.wait().unwrap().success());
        String::from_utf8(seen).unwrap()
    };
    let text = shown("", "looking for the least cost");
    let (before, after) = text.split_once("looking for the least cost ...").unwrap();
    assert!(!before.contains("REPLACE") && after.starts_with("\r   ") && after.contains("REPLACE"), "{text:?}");
}

#[test]
fn point_25_untrusted_text_is_shown_escaped() {
    let bench = Bench::new();
    let evil = "\u{1b}[2J\u{1b}]52;c;eA==\u{7}\u{202e}\u{9b}x\u{7f}";
    bench
        .write("job/parts.csv", format!("ref,part,marked,note\nC1{evil},paper,.05/400,{evil}\nV1,valve,EF86{evil},\n"));
    bench.write(
        "shop/catalog/more.csv",
        format!("number,supplier,part,{evil}\nN{evil},Example (invented),pap{evil},\n"),
    );
    let harmless = |told: &Ran, what: &str| {
        for text in [&told.out, &told.err] {
            let bad = text.chars().find(
                |c| matches!(c, '\u{1b}' | '\u{7}' | '\r' | '\u{7f}' | '\u{80}'..='\u{9f}' | '\u{202a}'..='\u{202e}'),
            );
            assert_eq!(bad, None, "{what}: {text:?}");
        }
    };
    for command in ["inspect job", "plan job", "plan job --strict", "plan job -vv", "order job", "inspect job --json"] {
        harmless(&bench.run(command), command);
    }
    for args in
        [["inspect", evil], ["decode", evil], ["rules", evil], ["man", evil], [evil, "x"], ["completions", evil]]
    {
        harmless(&run_args(&args), args[0]);
    }
}

#[test]
fn point_26_two_hyphens_end_the_options() {
    let bench = Bench::new();
    fs::rename(bench.path("job"), bench.path("-x")).unwrap();
    assert_eq!(bench.run("inspect --shop shop -- -x").code, 0);
    assert_eq!(bench.run("inspect --shop shop -x").code, 2);
}

/// Faults of many kinds: what the program says about each.
fn faults() -> Vec<Ran> {
    let header = "ref,part,marked,place,reads,sight\n";
    let parts = [
        "C1,papre,.05/400,,,\n",
        "C1,paper,.05/400,,,\nC1,paper,.05/400,,,\n",
        "C1,paper,16,,,\n",
        ",paper,.05/400,,,\n",
        "C1,paper,.05/400,nowhere,,\n",
        "C1,paper,.05/400,coupling,xx,\n",
        "C1,paper,\".05/400,,,\n",
        "C1,paper,.05/400,,,ok,too,many\n",
    ];
    let mut all = Vec::new();
    for line in parts {
        let bench = Bench::new();
        bench.write("job/parts.csv", format!("{header}{line}"));
        all.push(bench.run("inspect job"));
    }
    let sheets = [
        "[chassis]\nname = 5\n",
        "[chassis]\nnam = \"x\"\n",
        "[chassis\n",
        "[chassis]\nname = \"x\"\nyear = 30\n",
        "[chassis]\nname = \"x\"\nwish = \"wrkng\"\n",
        "[chassis]\nname = \"x\"\ninspected = \"soon\"\n",
    ];
    for sheet in sheets {
        let bench = Bench::new();
        bench.write("job/chassis.toml", sheet);
        all.push(bench.run("inspect job"));
    }
    for settings in ["currency = \"euro\"\n", "words = \"uk\"\n", "currency = \"EUR\"\n[margins]\npapr = 3\n"] {
        let bench = Bench::new();
        bench.write("shop/shop.toml", settings);
        all.push(bench.run("inspect job"));
    }
    all
}

#[test]
fn point_27_every_complaint_says_file_line_and_column() {
    for told in faults() {
        assert_eq!((told.code, told.out.as_str()), (2, ""), "{}", told.err);
        let first = told.err.lines().next().unwrap();
        let (place, _) = first.split_once(": error: ").unwrap_or_else(|| panic!("{first}"));
        let mut numbers = place.rsplit(':').take(2).map(|n| n.parse::<usize>().unwrap());
        assert!(numbers.all(|n| n >= 1), "{first}");
    }
    // The record begins on physical line 3, though a quoted cell before it spans two.
    let bench = Bench::new();
    bench.write("job/parts.csv", "ref,part,marked,note\nC1,paper,.05/400,\"two\nlines\"\nC2,papre,.05/400,\n");
    let told = bench.run("inspect job");
    assert!(told.err.contains("parts.csv:4:4: error: "), "{}", told.err);
}

#[test]
fn point_28_beneath_stands_the_record_the_caret_and_the_mend() {
    for told in faults() {
        assert!(told.err.contains("help: "), "{}", told.err);
        let lines: Vec<&str> = told.err.lines().collect();
        if let Some(caret) = lines.iter().position(|l| l.trim_start().starts_with('^')) {
            assert!(lines[caret - 1].chars().count() >= lines[caret].find('^').unwrap_or(0), "{}", told.err);
        }
    }
}

#[test]
fn point_29_messages_read_alike() {
    let others = ["inspect nowhere", "rules papr", "man nothing", "decode x --year 1", "plan x --seconds 0"].map(run);
    for told in faults().iter().chain(&others) {
        for line in told.err.lines().filter(|l| l.contains("error: ")) {
            let message = line.split_once("error: ").unwrap().1;
            let first = message.chars().next().unwrap();
            assert!(!first.is_uppercase() || message.starts_with("C1"), "{line}");
            assert!(!message.ends_with('.') && !message.contains("failed to"), "{line}");
        }
    }
}

#[test]
fn point_30_every_rule_that_is_printed_has_a_page() {
    let document = json(&plan("--json").out);
    let mut ids: Vec<String> = Vec::new();
    walk("", &document, &mut |key, value| {
        if let (true, Some(id)) = (key == "rule", value.as_str()) {
            ids.push(id.to_owned());
        }
    });
    ids.sort();
    ids.dedup();
    assert!(ids.len() > 5);
    let without: Vec<&String> = ids.iter().filter(|id| run(&format!("rules {id}")).code != 0).collect();
    assert!(without.is_empty(), "{without:?}");
    let page = run("rules paper").out;
    for head in ["WHAT", "WHY", "WHERE IT DOES NOT APPLY", "LIMITS", "SOURCES"] {
        assert!(page.contains(head), "{head}");
    }
}

#[test]
fn point_31_all_faults_in_one_run() {
    let bench = Bench::new();
    let lines: String = (0..30).map(|i| format!("C{i},papre,.05/400\n")).collect();
    bench.write("job/parts.csv", format!("ref,part,marked\n{lines}"));
    let told = bench.run("inspect job").err;
    assert_eq!(told.matches(": error: ").count(), 20);
    assert!(told.contains("and 10 more: unknown word") && told.contains("--all-errors"), "{told}");
    assert_eq!(bench.run("inspect job --all-errors").err.matches(": error: ").count(), 30);
    // Faults of several files come in one run too.
    bench.write("shop/shop.toml", "currency = \"euro\"\n");
    let both = bench.run("inspect job --all-errors").err;
    assert!(both.contains("parts.csv:") && both.contains("shop.toml:"), "{both}");
}

#[test]
fn point_32_own_files_are_fatal_a_catalog_line_is_set_aside() {
    let bench = Bench::new();
    let catalog = bench.read("shop/catalog/example.csv");
    bench.write("shop/catalog/example.csv", format!("{catalog}BAD,Example (invented),no-such-part\n"));
    let told = bench.run("plan job");
    assert!(told.code == 0 && told.err.contains("example.csv:") && told.err.contains("1 catalog line"), "{}", told.err);
    let strict = bench.run("plan job --strict --out out");
    assert_eq!((strict.code, strict.out.as_str()), (2, ""));
    bench.write("job/parts.csv", "ref,part,marked\nC1,papre,.05/400\n");
    assert_eq!(bench.run("plan job --out out").code, 2);
    assert!(!bench.path("out").exists());
}

#[test]
fn point_33_each_trouble_with_a_file_has_its_own_message() {
    let mut messages: Vec<String> = Vec::new();
    let troubles: [(&str, Option<&[u8]>, i32); 6] = [
        ("missing", None, 3),
        ("empty", Some(b""), 2),
        ("header only", Some(b"ref,part,marked\n"), 0),
        ("xlsx named csv", Some(b"PK\x03\x04xxxxxxxxxxxx"), 2),
        ("pdf", Some(b"%PDF-1.7\n%xxxx\n"), 2),
        ("gzip", Some(&[0x1f, 0x8b, 8, 0, 0, 0, 0, 0, 0, 3]), 2),
    ];
    for (name, bytes, code) in troubles {
        let bench = Bench::new();
        match bytes {
            None => fs::remove_file(bench.path("job/parts.csv")).unwrap(),
            Some(bytes) => bench.write("job/parts.csv", bytes),
        }
        let told = bench.run("inspect job");
        assert_eq!(told.code, code, "{name}: {}", told.err);
        if code != 0 {
            assert!(told.err.contains("help: "), "{name}: {}", told.err);
            messages.push(told.err.lines().next().unwrap().to_owned());
        }
    }
    // What the kernel refuses to read, whoever asks.
    #[cfg(target_os = "linux")]
    {
        let bench = Bench::new();
        fs::remove_file(bench.path("job/parts.csv")).unwrap();
        std::os::unix::fs::symlink("/proc/self/mem", bench.path("job/parts.csv")).unwrap();
        let told = bench.run("inspect job");
        assert!(told.code == 3 && told.err.contains("help: "), "{} {}", told.code, told.err);
        messages.push(told.err.lines().next().unwrap().to_owned());
    }
    let bench = Bench::new();
    fs::remove_file(bench.path("job/parts.csv")).unwrap();
    fs::create_dir(bench.path("job/parts.csv")).unwrap();
    let told = bench.run("inspect job");
    assert!(told.code == 3 && told.err.contains("folder"), "{}", told.err);
    messages.push(told.err.lines().next().unwrap().to_owned());
    // The file's kind is named: the same head line would do for none of the others.
    messages.sort();
    messages.dedup();
    assert_eq!(messages.len(), if cfg!(target_os = "linux") { 7 } else { 6 }, "{messages:#?}");
}

#[test]
fn point_34_exit_codes() {
    let bench = Bench::new();
    assert_eq!(bench.run("plan job").code, 0);
    bench.write("job/parts.csv", "ref,part,marked,place\nC1,paper,.05uF 9000V,coupling\n");
    assert_eq!(bench.run("plan job").code, 1);
    assert_eq!(bench.run("plan job --bogus").code, 2);
    assert_eq!(bench.run("plan nowhere").code, 3);
    assert_eq!(bench.run("plan job --seconds 1").code, 1);
    let help = run("plan --help").out;
    for code in ["0 done", "1 something", "2 bad input", "3 cannot", "70", "130"] {
        assert!(help.contains(code), "{code}");
    }
    assert!(run("man plan").out.contains("130"));
}

// The line that a panic prints is tested beside its code (point 35): a build that is shipped has
// no way to panic on demand.
#[test]
fn point_35_no_argument_makes_it_panic() {
    for args in ["decode \u{0}", "decode \u{1f600}", "rules -", "man man", "decode 99999999999999999999999999uF"] {
        let told = run(&args.replace('\u{0}', ""));
        assert!(told.code < 3 && !told.err.contains("panicked"), "{args}: {}", told.err);
    }
}

#[test]
fn point_36_nothing_is_written_that_was_not_asked_for() {
    let bench = Bench::new();
    let before = files(bench.folder.path());
    for command in [
        "inspect job",
        "supply job",
        "plan job",
        "order job",
        "reform job",
        "plan job --json",
        "plan job --why C1",
        "check job C1 EX-E22-450",
        "quote job",
        "sheet job",
        "verify job",
        "rules",
        "rules paper",
        "decode 4K7",
        "man",
        "man plan",
        "completions bash",
        "help plan",
    ] {
        bench.run(command);
    }
    assert_eq!(files(bench.folder.path()), before);
    assert_eq!(bench.run("plan job --out out").code, 0);
    let after = files(bench.folder.path());
    assert!(before.iter().all(|(path, bytes)| after.get(path) == Some(bytes)));
    assert!(after.keys().filter(|p| !before.contains_key(*p)).all(|p| p.starts_with(bench.path("out"))));
}

#[cfg(unix)]
#[test]
fn point_37_modes_follow_the_umask_and_are_kept() {
    use std::os::unix::fs::PermissionsExt as _;
    let bench = Bench::new();
    let line = format!("umask 022; {} plan job --out out -q >/dev/null", exe());
    assert!(Command::new("sh").args(["-c", &line]).current_dir(bench.folder.path()).status().unwrap().success());
    let file = bench.path("out/plan.json");
    let mode = || fs::metadata(&file).unwrap().permissions().mode() & 0o777;
    assert_eq!(mode(), 0o644);
    fs::write(&file, "other").unwrap();
    fs::set_permissions(&file, fs::Permissions::from_mode(0o600)).unwrap();
    assert_eq!(bench.run("plan job --out out --overwrite").code, 0);
    assert_eq!(mode(), 0o600);
}

/// Killed at any moment, a run leaves each file whole: as it was, or as it was to be.
#[cfg(unix)]
#[test]
fn point_37_a_killed_run_leaves_whole_files() {
    let bench = Bench::new();
    let parts = bench.read("job/parts.csv");
    let written = |bench: &Bench| files(&bench.path("out")).into_iter().collect::<Vec<_>>();
    assert_eq!(bench.run("plan job --out out").code, 0);
    let first = written(&bench);
    bench.write("job/parts.csv", parts.replace(".05/400", ".02/400"));
    let started = std::time::Instant::now();
    assert_eq!(bench.run("plan job --out out --overwrite").code, 0);
    let (second, took) = (written(&bench), started.elapsed());
    // All but the file with the same bytes differ; what they hold would fill the screen.
    assert!(first.iter().zip(&second).filter(|(a, b)| a.1 != b.1).count() >= 3);
    for share in [50, 80, 90, 95, 98, 100] {
        for (path, bytes) in &first {
            fs::write(path, bytes).unwrap();
        }
        let mut child = bench.program();
        child.args(["plan", "job", "--out", "out", "--overwrite", "-q"]).stdout(Stdio::null());
        let mut child = child.spawn().unwrap();
        std::thread::sleep(took * share / 100);
        // SIGKILL; a run that has ended already is as good.
        child.kill().unwrap();
        child.wait().unwrap();
        for ((path, before), (_, after)) in first.iter().zip(&second) {
            let bytes = fs::read(path).unwrap();
            assert!(bytes == *before || bytes == *after, "{} after {share} %", path.display());
        }
    }
    assert_eq!(bench.run("plan job --out out --overwrite").code, 0);
    assert!(written(&bench) == second);
}

#[test]
fn point_38_existing_output_stays_unless_overwritten() {
    let bench = Bench::new();
    assert_eq!(bench.run("plan job --out out").code, 0);
    let stamp = || fs::metadata(bench.path("out/parts.csv")).unwrap().modified().unwrap();
    let first = stamp();
    std::thread::sleep(Duration::from_millis(20));
    let again = bench.run("plan job --out out");
    assert!(again.code == 0 && again.err.contains("unchanged"), "{}", again.err);
    assert_eq!(stamp(), first);
    bench.write("out/parts.csv", "mine\n");
    let refused = bench.run("plan job --out out");
    assert!(
        refused.code == 2 && refused.err.contains("exists") && refused.err.contains("--overwrite"),
        "{}",
        refused.err
    );
    assert_eq!(bench.read("out/parts.csv"), "mine\n");
    assert_eq!(bench.run("plan job --out out --overwrite").code, 0);
    assert_ne!(bench.read("out/parts.csv"), "mine\n");
    // `new` never replaces a job that was begun.
    assert_eq!(bench.run("new job").code, 2);
}

#[test]
fn point_39_dry_run_writes_nothing() {
    let bench = Bench::new();
    let before = files(bench.folder.path());
    let told = bench.run("plan job --out out --dry-run");
    assert!(told.code == 0 && told.err.contains("would write") && told.err.contains("(new)"), "{}", told.err);
    assert_eq!(bench.run("new other --dry-run").code, 0);
    assert_eq!(bench.run("new --shop other --dry-run").code, 0);
    assert_eq!(files(bench.folder.path()), before);
}

#[test]
fn point_40_same_input_same_bytes() {
    for command in ["plan", "order", "inspect", "supply"] {
        let args = format!("{command} {CORRAN} --shop catalog-sample");
        assert_eq!(run(&args).out, run(&args).out);
        let (one, two) = (run(&format!("{args} --json")).out, run(&format!("{args} --json")).out);
        assert_eq!(one, two);
        assert!(!one.contains(&root().display().to_string()));
    }
    // Nothing of the surroundings comes in: another language, another zone.
    let args = ["inspect", LARK, "--shop", "catalog-sample"];
    let there = ran(program().args(args).env("LC_ALL", "de_DE.UTF-8").env("TZ", "Asia/Tokyo").output().unwrap());
    assert_eq!(there.out, run_args(&args).out);
}

#[test]
fn point_41_all_outputs_or_none() {
    let bench = Bench::new();
    fs::create_dir_all(bench.path("out/parts.csv")).unwrap();
    let told = bench.run("plan job --out out --overwrite");
    assert_eq!(told.code, 2, "{}", told.err);
    assert_eq!(files(&bench.path("out")).len(), 0);
    bench.write("plain", "x");
    let told = bench.run("plan job --out plain/below");
    assert_eq!((told.code, told.out.as_str()), (3, ""), "{}", told.err);
}

#[cfg(unix)]
#[test]
fn point_42_an_interrupt_ends_with_130_and_leftovers_are_swept() {
    use std::io::Read as _;
    let bench = Bench::new();
    if !there("mkfifo") {
        return;
    }
    // The catalog waits for a writer that never comes.
    assert!(Command::new("mkfifo").arg(bench.path("shop/catalog/slow.csv")).status().unwrap().success());
    let mut child =
        bench.program().args(["plan", "job"]).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    std::thread::sleep(Duration::from_millis(500));
    assert!(Command::new("kill").args(["-INT", &child.id().to_string()]).status().unwrap().success());
    assert_eq!(child.wait().unwrap().code(), Some(130));
    let mut told = String::new();
    child.stderr.take().unwrap().read_to_string(&mut told).unwrap();
    assert_eq!(told.lines().count(), 1, "{told}");
    fs::remove_file(bench.path("shop/catalog/slow.csv")).unwrap();
    fs::create_dir(bench.path("out")).unwrap();
    bench.write("out/.capjob-killed.tmp", "half");
    assert_eq!(bench.run("plan job --out out").code, 0);
    assert!(!bench.path("out/.capjob-killed.tmp").exists());
}

#[test]
fn point_43_a_closed_pipe_is_quiet() {
    if !there("bash") {
        return;
    }
    let line = format!("{} rules --json | head -1; echo ${{PIPESTATUS[0]}}", exe());
    let told = ran(Command::new("bash").args(["-c", &line]).output().unwrap());
    assert_eq!((told.out.as_str(), told.err.as_str()), ("{\n0\n", ""));
}

#[test]
fn point_44_flag_over_environment_over_files() {
    let bench = Bench::new();
    let plan = |environment: &str, more: &str| {
        let mut program = bench.program();
        program.env("CAPJOB_SHOP", environment).args(["plan", "job"]).args(more.split_whitespace());
        ran(program.output().unwrap())
    };
    assert_eq!(plan("nowhere", "").code, 3);
    assert_eq!(plan("nowhere", "--shop shop").code, 0);
    assert_eq!(plan("shop", "").code, 0);
    // Where each limit comes from is in the document.
    let origin = |document: &Value| -> Vec<String> {
        let mut all = Vec::new();
        walk("", document, &mut |key, value| {
            if let (true, Some(from)) = (key == "limit_from", value.as_str()) {
                all.push(from.to_owned());
            }
        });
        all
    };
    assert!(!origin(&json(&bench.run("plan job --json").out)).contains(&"shop".to_owned()));
    bench.write("shop/shop.toml", "currency = \"EUR\"\n[margins]\nresistor-drift = 15\n");
    assert!(origin(&json(&bench.run("plan job --json").out)).contains(&"shop".to_owned()));
}

/// Beside the points: no cell of an export begins as what a spreadsheet would evaluate.
#[test]
fn cells_that_a_spreadsheet_would_evaluate_are_neutral() {
    let bench = Bench::new();
    let evil = "=HYPERLINK(1)";
    bench.write(
        "job/parts.csv",
        format!("ref,part,marked,place,note\n{evil},paper,.05/400,coupling,+1\nH1,hardware,{evil},,@x\n"),
    );
    bench.write(
        "shop/catalog/more.csv",
        format!("number,supplier,part,designation,prices\n-1+1,Example (invented),hardware,{evil},1:0.10\n"),
    );
    bench.write("job/chassis.toml", bench.read("job/chassis.toml").replace("\"job\"", "\"=1+1\""));
    for command in ["plan", "order"] {
        assert!(bench.run(&format!("{command} job --out out-{command}")).code < 2);
        for (path, bytes) in files(&bench.path(&format!("out-{command}"))) {
            if path.extension().is_some_and(|e| e == "csv") {
                let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).flexible(true).from_reader(&*bytes);
                for cell in reader.records().flat_map(|r| r.unwrap().iter().map(str::to_owned).collect::<Vec<_>>()) {
                    let number = cell.parse::<f64>().is_ok();
                    assert!(
                        number || !cell.starts_with(['=', '+', '-', '@', '\t', '\r']),
                        "{}: {cell}",
                        path.display()
                    );
                }
            }
        }
    }
}

/// What a hurried person types first is answered with what they mean.
#[test]
fn new_starts_a_job_a_shop_or_both() {
    let folder = tempfile::tempdir().unwrap();
    let told = |args: &[&str]| ran(program().current_dir(folder.path()).args(args).output().unwrap());
    for (args, due) in [
        (&["new"][..], "`capjob new my-radio` starts a job"),
        (&["new", "my", "radio"], "`capjob new 'my radio'`"),
        (&["new", "shop"], "`capjob new --shop shop` starts a shop"),
        (&["new", "shop", "mine"], "`capjob new --shop mine` starts a shop"),
        (&["new", "--shop"], "a value is required for '--shop <DIR>'"),
    ] {
        let ran = told(args);
        assert_eq!((ran.code, ran.out.as_str()), (2, ""), "{args:?}");
        assert!(ran.err.contains(due), "{args:?}: {}", ran.err);
    }
    assert_eq!(files(folder.path()).len(), 0);
    // Whatever is printed as next runs as printed, in the folder where it was printed.
    let mut started = 0;
    for args in [
        &["new", "one"][..],
        &["new", "two", "--shop", "shop"],
        &["new", "three", "--shop", "elsewhere/mine"],
        &["new", "four", "--shop", "elsewhere/mine"],
        &["new", "sets/five five"],
        &["new", "-q", "--shop", "other shop"],
    ] {
        let ran = told(args);
        assert_eq!(ran.code, 0, "{args:?}: {}", ran.err);
        let next: Vec<&str> = ran.out.lines().filter_map(|l| l.strip_prefix("  ")).collect();
        assert_eq!(next.len(), 2, "{}", ran.out);
        for command in next {
            let (said, code) = shell(command, folder.path());
            assert_eq!(code, 0, "{args:?}: {command}: {said}");
            started += 1;
        }
    }
    assert_eq!(started, 12);
}

#[test]
fn a_first_plan_from_an_empty_folder() {
    let bench = Bench::new();
    let told = bench.run("plan job");
    assert_eq!(told.code, 0, "{}", told.err);
    for due in ["replace 3", "proven least", "22 µF 450 V", "0.047 µF 630 V film", "220 k"] {
        assert!(told.out.contains(due), "{due}: {}", told.out);
    }
}

#[test]
fn a_museum_piece_is_reformed_step_by_step() {
    let bench = Bench::new();
    bench
        .write("job/chassis.toml", "[chassis]\nname = \"x\"\nyear = 1938\nwish = \"museum\"\ninspected = 2026-11-20\n");
    bench.write(
        "job/parts.csv",
        "ref,part,marked,place,plus,minus,reads,in_circuit,sight\nC8,electrolytic,8/450,smoothing,HT2,CH,9.4uF,no,ok\n",
    );
    let text = bench.run("reform job");
    assert!(text.code == 0 && text.out.contains("DISCHARGE, THEN MEASURE") && text.out.contains("C8"), "{}", text.out);
    let part = &json(&bench.run("reform job --json").out)["parts"][0];
    assert_eq!(part["ref"], "C8");
    // Printed on the amateurs' list and in the bench's own rule: 450 V over 100 k is 4.5 mA, 2.025 W when shorted.
    assert_eq!(part["steps"][4]["start_ma"], 4.5);
    assert_eq!(part["shorted_w"], 2.025);
    // Maker's leakage of an old part: 0.04 x 8 + 0.3 mA.
    let pass = part["pass_ma"].as_f64().unwrap();
    assert!((pass - 0.62).abs() < 1e-9, "{pass}");
}

#[test]
fn a_job_is_a_folder_and_a_day_has_one_form() {
    let bench = Bench::new();
    let told = bench.run("plan job/parts.csv");
    assert_eq!((told.code, told.out.as_str()), (2, ""), "{}", told.err);
    assert!(told.err.contains("job/parts.csv is a file") && told.err.contains("folder: job"), "{}", told.err);
    let told = bench.run("plan jib");
    assert!(told.code == 3 && told.err.contains("nearest job folder there is job"), "{}", told.err);
    let told = bench.run("plan nowhere/at-all");
    assert!(told.code == 3 && told.err.contains("no job folder nowhere/at-all"), "{}", told.err);
    for command in ["inspect", "plan", "order", "sheet", "quote"] {
        let told = bench.run(&format!("{command} job --date 1/12/2026"));
        assert!(told.code == 2 && told.err.contains("YYYY-MM-DD"), "{command}: {}", told.err);
    }
}

#[test]
fn a_quote_without_labour_names_the_lines_to_mend() {
    let bench = Bench::new();
    let line = bench.read("shop/shop.toml").lines().position(|l| l == "# [labour]").unwrap() + 1;
    let told = bench.run("quote job");
    assert!(told.code == 2 && told.err.contains(&format!("shop.toml:{line} and the lines beneath it")), "{}", told.err);
}

#[test]
fn a_misspelt_supplier_is_told_of_with_the_plan_and_the_order() {
    let bench = Bench::new();
    let catalog = bench.read("shop/catalog/example.csv");
    bench.write(
        "shop/catalog/example.csv",
        format!("{catalog}BAD,Exmple,film,10nF,10%,630,,,,105,,,,axial,7,14,,,0.01,\n"),
    );
    for command in ["plan", "order"] {
        let told = bench.run(&format!("{command} job --quiet"));
        let due = "! NOT COMPARED: supplier 'Exmple' is not in suppliers.csv, 1 catalog line not used";
        assert!(told.out.contains(due), "{command}: {}", told.out);
    }
}

// An ordinary set of five valves; its ratings are those that such parts are marked with (common practice, no
// source): with the starting shop nothing of it stays unmet.
#[test]
fn the_starting_shop_finishes_an_ordinary_radio() {
    let bench = Bench::new();
    let parts = "ref,part,marked,place,plus,minus,can,working_v,sight,wish\n\
        C1,electrolytic,50uF 350V,reservoir,HT1,CH,A,260,bulged,\n\
        C2,electrolytic,50uF 350V,smoothing,HT2,CH,A,240,ok,\n\
        C3,electrolytic,25uF 25V,cathode,K4,CH,,7,ok,\n\
        C4,paper,0.01uF 1000V,line-to-chassis,LINE,CH,,,wax-run,\n\
        C5,paper,5000pF 1000V,output-anode,A4,CH,,,ok,\n\
        C6,paper,0.02uF 400V,coupling,A3,G4,,150,wax-run,\n\
        C7,paper,2000pF 1500V,aerial-isolation,AE,L1,,,ok,\n\
        R9,carbon-composition,10M 1/4W,grid-leak,G3,CH,,,burnt,\n\
        V4,valve,EL41,,,,,,ok,replace\n\
        LP2,lamp,6.3V 0.3A MES,,,,,,burnt,\n\
        L1,lead,2-core mains lead,,,,,,cracked,\n";
    bench.write("job/parts.csv", parts);
    let told = bench.run("plan job --quiet");
    assert!(!told.out.contains("NOT MET") && !told.out.contains("nothing for sale fits"), "{}", told.out);
}

#[test]
fn a_part_of_the_other_sort_is_told_apart() {
    let bench = Bench::new();
    let told = ran(bench.program().args(["check", "job", "R1", "22uF 450V"]).output().unwrap());
    assert!(
        told.code == 2 && told.err.contains("R1 holds a carbon-composition, while this is a capacitor"),
        "{}",
        told.err
    );
}
