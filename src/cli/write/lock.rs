//! One run at a time in a folder.

use std::fs::{File, TryLockError};
use std::path::Path;
use std::thread::sleep;
use std::time::Duration;

use crate::cli::exit::Failure;

/// How often another run's lock is waited for, and how long each time: ten seconds in all, a hundred
/// times what writing takes. Our setting.
const TRIES: u32 = 200;
const PAUSE: Duration = Duration::from_millis(50);

/// A folder locked until this is dropped, or the process ends in whatever way.
pub(super) struct Lock {
    _held: Option<File>,
}

impl Lock {
    /// Locks a folder, waiting for a run that is writing into it. A file system without locks still
    /// gives whole files, so there the run goes on without one.
    ///
    /// # Errors
    /// Another run holds it and does not come to its end.
    pub(super) fn of(folder: &Path) -> Result<Self, Failure> {
        let Ok(handle) = File::open(folder) else { return Ok(Self { _held: None }) };
        for _ in 0..TRIES {
            match handle.try_lock() {
                Ok(()) => return Ok(Self { _held: Some(handle) }),
                Err(TryLockError::WouldBlock) => sleep(PAUSE),
                Err(TryLockError::Error(_no_locks_here)) => return Ok(Self { _held: None }),
            }
        }
        Err(Failure::io(format!(
            "error: another run is writing into {}\n  help: let it come to its end, or name another folder",
            folder.display()
        )))
    }

    /// Locks a folder that no running process has locked; `None` where one has, or where that cannot be told.
    pub(super) fn of_abandoned(folder: &Path) -> Option<Self> {
        let handle = File::open(folder).ok()?;
        handle.try_lock().ok()?;
        Some(Self { _held: Some(handle) })
    }
}
