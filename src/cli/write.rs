//! Writing files so that nothing is lost: all of them appear whole, or none does.
//!
//! A folder that is not there yet is made aside with all its files and appears by one renaming. In a
//! folder that is there every file is written aside, flushed and synced before any is renamed, and a
//! journal says how to take the renamings back: a run that was killed between two of them is undone by
//! the next one into that folder. The folder is locked meanwhile, so that two runs into it do not mix.

mod aside;
mod fresh;
mod journal;
mod lock;
mod names;

use std::fs;
use std::path::Path;

use super::exit::Failure;
use super::signals;

pub(super) use aside::remove_asides;
pub(super) use names::distinct_stems;

/// One file to be written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct OutFile {
    /// Name in the folder; at most one folder below it stands before a `/`.
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

/// What a writing did.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Written {
    /// How each file compared with what was there.
    pub(super) states: Vec<State>,
    /// Whether a run that was killed halfway had left a mixture, which was taken back first.
    pub(super) undone: bool,
}

/// Writes the files into `folder`, which is made when it is missing.
///
/// # Errors
/// A file in the way without `overwrite` (bad input), or whatever could not be written; the folder
/// is then as it was before.
pub(super) fn write_all(folder: &Path, files: &[OutFile], policy: Policy) -> Result<Written, Failure> {
    if policy.dry_run {
        return Ok(Written { states: allowed(folder, files, policy)?, undone: false });
    }
    if fresh::is_missing(folder) && fresh::appear(folder, files)? {
        return Ok(Written { states: vec![State::New; files.len()], undone: false });
    }
    fs::create_dir_all(folder).map_err(|e| cannot("make folder", folder, &e))?;
    let _lock = lock::Lock::of(folder)?;
    let undone = journal::undo(folder)?;
    aside::sweep(folder);
    let states = allowed(folder, files, policy)?;
    let wanted = files.iter().zip(&states).filter(|(_, s)| **s != State::Unchanged).map(|(f, _)| f);
    let staged = wanted.map(|f| aside::stage(folder, f)).collect::<Result<Vec<_>, _>>()?;
    if !staged.is_empty() {
        signals::whole(|| journal::place(folder, staged))?;
    }
    Ok(Written { states, undone })
}

/// How the files compare with what is there.
///
/// # Errors
/// What is in the way and may not be replaced.
fn allowed(folder: &Path, files: &[OutFile], policy: Policy) -> Result<Vec<State>, Failure> {
    let states = files.iter().map(|f| state(&folder.join(&f.name), &f.bytes)).collect::<Result<Vec<_>, _>>()?;
    let in_the_way: Vec<String> = files
        .iter()
        .zip(&states)
        .filter(|(_, s)| **s == State::Changed && !policy.overwrite)
        .map(|(f, _)| {
            format!("error: {} exists\n  help: use --overwrite, or name another folder", folder.join(&f.name).display())
        })
        .collect();
    if in_the_way.is_empty() { Ok(states) } else { Err(Failure::input(in_the_way.join("\n"))) }
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

fn cannot(what: &str, path: &Path, error: &std::io::Error) -> Failure {
    Failure::io(format!("error: cannot {what} {}: {error}", path.display()))
}

#[cfg(test)]
mod tests;
