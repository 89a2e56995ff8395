//! Putting files in place in a folder that is there, so that a killed run can be taken back.
//!
//! What stands at the targets gets a second name first. Then a journal of all of them is put in the
//! folder; from there on until it is removed a run that finds it takes the renamings back. A file that
//! was changed since by someone else is left as it is.

use std::fs::{self, File};
use std::io::{ErrorKind, Write as _};
use std::path::{Component, Path, PathBuf};

use serde::{Deserialize, Serialize};

use super::aside::{Staged, builder, digest, is_aside};
use super::cannot;
use crate::cli::exit::Failure;

/// Name of the journal in the folder.
const JOURNAL: &str = ".capjob-journal";

/// For whoever finds the journal.
const NOTE: &str = "capjob is writing these files; if it was killed, its next run into this folder takes them back";

/// What is being put in place.
#[derive(Debug, Serialize, Deserialize)]
struct Journal {
    note: String,
    files: Vec<Entry>,
}

/// One file of a journal.
#[derive(Debug, Serialize, Deserialize)]
struct Entry {
    /// Name in the folder.
    target: String,
    /// Of the new contents.
    digest: u64,
    /// The second name of what stood there.
    old: Option<String>,
    /// Whether the folder that it stands in is made for it.
    folder_made: bool,
}

/// Renames every staged file to its place; at the first failure puts everything back.
///
/// # Errors
/// What could not be renamed; the folder is then as it was before.
pub(super) fn place(folder: &Path, staged: Vec<Staged>) -> Result<(), Failure> {
    let files = staged.iter().map(|s| entry(folder, s)).collect::<Result<Vec<_>, _>>();
    let written = files.and_then(|files| {
        let journal = Journal { note: NOTE.to_owned(), files };
        write(folder, &journal).map(|()| journal.files)
    });
    let files = written.inspect_err(|_| remove_olds(folder, &staged))?;
    for Staged { aside, name, .. } in staged {
        let target = folder.join(&name);
        let made = target.parent().map_or(Ok(()), fs::create_dir_all);
        if let Err(error) = made.and_then(|()| aside.persist(&target).map_err(|e| e.error)) {
            undo(folder)?;
            return Err(cannot("write", &target, &error));
        }
    }
    sync(folder, &files);
    // From here on the new files are what stands there.
    fs::remove_file(folder.join(JOURNAL)).map_err(|e| cannot("remove", &folder.join(JOURNAL), &e))?;
    sync(folder, &[]);
    files.iter().filter_map(|f| f.old.as_ref()).for_each(|old| drop(fs::remove_file(folder.join(old))));
    Ok(())
}

/// The entry of a staged file; what stands at its target gets a second name.
fn entry(folder: &Path, staged: &Staged) -> Result<Entry, Failure> {
    let target = folder.join(&staged.name);
    let old = keep_old(&second_name(&staged.aside), &target).map_err(|e| cannot("keep", &target, &e))?;
    let folder_made = !target.parent().is_some_and(Path::is_dir);
    Ok(Entry { target: staged.name.clone(), digest: staged.digest, old, folder_made })
}

/// The second name of what a file written aside will replace.
fn second_name(aside: &Path) -> PathBuf {
    aside.with_extension("old.tmp")
}

/// Gives what stands at the target a second name; `None` when nothing does.
fn keep_old(kept: &Path, target: &Path) -> std::io::Result<Option<String>> {
    let metadata = match fs::symlink_metadata(target) {
        Err(e) if matches!(e.kind(), ErrorKind::NotFound | ErrorKind::NotADirectory) => return Ok(None),
        other => other?,
    };
    // A link is kept itself, what it points to is not touched.
    fs::hard_link(target, kept).or_else(|no_links_here| {
        if !metadata.is_file() {
            return Err(no_links_here);
        }
        fs::copy(target, kept)?;
        File::open(kept)?.sync_all()
    })?;
    Ok(kept.file_name().map(|n| n.to_string_lossy().into_owned()))
}

fn remove_olds(folder: &Path, staged: &[Staged]) {
    for name in staged.iter().filter_map(|s| second_name(&s.aside).file_name().map(ToOwned::to_owned)) {
        drop(fs::remove_file(folder.join(name)));
    }
}

