//! Writing files so that nothing is lost: all of them appear whole, or none does.
//!
//! Every file is written aside in the same folder, flushed and synced, and only then renamed; what
//! stood there before is kept under a second name until all are in place. The folder is locked
//! meanwhile, so that two runs into it do not mix.

use std::fs::{self, File};
use std::io::Write as _;
use std::path::{Path, PathBuf};

use std::sync::{Mutex, PoisonError};

use tempfile::{Builder, NamedTempFile, TempPath};

use super::exit::Failure;
use super::signals;

/// Files that we leave behind when we are killed begin and end so.
const ASIDE: (&str, &str) = (".capjob-", ".tmp");

/// Files written aside by this run, for the handler of interrupts.
static ASIDES: Mutex<Vec<PathBuf>> = Mutex::new(Vec::new());

/// Removes whatever this run has written aside and not put in place yet.
pub(super) fn remove_asides() {
    for path in ASIDES.lock().unwrap_or_else(PoisonError::into_inner).drain(..) {
        drop(fs::remove_file(path));
    }
}

/// One file to be written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct OutFile {
    /// Name in the folder, without any separator.
    pub(super) name: String,
    /// Contents.
    pub(super) bytes: Vec<u8>,
}

impl OutFile {
    /// A text file.
    pub(super) fn text(name: &str, text: String) -> Self {
        Self { name: name.to_owned(), bytes: text.into_bytes() }
    }
}

/// What to do about files that are there already.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Policy {
    /// Replace them.
    pub(super) overwrite: bool,
    /// Only say what would be written.
    pub(super) dry_run: bool,
}

/// How a target compares with what is to be written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum State {
    /// Nothing there.
    New,
    /// The same bytes there; left alone.
    Unchanged,
    /// Other bytes, or a link, there.
    Changed,
}

impl State {
    /// In a word.
    pub(super) const fn word(self) -> &'static str {
        match self {
            Self::New => "new",
            Self::Unchanged => "unchanged",
            Self::Changed => "changed",
        }
    }
}

/// Writes the files into `folder`, which is made when it is missing.
///
/// # Errors
/// A file in the way without `overwrite` (bad input), or whatever could not be written; the folder
/// is then as it was before.
pub(super) fn write_all(folder: &Path, files: &[OutFile], policy: Policy) -> Result<Vec<State>, Failure> {
    let states = files.iter().map(|f| state(&folder.join(&f.name), &f.bytes)).collect::<Result<Vec<_>, _>>()?;
    refuse_what_is_in_the_way(folder, files, &states, policy)?;
    if policy.dry_run {
        return Ok(states);
    }
    let made = !folder.exists();
    fs::create_dir_all(folder).map_err(|e| cannot("make folder", folder, &e))?;
    let written = locked(folder, files, policy);
    if made && written.is_err() {
        // Only succeeds on an empty folder, which is what we want.
        drop(fs::remove_dir(folder));
    }
    written
}

/// The part that runs under the folder's lock; the states are taken again, for another run may have been quicker.
fn locked(folder: &Path, files: &[OutFile], policy: Policy) -> Result<Vec<State>, Failure> {
    let handle = File::open(folder).map_err(|e| cannot("open folder", folder, &e))?;
    // A file system without locks still gives whole files.
    let _lock_or_not = handle.lock();
    sweep(folder);
    let states = files.iter().map(|f| state(&folder.join(&f.name), &f.bytes)).collect::<Result<Vec<_>, _>>()?;
    refuse_what_is_in_the_way(folder, files, &states, policy)?;
    let wanted: Vec<&OutFile> =
        files.iter().zip(&states).filter(|(_, s)| **s != State::Unchanged).map(|(f, _)| f).collect();
    let staged = wanted.iter().map(|f| stage(folder, f)).collect::<Result<Vec<_>, _>>()?;
    signals::whole(|| put_in_place(staged))?;
    // Some file systems cannot sync a folder; the files themselves are synced already.
    drop(handle.sync_all());
    Ok(states)
}

fn refuse_what_is_in_the_way(
    folder: &Path,
    files: &[OutFile],
    states: &[State],
    policy: Policy,
) -> Result<(), Failure> {
    let in_the_way: Vec<String> = files
        .iter()
        .zip(states)
        .filter(|(_, s)| **s == State::Changed && !policy.overwrite)
        .map(|(f, _)| {
            format!("error: {} exists\n  help: use --overwrite, or name another folder", folder.join(&f.name).display())
        })
        .collect();
    if in_the_way.is_empty() { Ok(()) } else { Err(Failure::input(in_the_way.join("\n"))) }
}

