//! Running the program from outside, as a person does, in the folder of the samples.

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

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

pub const CORRAN: &str = "catalog-sample/jobs/corran-radiogram";
pub const LARK: &str = "catalog-sample/jobs/lark-recorder";

/// The top of the source.
pub fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// The program, without anything of the caller's surroundings that it heeds.
pub fn program() -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_capjob"));
    command.current_dir(root());
    for name in ["CAPJOB_SHOP", "COLUMNS", "NO_COLOR", "RUST_BACKTRACE"] {
        command.env_remove(name);
    }
    command
}

/// One run.
pub struct Ran {
    pub code: i32,
    pub out: String,
    pub err: String,
}

/// Runs the program with these arguments, split at blanks.
pub fn run(args: &str) -> Ran {
    run_args(&args.split_whitespace().collect::<Vec<_>>())
}

/// Runs the program with these arguments.
pub fn run_args(args: &[&str]) -> Ran {
    ran(program().args(args).output().unwrap())
}

/// A run from its output, which is UTF-8.
pub fn ran(output: Output) -> Ran {
    Ran {
        code: output.status.code().unwrap_or(-1),
        out: String::from_utf8(output.stdout).unwrap(),
        err: String::from_utf8(output.stderr).unwrap(),
    }
}

/// Every file below a folder with its bytes.
pub fn files(folder: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let mut found = BTreeMap::new();
    for entry in fs::read_dir(folder).unwrap().flatten() {
        let path = entry.path();
        if path.is_dir() {
            found.extend(files(&path));
        } else {
            found.insert(path.clone(), fs::read(&path).unwrap_or_default());
        }
    }
    found
}

/// A fresh job and shop, made by the program, with the three example lines filled in.
pub struct Bench {
    pub folder: tempfile::TempDir,
}

impl Bench {
    pub fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let bench = Self { folder };
        assert_eq!(bench.run("new --shop shop").code, 0);
        assert_eq!(bench.run("new job").code, 0);
        let parts = bench.read("job/parts.csv");
        let filled: Vec<&str> =
            parts.lines().map(|l| if l.contains(",,,") { l.trim_start_matches("# ") } else { l }).collect();
        bench.write("job/parts.csv", format!("{}\n", filled.join("\n")));
        bench
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub fn read(&self, name: &str) -> String {
        fs::read_to_string(self.path(name)).unwrap()
    }

    pub fn write(&self, name: &str, text: impl AsRef<[u8]>) {
        fs::write(self.path(name), text).unwrap();
    }

    pub fn program(&self) -> Command {
        let mut command = program();
        command.current_dir(self.folder.path());
        command
    }

    pub fn run(&self, args: &str) -> Ran {
        ran(self.program().args(args.split_whitespace()).output().unwrap())
    }
}

/// A fresh folder with a copy of the sample shop.
pub fn folder() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let sample = root().join("catalog-sample");
    for (path, bytes) in files(&sample) {
        let target = folder.path().join(path.strip_prefix(root()).unwrap());
        fs::create_dir_all(target.parent().unwrap()).unwrap();
        fs::write(target, bytes).unwrap();
    }
    folder
}

/// Runs a line through the shell at 80 columns; what it printed on both streams, and its exit code.
pub fn shell(line: &str, folder: &Path) -> (String, i32) {
    let bin = Path::new(env!("CARGO_BIN_EXE_capjob")).parent().unwrap();
    let path = format!("{}:{}", bin.display(), std::env::var("PATH").unwrap_or_default());
    let mut command = Command::new("sh");
    command.args(["-c", &format!("{{ {line}\n}} 2>&1")]).current_dir(folder).env("PATH", path).env("COLUMNS", "80");
    command.env_remove("CAPJOB_SHOP").env_remove("NO_COLOR");
    let output = command.output().unwrap();
    (String::from_utf8(output.stdout).unwrap(), output.status.code().unwrap_or(-1))
}
