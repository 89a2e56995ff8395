//! Nothing is lost, whatever happens while files are written: killed at any moment, a full disk, a
//! folder that cannot be written or is gone, two runs at once.
#![cfg(unix)]
#![allow(
    dead_code,
    unreachable_pub,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "support of tests: each test crate uses a part of it, and a test that cannot go on has failed"
)]

mod cli;

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};
use std::thread::sleep;
use std::time::{Duration, Instant};

use cli::{Bench, Ran, files, ran};

type Files = BTreeMap<String, Vec<u8>>;

/// The files of a folder but for what bears a name that we write aside with.
fn set_in(folder: &Path) -> Files {
    if !folder.exists() {
        return Files::new();
    }
    let named = files(folder).into_iter().map(|(path, bytes)| {
        let name = path.strip_prefix(folder).unwrap().to_string_lossy().into_owned();
        (name, bytes)
    });
    named.filter(|(name, _)| !name.starts_with(".capjob-")).collect()
}

/// A bench with a second job whose plan differs in every file, and the files of both plans.
fn two_jobs() -> (Bench, Files, Files) {
    let bench = Bench::new();
    fs::create_dir(bench.path("other")).unwrap();
    bench.write("other/chassis.toml", bench.read("job/chassis.toml").replace("1956", "1949"));
    bench.write("other/parts.csv", bench.read("job/parts.csv").replace("C1,", "C91,").replace("R1,", "R91,"));
    let planned = |job: &str| {
        assert_eq!(bench.run(&format!("plan {job} --out {job}-set")).code, 0);
        let set = set_in(&bench.path(&format!("{job}-set")));
        fs::remove_dir_all(bench.path(&format!("{job}-set"))).unwrap();
        set
    };
    let (one, other) = (planned("job"), planned("other"));
    assert!(one.len() >= 4 && one.keys().eq(other.keys()));
    assert!(one.iter().filter(|(name, bytes)| other[*name] != **bytes).count() >= 3);
    (bench, one, other)
}

/// Kills a run as soon as something of it stands in the folder that is watched, and a while later.
fn killed(bench: &Bench, args: &str, watched: &Path, wait: Duration) {
    let mut child =
        bench.program().args(args.split_whitespace()).stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap();
    let started = Instant::now();
    let begun = || {
        let entries = fs::read_dir(watched).into_iter().flatten().flatten();
        entries.into_iter().any(|e| e.file_name().to_string_lossy().starts_with(".capjob-"))
    };
    while child.try_wait().unwrap().is_none() && !begun() && started.elapsed() < Duration::from_mins(1) {
        sleep(Duration::from_micros(300));
    }
    sleep(wait);
    child.kill().unwrap();
    child.wait().unwrap();
}

/// Waits of nought to some milliseconds, the same in every run of the test.
fn waits() -> impl Iterator<Item = Duration> {
    let mut state = 0x2545_f491_4f6c_dd1d_u64;
    std::iter::repeat_with(move || {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        Duration::from_micros(state % 12_000)
    })
}

#[test]
fn killed_while_replacing_the_old_set_or_the_new_one_is_there() {
    let (bench, one, other) = two_jobs();
    let out = bench.path("out");
    let (mut old, mut new, mut mixed) = (0, 0, 0);
    for wait in waits().take(25) {
        drop(fs::remove_dir_all(&out));
        assert_eq!(bench.run("plan job --out out -q").code, 0);
        killed(&bench, "plan other --out out --overwrite", &out, wait);
        let there = set_in(&out);
        if there == one {
            old += 1;
        } else if there == other {
            new += 1;
        } else {
            // Killed between two renamings: the journal is there and every file is whole.
            mixed += 1;
            assert!(out.join(".capjob-journal").exists());
            assert!(there.iter().all(|(name, bytes)| one.get(name) == Some(bytes) || other.get(name) == Some(bytes)));
        }
        // The next run may replace nothing; it still leaves one whole set and nothing of the killed one.
        fs::create_dir_all(bench.path("third")).unwrap();
        bench.write("third/chassis.toml", bench.read("job/chassis.toml"));
        bench.write("third/parts.csv", "ref,part,marked,place\nC5,paper,.05uF 500V,coupling\n");
        assert_eq!(bench.run("plan third --out out").code, 2);
        let after = set_in(&out);
        assert!(after == one || after == other);
        assert!(there != one || after == one);
        assert_eq!(fs::read_dir(&out).unwrap().count(), after.len());
    }
    println!("killed: {old} old, {new} new, {mixed} between");
    assert!(old > 0, "no run was killed before its files were in place");
}

#[test]
fn killed_while_making_a_folder_all_or_nothing_is_there() {
    let (bench, one, _) = two_jobs();
    let out = bench.path("deep/out");
    let mut none = 0;
    for wait in waits().take(15) {
        drop(fs::remove_dir_all(bench.path("deep")));
        killed(&bench, "plan job --out deep/out", bench.folder.path(), wait);
        let there = set_in(&out);
        assert!(there.is_empty() || there == one, "{:?}", there.keys());
        none += usize::from(!out.exists());
        assert_eq!(bench.run("plan job --out deep/out").code, 0);
        assert_eq!(set_in(&out), one);
        let left = fs::read_dir(bench.folder.path()).unwrap().flatten();
        assert!(!left.into_iter().any(|e| e.file_name().to_string_lossy().starts_with(".capjob-")) || there == one);
    }
    assert!(none > 0, "no run was killed before its folder was in place");
}