fn state(target: &Path, bytes: &[u8]) -> Result<State, Failure> {
    let metadata = match fs::symlink_metadata(target) {
        Ok(metadata) => metadata,
        Err(e) if matches!(e.kind(), std::io::ErrorKind::NotFound | std::io::ErrorKind::NotADirectory) => {
            return Ok(State::New);
        }
        Err(e) => return Err(cannot("look at", target, &e)),
    };
    if metadata.is_dir() {
        return Err(Failure::input(format!("error: {} is a folder\n  help: name another folder", target.display())));
    }
    if !metadata.is_file() || metadata.len() != bytes.len() as u64 {
        return Ok(State::Changed);
    }
    let there = fs::read(target).map_err(|e| cannot("read", target, &e))?;
    Ok(if there == bytes { State::Unchanged } else { State::Changed })
}

/// A file written aside, and where it belongs.
struct Staged {
    aside: TempPath,
    target: PathBuf,
}

fn stage(folder: &Path, file: &OutFile) -> Result<Staged, Failure> {
    let target = folder.join(&file.name);
    let mut aside = aside(folder).map_err(|e| cannot("write in", folder, &e))?;
    ASIDES.lock().unwrap_or_else(PoisonError::into_inner).push(aside.path().to_path_buf());
    let filled = aside.write_all(&file.bytes).and_then(|()| aside.flush()).and_then(|()| keep_mode(&aside, &target));
    filled.and_then(|()| aside.as_file().sync_all()).map_err(|e| cannot("write", &target, &e))?;
    Ok(Staged { aside: aside.into_temp_path(), target })
}

/// The mode of a file that is replaced is kept.
fn keep_mode(aside: &NamedTempFile, target: &Path) -> std::io::Result<()> {
    match fs::symlink_metadata(target) {
        Ok(metadata) if metadata.is_file() => aside.as_file().set_permissions(metadata.permissions()),
        _ => Ok(()),
    }
}

#[cfg(unix)]
fn aside(folder: &Path) -> std::io::Result<NamedTempFile> {
    use std::os::unix::fs::PermissionsExt as _;
    // The usual mode of a new file, less the umask; a temporary file is private otherwise.
    Builder::new().prefix(ASIDE.0).suffix(ASIDE.1).permissions(fs::Permissions::from_mode(0o666)).tempfile_in(folder)
}

#[cfg(not(unix))]
fn aside(folder: &Path) -> std::io::Result<NamedTempFile> {
    Builder::new().prefix(ASIDE.0).suffix(ASIDE.1).tempfile_in(folder)
}

/// Renames every staged file; at the first failure puts everything back.
fn put_in_place(staged: Vec<Staged>) -> Result<(), Failure> {
    let mut placed: Vec<(PathBuf, Option<PathBuf>)> = Vec::new();
    let mut failed = None;
    for Staged { aside, target } in staged {
        let kept = keep_old(&aside, &target);
        match kept.and_then(|kept| aside.persist(&target).map_err(|e| e.error).map(|()| kept)) {
            Ok(kept) => placed.push((target, kept)),
            Err(error) => {
                failed = Some(cannot("write", &target, &error));
                break;
            }
        }
    }
    for (target, kept) in placed {
        match (&failed, kept) {
            (None, Some(kept)) => drop(fs::remove_file(kept)),
            (None, None) => {}
            (Some(_), Some(kept)) => drop(fs::rename(kept, target)),
            (Some(_), None) => drop(fs::remove_file(target)),
        }
    }
    failed.map_or(Ok(()), Err)
}

/// Gives what stands at the target a second name; `None` when nothing does.
fn keep_old(aside: &Path, target: &Path) -> std::io::Result<Option<PathBuf>> {
    match fs::symlink_metadata(target) {
        Err(e) if e.kind() == std::io::ErrorKind::NotFound => Ok(None),
        Err(e) => Err(e),
        Ok(metadata) if metadata.is_file() => {
            let kept = aside.with_extension("old.tmp");
            fs::hard_link(target, &kept).or_else(|_no_links_here| fs::copy(target, &kept).map(|_| ()))?;
            Ok(Some(kept))
        }
        // A link itself is replaced, what it points to is not touched.
        Ok(_) => Ok(None),
    }
}

/// Removes what a killed run left behind. Only called under the lock.
fn sweep(folder: &Path) {
    let Ok(entries) = fs::read_dir(folder) else { return };
    for entry in entries.flatten() {
        let name = entry.file_name();
        let name = name.to_string_lossy();
        if name.starts_with(ASIDE.0) && name.ends_with(ASIDE.1) {
            drop(fs::remove_file(entry.path()));
        }
    }
}

