//! A folder that is not there yet: made aside with all its files, it appears by one renaming.

use std::ffi::OsString;
use std::fs::{self, File};
use std::io::{ErrorKind, Write as _};
use std::path::{Component, Path, PathBuf};

use super::aside::{builder, leftovers, remember};
use super::lock::Lock;
use super::{OutFile, cannot};
use crate::cli::exit::Failure;
use crate::cli::signals;

/// Whether nothing at all stands there.
pub(super) fn is_missing(path: &Path) -> bool {
    fs::symlink_metadata(path).is_err_and(|e| e.kind() == ErrorKind::NotFound)
}

/// Makes the folder with these files in it; `false` where another run was quicker, or where the path is
/// such that the folder has to be made in place.
///
/// # Errors
/// What could not be written; then nothing is there.
pub(super) fn appear(folder: &Path, files: &[OutFile]) -> Result<bool, Failure> {
    let Some(place) = Place::of(folder) else { return Ok(false) };
    let lock = Lock::of(&place.parent)?;
    sweep(&place.parent);
    let aside = builder(0o777).tempdir_in(&place.parent).map_err(|e| cannot("make folder", folder, &e))?;
    remember(aside.path());
    // Held until the renaming: it tells other runs that this is not left over.
    let own = Lock::of_abandoned(aside.path());
    drop(lock);
    fill(aside.path(), &place.inner, files).map_err(|e| cannot("write in", folder, &e))?;
    let top = place.parent.join(&place.top);
    let renamed = signals::whole(|| fs::rename(aside.path(), &top));
    drop(own);
    match renamed {
        Ok(()) => {
            // It is no longer where its guard would remove it.
            drop(aside.keep());
            sync(&place.parent);
            Ok(true)
        }
        Err(e) if matches!(e.kind(), ErrorKind::DirectoryNotEmpty | ErrorKind::AlreadyExists) => Ok(false),
        Err(e) if e.kind() == ErrorKind::NotADirectory => Ok(false),
        Err(e) => Err(cannot("make folder", folder, &e)),
    }
}

/// A missing folder taken apart.
struct Place {
    /// The nearest folder above it that is there.
    parent: PathBuf,
    /// The first name below that.
    top: OsString,
    /// The rest of the path.
    inner: PathBuf,
}

impl Place {
    /// `None` for a path that leads up again or has no name of its own.
    fn of(folder: &Path) -> Option<Self> {
        if folder.components().any(|c| c == Component::ParentDir) {
            return None;
        }
        let here = |path: &Path| if path.as_os_str().is_empty() { PathBuf::from(".") } else { path.to_path_buf() };
        let missing = folder.ancestors().take_while(|a| is_missing(&here(a))).last()?;
        Some(Self {
            parent: here(missing.parent()?),
            top: missing.file_name()?.to_owned(),
            inner: folder.strip_prefix(missing).ok()?.to_path_buf(),
        })
    }
}

/// Writes the files below `aside`, flushed and synced with their folders.
fn fill(aside: &Path, inner: &Path, files: &[OutFile]) -> std::io::Result<()> {
    let folder = aside.join(inner);
    fs::create_dir_all(&folder)?;
    for file in files {
        let path = folder.join(&file.name);
        path.parent().map_or(Ok(()), fs::create_dir_all)?;
        let mut out = File::create_new(&path)?;
        out.write_all(&file.bytes)?;
        out.sync_all()?;
        path.ancestors().skip(1).take_while(|a| a.starts_with(aside)).for_each(sync);
    }
    Ok(())
}

fn sync(folder: &Path) {
    // Not every file system can open and sync a folder; the files themselves are synced already.
    drop(File::open(folder).and_then(|f| f.sync_all()));
}

/// Removes folders that killed runs left aside. Only called under the folder's lock.
fn sweep(folder: &Path) {
    for path in leftovers(folder).iter().filter(|p| fs::symlink_metadata(p).is_ok_and(|m| m.is_dir())) {
        if let Some(_abandoned) = Lock::of_abandoned(path) {
            drop(fs::remove_dir_all(path));
        }
    }
}
