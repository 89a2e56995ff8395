//! Files written aside, before any of them is put in place.

use std::fs;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

use tempfile::{Builder, NamedTempFile, TempPath};

use super::{OutFile, cannot};
use crate::cli::exit::Failure;

/// What we leave behind when we are killed begins and ends so.
const ASIDE: (&str, &str) = (".capjob-", ".tmp");

/// What this run has written aside, for the handler of interrupts.
static ASIDES: Mutex<Vec<PathBuf>> = Mutex::new(Vec::new());

/// Removes whatever this run has written aside and not put in place yet.
pub(in crate::cli) fn remove_asides() {
    for path in ASIDES.lock().unwrap_or_else(PoisonError::into_inner).drain(..) {
        drop(fs::remove_file(&path).or_else(|_a_folder| fs::remove_dir_all(&path)));
    }
}

/// Has a path removed when the run is interrupted.
pub(super) fn remember(path: &Path) {
    ASIDES.lock().unwrap_or_else(PoisonError::into_inner).push(path.to_path_buf());
}

/// Whether a name is one of ours for what is written aside.
pub(super) fn is_aside(name: &str) -> bool {
    name.starts_with(ASIDE.0) && name.ends_with(ASIDE.1) && !name.contains(['/', '\\'])
}

/// A maker of files and folders aside, whose mode is the usual one less the umask.
pub(super) fn builder(mode: u32) -> Builder<'static, 'static> {
    let mut builder = Builder::new();
    builder.prefix(ASIDE.0).suffix(ASIDE.1);
    with_mode(&mut builder, mode);
    builder
}

#[cfg(unix)]
fn with_mode(builder: &mut Builder<'_, '_>, mode: u32) {
    use std::os::unix::fs::PermissionsExt as _;
    // What is made aside is private otherwise.
    builder.permissions(fs::Permissions::from_mode(mode));
}

#[cfg(not(unix))]
fn with_mode(_builder: &mut Builder<'_, '_>, _mode: u32) {}

/// A file written aside, and where it belongs.
pub(super) struct Staged {
    pub(super) aside: TempPath,
    /// Name in the folder.
    pub(super) name: String,
    /// Of its contents.
    pub(super) digest: u64,
}

/// Writes a file aside, flushed and synced.
pub(super) fn stage(folder: &Path, file: &OutFile) -> Result<Staged, Failure> {
    let target = folder.join(&file.name);
    let mut aside = builder(0o666).tempfile_in(folder).map_err(|e| cannot("write in", folder, &e))?;
    remember(aside.path());
    let filled = aside.write_all(&file.bytes).and_then(|()| aside.flush()).and_then(|()| keep_mode(&aside, &target));
    filled.and_then(|()| aside.as_file().sync_all()).map_err(|e| cannot("write", &target, &e))?;
    Ok(Staged { aside: aside.into_temp_path(), name: file.name.clone(), digest: digest(&file.bytes) })
}

/// The mode of a file that is replaced is kept.
fn keep_mode(aside: &NamedTempFile, target: &Path) -> std::io::Result<()> {
    match fs::symlink_metadata(target) {
        Ok(metadata) if metadata.is_file() => aside.as_file().set_permissions(metadata.permissions()),
        _ => Ok(()),
    }
}

/// Removes what a killed run left behind. Only called under the folder's lock.
pub(super) fn sweep(folder: &Path) {
    for path in leftovers(folder) {
        // A folder is left alone here: a run may be making it.
        drop(fs::remove_file(path));
    }
}

/// Everything in a folder that bears a name of ours for what is written aside.
pub(super) fn leftovers(folder: &Path) -> Vec<PathBuf> {
    let Ok(entries) = fs::read_dir(folder) else { return Vec::new() };
    entries.flatten().filter(|e| is_aside(&e.file_name().to_string_lossy())).map(|e| e.path()).collect()
}

/// FNV-1a with 64 bits (Fowler, Noll, Vo; the constants from memory): tells whether a file is still the
/// one that we wrote. It guards against accidents, not against intent.
pub(super) fn digest(bytes: &[u8]) -> u64 {
    bytes.iter().fold(0xcbf2_9ce4_8422_2325, |hash, byte| (hash ^ u64::from(*byte)).wrapping_mul(0x0000_0100_0000_01b3))
}
