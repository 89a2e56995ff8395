//! From what stands in the way of a plan to a failure; the instance of a fault of ours is kept in a file.

use std::fs;
use std::io::Write as _;
use std::path::{Path, PathBuf};

use tempfile::Builder;

use super::args::Folders;
use super::exit::Failure;
use crate::workflow::{PlanError, PurchaseError};

/// What stands in the way of a plan: the reading of the files, or the planning.
pub(super) enum Trouble {
    /// The files.
    Read(Failure),
    /// The planning.
    Plan(PlanError),
}

impl From<Failure> for Trouble {
    fn from(failure: Failure) -> Self {
        Self::Read(failure)
    }
}

impl From<PlanError> for Trouble {
    fn from(error: PlanError) -> Self {
        Self::Plan(error)
    }
}

impl Trouble {
    /// The failure that it is. A fault of the shop's own files is bad input; a fault of the purchase is
    /// ours, and its instance is saved in the folder of `--out`, or where temporary files go.
    pub(super) fn failure(self, folders: &Folders) -> Failure {
        match self {
            Self::Read(failure) => failure,
            Self::Plan(PlanError::Purchase(error)) => fault(&error, &folder(folders)),
            Self::Plan(error) => Failure::input(format!("error: {error}")),
        }
    }
}

/// Where an instance is saved; a dry run writes nothing into the folder that it is told.
fn folder(folders: &Folders) -> PathBuf {
    folders.out.clone().filter(|_| !folders.dry_run).unwrap_or_else(std::env::temp_dir)
}

/// The failure of a fault of ours; an instance that cannot be saved is printed.
fn fault(error: &PurchaseError, folder: &Path) -> Failure {
    let said = format!("internal fault: the purchase could not be worked out: {error}");
    let PurchaseError::Disagreement { instance, .. } = error else { return Failure::internal(said) };
    Failure::internal(match save(&format!("{said}\n\n{instance}\n"), folder) {
        Ok(path) => format!(
            "{said}\nno plan was made of it. The instance is saved in {}\nplease report it with that file; it holds \
             your prices and references",
            path.display()
        ),
        Err(why) => format!(
            "{said}\nno plan was made of it. The instance could not be saved in {}: {why}\nplease report it with \
             this instance:\n{instance}",
            folder.display()
        ),
    })
}

/// Writes the instance into a new file of an unforeseeable name that nobody else may read; nothing that
/// is there already is touched, and no link is followed.
fn save(text: &str, folder: &Path) -> std::io::Result<PathBuf> {
    fs::create_dir_all(folder)?;
    let mut file = Builder::new().prefix("capjob-instance-").suffix(".txt").rand_bytes(12).tempfile_in(folder)?;
    file.write_all(text.as_bytes())?;
    file.as_file().sync_all()?;
    let (_, path) = file.keep()?;
    Ok(path)
}

#[cfg(test)]
mod tests {
    use std::ffi::OsString;

    use clap::Parser as _;

    use super::super::args::{Cli, Command};
    use super::super::exit::INTERNAL;
    use super::*;

    fn disagreement() -> PlanError {
        PlanError::Purchase(PurchaseError::Disagreement {
            what: "line HN-1: not the price".to_owned(),
            instance: "Problem { positions: [..] }".to_owned(),
        })
    }

    /// As the command line gives them.
    fn folders(out: Option<&Path>, dry_run: bool) -> Folders {
        let mut line: Vec<OsString> = ["capjob", "plan", "job"].iter().map(Into::into).collect();
        line.extend(out.into_iter().flat_map(|out| ["--out".into(), out.as_os_str().to_owned()]));
        line.extend(dry_run.then(|| "--dry-run".into()));
        match Cli::try_parse_from(line).unwrap().command {
            Command::Plan(args) => args.folders,
            other => panic!("not `plan`: {other:?}"),
        }
    }

    #[test]
    fn a_disagreement_is_saved_where_it_can_be_found() {
        let folder = tempfile::tempdir().unwrap();
        let out = folder.path().join("not there yet");
        let mut said = Vec::new();
        for _ in 0..2 {
            let failure = Trouble::from(disagreement()).failure(&folders(Some(&out), false));
            assert_eq!(failure.code, INTERNAL);
            assert!(failure.text.starts_with("internal fault:"), "{}", failure.text);
            assert!(failure.text.contains("line HN-1: not the price"), "{}", failure.text);
            assert!(!failure.text.contains("Problem {"), "{}", failure.text);
            said.push(failure.text);
        }
        // Two faults, two files: the second does not take the place of the first.
        let saved: Vec<PathBuf> = fs::read_dir(&out).unwrap().map(|e| e.unwrap().path()).collect();
        assert_eq!(saved.len(), 2);
        for path in &saved {
            assert!(fs::read_to_string(path).unwrap().contains("Problem { positions: [..] }"));
            assert!(said.iter().any(|text| text.contains(&path.display().to_string())), "{said:?}");
        }
    }

    #[cfg(unix)]
    #[test]
    fn only_its_owner_may_read_an_instance() {
        use std::os::unix::fs::PermissionsExt as _;
        let folder = tempfile::tempdir().unwrap();
        let path = save("prices", folder.path()).unwrap();
        assert_eq!(fs::metadata(path).unwrap().permissions().mode() & 0o777, 0o600);
    }

    #[test]
    fn a_dry_run_writes_nothing_into_the_folder_named() {
        let named = tempfile::tempdir().unwrap();
        assert_eq!(super::folder(&folders(Some(named.path()), true)), std::env::temp_dir());
        assert_eq!(super::folder(&folders(None, false)), std::env::temp_dir());
        assert_eq!(super::folder(&folders(Some(named.path()), false)), named.path());
    }

    #[test]
    fn an_instance_that_cannot_be_saved_is_printed() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("a file");
        fs::write(&file, "mine").unwrap();
        let failure = Trouble::from(disagreement()).failure(&folders(Some(&file), false));
        assert_eq!(failure.code, INTERNAL);
        assert!(failure.text.contains("Problem { positions: [..] }"), "{}", failure.text);
        assert_eq!(fs::read_to_string(&file).unwrap(), "mine");
    }

    #[test]
    fn what_the_shop_got_wrong_is_bad_input() {
        let failure = Trouble::from(PlanError::NoReference("C99".to_owned())).failure(&folders(None, false));
        assert_eq!(failure.code, super::super::exit::BAD_INPUT);
        assert_eq!(failure.text, "error: C99 is in no parts list");
    }
}