/// Runs a shell line in the bench's folder.
fn shell(bench: &Bench, line: &str) -> Ran {
    let line = line.replace("capjob", env!("CARGO_BIN_EXE_capjob"));
    ran(Command::new("sh").args(["-c", &line]).current_dir(bench.folder.path()).output().unwrap())
}

/// A limit on the size of files stands in for a full disk: the writing fails halfway through a file.
#[test]
fn a_full_disk_leaves_the_old_files_as_they_were() {
    let (bench, one, _) = two_jobs();
    assert_eq!(bench.run("plan job --out out").code, 0);
    let refused = shell(&bench, "trap '' XFSZ; ulimit -f 2; capjob plan other --out out --overwrite");
    assert_eq!((refused.code, refused.out.as_str()), (3, ""), "{}", refused.err);
    assert!(refused.err.starts_with("error: cannot write out/"), "{}", refused.err);
    assert_eq!(set_in(&bench.path("out")), one);
    assert_eq!(fs::read_dir(bench.path("out")).unwrap().count(), one.len());
    let refused = shell(&bench, "trap '' XFSZ; ulimit -f 2; capjob plan other --out fresh/out");
    assert_eq!(refused.code, 3, "{}", refused.err);
    assert!(!bench.path("fresh").exists());
    // Without the trap the limit kills the run.
    shell(&bench, "ulimit -c 0; ulimit -f 2; capjob plan other --out out --overwrite || true");
    assert_eq!(set_in(&bench.path("out")), one);
    assert_eq!(bench.run("plan job --out out").code, 0);
    assert_eq!(fs::read_dir(bench.path("out")).unwrap().count(), one.len());
}

#[test]
fn a_full_disk_behind_stdout_is_told() {
    if !Path::new("/dev/full").exists() {
        println!("skipped: there is no /dev/full on this machine");
        return;
    }
    let bench = Bench::new();
    let told = shell(&bench, "capjob plan job > /dev/full");
    assert_eq!(told.code, 3, "{}", told.err);
    assert!(told.err.contains("cannot write to standard output"), "{}", told.err);
}

#[test]
fn a_folder_that_cannot_be_written_is_told() {
    use std::os::unix::fs::PermissionsExt as _;
    let (bench, one, _) = two_jobs();
    // Nobody can make a folder there, whatever the rights.
    let told = bench.run("plan job --out /proc/capjob-out");
    assert_eq!((told.code, told.out.as_str()), (3, ""), "{}", told.err);
    assert_eq!(bench.run("plan job --out out").code, 0);
    fs::set_permissions(bench.path("out"), fs::Permissions::from_mode(0o555)).unwrap();
    if fs::write(bench.path("out/probe"), "").is_ok() {
        fs::remove_file(bench.path("out/probe")).unwrap();
        println!("skipped: this user may write into any folder");
    } else {
        for (out, left) in [("out", &one), ("out/below", &Files::new())] {
            let told = bench.run(&format!("plan other --out {out} --overwrite"));
            assert_eq!((told.code, told.out.as_str()), (3, ""), "{}", told.err);
            assert_eq!(set_in(&bench.path(out)), *left);
        }
    }
    fs::set_permissions(bench.path("out"), fs::Permissions::from_mode(0o755)).unwrap();
    assert_eq!(set_in(&bench.path("out")), one);
}

#[test]
fn a_folder_that_is_gone_is_told_or_made_again() {
    let (bench, one, _) = two_jobs();
    assert_eq!(bench.run("plan job --out out").code, 0);
    // The catalog waits for its writer; meanwhile the output's folder goes.
    assert!(Command::new("mkfifo").arg(bench.path("shop/catalog/slow.csv")).status().unwrap().success());
    let mut child = bench
        .program()
        .args(["plan", "job", "--out", "out"])
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    fs::remove_dir_all(bench.path("out")).unwrap();
    fs::write(bench.path("shop/catalog/slow.csv"), "number,supplier,part,prices\n").unwrap();
    assert_eq!(child.wait().unwrap().code(), Some(0));
    assert_eq!(set_in(&bench.path("out")), one);
    fs::remove_file(bench.path("shop/catalog/slow.csv")).unwrap();
    // The folder that one stands in is gone.
    for command in ["plan ../job --shop ../shop --out out", "new job"] {
        fs::create_dir(bench.path("gone")).unwrap();
        let told = shell(&bench, &format!("cd gone && rmdir ../gone && capjob {command}"));
        assert!(told.code == 3 && told.err.starts_with("error: "), "{command}: {} {}", told.code, told.err);
        assert!(!bench.path("gone").exists());
    }
}

#[test]
fn two_runs_at_once_leave_the_files_of_one() {
    let (bench, one, other) = two_jobs();
    for round in 0..6 {
        drop(fs::remove_dir_all(bench.path("out")));
        if round % 2 == 0 {
            fs::create_dir(bench.path("out")).unwrap();
        }
        let spawn = |job: &str| {
            let mut program = bench.program();
            program.args(["plan", job, "--out", "out", "--overwrite"]).stdout(Stdio::null()).stderr(Stdio::null());
            program.spawn().unwrap()
        };
        let mut both = [spawn("job"), spawn("other")];
        assert!(both.iter_mut().all(|child| child.wait().unwrap().code() == Some(0)));
        let there = set_in(&bench.path("out"));
        assert!(there == one || there == other, "{round}: {:?}", there.keys());
        assert_eq!(fs::read_dir(bench.path("out")).unwrap().count(), there.len());
    }
}