/// Puts the journal in the folder, whole and synced.
fn write(folder: &Path, journal: &Journal) -> Result<(), Failure> {
    let put = || -> std::io::Result<()> {
        let mut aside = builder(0o666).tempfile_in(folder)?;
        aside.write_all(&serde_json::to_vec_pretty(journal)?)?;
        aside.as_file().sync_all()?;
        sync(folder, &[]);
        aside.persist(folder.join(JOURNAL)).map_err(|e| e.error)?;
        sync(folder, &[]);
        Ok(())
    };
    put().map_err(|e| cannot("write in", folder, &e))
}

/// Takes back what a killed run has put in place; whether there was one. Only called under the folder's lock.
///
/// # Errors
/// A journal that is none, or what could not be put back.
pub(super) fn undo(folder: &Path) -> Result<bool, Failure> {
    let path = folder.join(JOURNAL);
    let bytes = match fs::read(&path) {
        Err(e) if matches!(e.kind(), ErrorKind::NotFound | ErrorKind::NotADirectory) => return Ok(false),
        other => other.map_err(|e| cannot("read", &path, &e))?,
    };
    let journal = serde_json::from_slice::<Journal>(&bytes).ok().filter(|j| j.files.iter().all(Entry::is_ours));
    let Some(journal) = journal else {
        return Err(Failure::io(format!(
            "error: {} is not a journal of ours\n  help: look at the files beside it, then remove it",
            path.display()
        )));
    };
    for entry in &journal.files {
        entry.restore(folder).map_err(|e| cannot("put back", &folder.join(&entry.target), &e))?;
    }
    sync(folder, &journal.files);
    fs::remove_file(&path).map_err(|e| cannot("remove", &path, &e))?;
    sync(folder, &[]);
    Ok(true)
}

impl Entry {
    /// Whether the names lead nowhere else.
    fn is_ours(&self) -> bool {
        let target = Path::new(&self.target);
        let inside = target.components().all(|c| matches!(c, Component::Normal(_)));
        inside && target.components().count() <= 2 && self.old.as_deref().is_none_or(is_aside)
    }

    /// Puts back what stood there, unless someone else has changed the file since.
    fn restore(&self, folder: &Path) -> std::io::Result<()> {
        let target = folder.join(&self.target);
        let placed = match fs::symlink_metadata(&target) {
            Ok(metadata) if metadata.is_file() => digest(&fs::read(&target)?) == self.digest,
            Ok(_) => false,
            Err(e) if matches!(e.kind(), ErrorKind::NotFound | ErrorKind::NotADirectory) => self.old.is_some(),
            Err(e) => return Err(e),
        };
        let gone = |done: std::io::Result<()>| match done {
            Err(e) if e.kind() != ErrorKind::NotFound => Err(e),
            _ => Ok(()),
        };
        match (&self.old, placed) {
            (Some(old), true) => gone(fs::rename(folder.join(old), &target)),
            (Some(old), false) => gone(fs::remove_file(folder.join(old))),
            (None, true) => gone(fs::remove_file(&target)),
            (None, false) => Ok(()),
        }?;
        if self.folder_made {
            // Only succeeds on an empty folder, which is what we want.
            drop(target.parent().map(fs::remove_dir));
        }
        Ok(())
    }
}

/// Makes the names in the folder, and in the folders of these files, outlast a loss of power.
fn sync(folder: &Path, files: &[Entry]) {
    let below = files.iter().filter_map(|f| folder.join(&f.target).parent().map(Path::to_path_buf));
    let mut folders: Vec<PathBuf> = below.chain([folder.to_path_buf()]).collect();
    folders.dedup();
    for folder in folders {
        // Not every file system can open and sync a folder; the files themselves are synced already.
        drop(File::open(folder).and_then(|f| f.sync_all()));
    }
}

#[cfg(test)]
mod tests {
    use super::super::aside::stage;
    use super::super::{OutFile, Policy, write_all};
    use super::*;

    const OVERWRITE: Policy = Policy { overwrite: true, dry_run: false };

    fn set(text: &str) -> Vec<OutFile> {
        ["a.csv", "b.csv", "below/c.csv"].map(|name| OutFile::text(name, format!("{text} {name}"))).into()
    }

    /// What stands in the folder: the texts of the three files, and how many entries there are.
    fn there(folder: &Path) -> (Vec<Option<String>>, usize) {
        let texts = set("").iter().map(|f| fs::read_to_string(folder.join(&f.name)).ok()).collect();
        (texts, fs::read_dir(folder).unwrap().count())
    }