fn cannot(what: &str, path: &Path, error: &std::io::Error) -> Failure {
    Failure::io(format!("error: cannot {what} {}: {error}", path.display()))
}

/// A file name made from any text: letters, digits, `-` and `_` stay, everything else becomes `-`;
/// at most 60 characters.
pub(super) fn safe_stem(text: &str) -> String {
    let mut stem = String::new();
    for c in text.trim().chars() {
        if c.is_alphanumeric() || c == '_' {
            stem.push(c);
        } else if !stem.ends_with('-') {
            stem.push('-');
        }
    }
    let stem: String = stem.trim_matches('-').chars().take(60).collect();
    if stem.is_empty() { "unnamed".to_owned() } else { stem }
}

/// One safe stem for each text; those that would differ by case only get a number.
pub(super) fn distinct_stems<'a>(texts: impl IntoIterator<Item = &'a str>) -> Vec<String> {
    let mut taken: Vec<String> = Vec::new();
    let mut stems = Vec::new();
    for text in texts {
        let stem = safe_stem(text);
        let mut candidate = stem.clone();
        let mut n = 2;
        while taken.contains(&candidate.to_lowercase()) {
            candidate = format!("{stem}-{n}");
            n += 1;
        }
        taken.push(candidate.to_lowercase());
        stems.push(candidate);
    }
    stems
}

#[cfg(test)]
mod tests {
    use super::*;

    const PLAIN: Policy = Policy { overwrite: false, dry_run: false };

    #[test]
    fn stems_stay_in_the_folder_and_apart() {
        assert_eq!(safe_stem("../../etc/passwd"), "etc-passwd");
        assert_eq!(safe_stem("  "), "unnamed");
        assert_eq!(safe_stem(&"x".repeat(300)).len(), 60);
        assert_eq!(distinct_stems(["Moor End", "MOOR END", "moor/end"]), ["Moor-End", "MOOR-END-2", "moor-end-3"]);
    }

    #[test]
    fn a_file_in_the_way_stops_all_of_them() {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("b.csv"), "mine").unwrap();
        let files = [OutFile::text("a.csv", "new".to_owned()), OutFile::text("b.csv", "new".to_owned())];
        let failure = write_all(folder.path(), &files, PLAIN).unwrap_err();
        assert_eq!(failure.code, super::super::exit::BAD_INPUT);
        assert!(!folder.path().join("a.csv").exists());
        assert_eq!(fs::read_to_string(folder.path().join("b.csv")).unwrap(), "mine");
        let states = write_all(folder.path(), &files, Policy { overwrite: true, dry_run: false }).unwrap();
        assert_eq!(states, [State::New, State::Changed]);
        assert_eq!(fs::read_to_string(folder.path().join("b.csv")).unwrap(), "new");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 2);
        assert_eq!(write_all(folder.path(), &files, PLAIN).unwrap(), [State::Unchanged, State::Unchanged]);
    }

    #[test]
    fn a_failure_puts_everything_back() {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("a.csv"), "old").unwrap();
        // A folder at the second target makes its renaming fail after the first is in place.
        let staged = vec![
            stage(folder.path(), &OutFile::text("a.csv", "new".to_owned())).unwrap(),
            Staged {
                aside: stage(folder.path(), &OutFile::text("c.csv", "new".to_owned())).unwrap().aside,
                target: folder.path().join("missing").join("c.csv"),
            },
        ];
        put_in_place(staged).unwrap_err();
        assert_eq!(fs::read_to_string(folder.path().join("a.csv")).unwrap(), "old");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
    }

    #[cfg(unix)]
    #[test]
    fn a_link_is_never_written_through() {
        let folder = tempfile::tempdir().unwrap();
        let elsewhere = folder.path().join("elsewhere.txt");
        fs::write(&elsewhere, "precious").unwrap();
        let out = folder.path().join("out");
        fs::create_dir(&out).unwrap();
        std::os::unix::fs::symlink(&elsewhere, out.join("a.csv")).unwrap();
        let files = [OutFile::text("a.csv", "new".to_owned())];
        assert!(write_all(&out, &files, PLAIN).is_err());
        write_all(&out, &files, Policy { overwrite: true, dry_run: false }).unwrap();
        assert_eq!(fs::read_to_string(&elsewhere).unwrap(), "precious");
        assert_eq!(fs::read_to_string(out.join("a.csv")).unwrap(), "new");
    }
}