    /// Writes the journal and puts the first files in place, as a run does that is killed then.
    fn killed_after(renamed: usize, folder: &Path, files: &[OutFile]) {
        let staged: Vec<Staged> = files.iter().map(|f| stage(folder, f).unwrap()).collect();
        let entries = staged.iter().map(|s| entry(folder, s).unwrap()).collect();
        write(folder, &Journal { note: NOTE.to_owned(), files: entries }).unwrap();
        for (at, Staged { aside, name, .. }) in staged.into_iter().enumerate() {
            fs::create_dir_all(folder.join(&name).parent().unwrap()).unwrap();
            let aside = aside.keep().unwrap();
            if at < renamed {
                fs::rename(aside, folder.join(name)).unwrap();
            }
        }
    }

    #[test]
    fn a_run_killed_between_two_renamings_is_taken_back() {
        for renamed in 0..=3 {
            for begun in [true, false] {
                let folder = tempfile::tempdir().unwrap();
                if begun {
                    write_all(folder.path(), &set("old"), OVERWRITE).unwrap();
                }
                let before = there(folder.path());
                killed_after(renamed, folder.path(), &set("new"));
                // The next run may not replace anything, but puts things right first.
                let next = [OutFile::text("a.csv", "third".to_owned()), OutFile::text("other.csv", String::new())];
                let policy = Policy { overwrite: false, dry_run: false };
                let written = write_all(folder.path(), &next, policy);
                if begun {
                    assert_eq!(written.unwrap_err().code, crate::cli::exit::BAD_INPUT);
                    assert_eq!(there(folder.path()), before, "{renamed}");
                } else {
                    assert!(written.unwrap().undone);
                    assert_eq!(there(folder.path()), (vec![Some("third".to_owned()), None, None], 2), "{renamed}");
                }
            }
        }
    }

    #[test]
    fn a_file_changed_since_the_kill_is_left_as_it_is() {
        let folder = tempfile::tempdir().unwrap();
        write_all(folder.path(), &set("old"), OVERWRITE).unwrap();
        killed_after(2, folder.path(), &set("new"));
        fs::write(folder.path().join("b.csv"), "mine").unwrap();
        assert!(undo(folder.path()).unwrap() && !undo(folder.path()).unwrap());
        let text = |name: &str| fs::read_to_string(folder.path().join(name)).unwrap();
        assert_eq!((text("a.csv").as_str(), text("b.csv").as_str()), ("old a.csv", "mine"));
        assert_eq!(text("below/c.csv"), "old below/c.csv");
    }

    #[cfg(unix)]
    #[test]
    fn a_link_that_was_replaced_comes_back_as_a_link() {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("precious"), "precious").unwrap();
        std::os::unix::fs::symlink("precious", folder.path().join("a.csv")).unwrap();
        killed_after(3, folder.path(), &set("new"));
        assert!(undo(folder.path()).unwrap());
        assert_eq!(fs::read_link(folder.path().join("a.csv")).unwrap(), Path::new("precious"));
        assert_eq!(fs::read_to_string(folder.path().join("precious")).unwrap(), "precious");
    }

    #[test]
    fn a_failure_puts_everything_back() {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("a.csv"), "old").unwrap();
        let staged = set("new").iter().map(|f| stage(folder.path(), f).unwrap()).collect();
        // A folder at the second target makes its renaming fail after the first is in place.
        fs::create_dir(folder.path().join("b.csv")).unwrap();
        assert_eq!(place(folder.path(), staged).unwrap_err().code, crate::cli::exit::CANNOT_READ_OR_WRITE);
        assert_eq!(fs::read_to_string(folder.path().join("a.csv")).unwrap(), "old");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 2);
    }

    #[test]
    fn a_journal_that_leads_elsewhere_is_refused() {
        let outer = tempfile::tempdir().unwrap();
        let folder = outer.path().join("out");
        fs::create_dir(&folder).unwrap();
        fs::write(outer.path().join("mine"), "mine").unwrap();
        let digest = digest(b"mine");
        for (target, old) in [("../mine", "null"), ("a.csv", "\"../mine\""), ("/etc/x", "null"), ("a/b/c", "null")] {
            let text = format!(
                "{{\"note\":\"\",\"files\":[{{\"target\":\"{target}\",\"digest\":{digest},\"old\":{old},\"folder_made\":false}}]}}"
            );
            fs::write(folder.join(JOURNAL), text).unwrap();
            assert!(write_all(&folder, &set("new"), OVERWRITE).is_err(), "{target}");
            assert_eq!(fs::read_to_string(outer.path().join("mine")).unwrap(), "mine");
        }
    }
}
