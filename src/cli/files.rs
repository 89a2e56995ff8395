//! Reading a job and a shop from their folders.

use std::fs::{self, File};
use std::io::ErrorKind;
use std::path::{Path, PathBuf};
use std::time::Instant;

use jiff::civil::Date;

use super::args::{Folders, PlanArgs, Telling};
use super::catalog::CatalogFiles;
use super::exit::{CANNOT_READ_OR_WRITE, Failure};
use super::screen::Reporter;
use crate::input::{FaultKind, Faults, NamedBytes, Noted, ShopFiles, ShopRead, read_job, read_shop, unreadable};
use crate::model::chassis::Job;
use crate::model::shop::Shop;
use crate::money::Money;
use crate::workflow::{self, Choices};

/// The forms that a table may come in, in the order that they are looked for.
const FORMS: &[&str] = &["csv", "tsv", "txt", "xlsx", "ods"];

/// Faults shown in full unless all are asked for.
const FAULTS_SHOWN: usize = 20;

/// Everything that a command works on.
pub(super) struct Loaded {
    /// The jobs, in order of their names.
    pub(super) jobs: Vec<Job>,
    /// The shop.
    pub(super) shop: Shop,
    /// Its catalog, not read yet.
    pub(super) catalog: CatalogFiles,
}

/// Reads the jobs and the shop; faults of all files come in one run.
///
/// # Errors
/// Every fault, or what could not be read.
pub(super) fn load(paths: &[PathBuf], folders: &Folders, telling: &Telling) -> Result<Loaded, Failure> {
    let reporter = Reporter::new(telling);
    let started = Instant::now();
    let shop_folder = shop_folder(paths, folders)?;
    reporter.why(&format!("shop folder {}, {}", shop_folder.display(), found_by(folders)));
    let mut faults = Faults::default();
    let mut notes = Vec::new();
    let mut jobs = Vec::new();
    for path in paths {
        match load_job(path) {
            Ok(Noted { value, notes: more }) => {
                jobs.push(value);
                notes.extend(more);
            }
            Err(more) => faults.append(more),
        }
    }
    let shop = match load_shop(&shop_folder) {
        Ok(Noted { value, notes: more }) => {
            notes.extend(more);
            Some(value)
        }
        Err(more) => {
            faults.append(more);
            None
        }
    };
    let Some(ShopRead { shop, columns }) = shop.filter(|_| faults.is_empty()) else {
        return Err(failure(&faults, shown(folders)));
    };
    for note in &notes {
        reporter.note(note);
    }
    distinct(&mut jobs)?;
    for job in &mut jobs {
        workflow::complete(job, &shop);
    }
    for job in &jobs {
        reporter.why(&format!("job {}: {} parts", job.name, job.parts.len()));
    }
    reporter.detail(&format!("job and shop read in {:.3} s", started.elapsed().as_secs_f64()));
    let catalog =
        CatalogFiles::new(&shop_folder, columns, folders, reporter).map_err(|f| failure(&f, shown(folders)))?;
    Ok(Loaded { jobs, shop, catalog })
}

/// The jobs by name; two of the same name could not be told apart.
fn distinct(jobs: &mut [Job]) -> Result<(), Failure> {
    jobs.sort_by(|a, b| a.name.cmp(&b.name));
    match jobs.windows(2).find(|w| matches!(w, [a, b] if a.name == b.name)) {
        Some([twice, ..]) => Err(Failure::input(format!(
            "error: two jobs are named `{}`\n  help: references are written JOB/REF; rename one of the folders",
            twice.name
        ))),
        _ => Ok(()),
    }
}

/// `--shop`, else the environment, else a folder `shop` beside or above the first job.
pub(super) fn shop_folder(paths: &[PathBuf], folders: &Folders) -> Result<PathBuf, Failure> {
    if let Some(shop) = &folders.shop {
        return Ok(shop.clone());
    }
    let job = paths.first().cloned().unwrap_or_default();
    shop_beside(&job).ok_or_else(|| {
        Failure::io(format!(
            "error: no shop folder for {}\n  help: name it with --shop DIR or CAPJOB_SHOP, or put a folder `shop` beside or above the job; `capjob new --shop DIR` starts one",
            job.display()
        ))
    })
}

/// How the shop folder came to be taken.
fn found_by(folders: &Folders) -> &'static str {
    if folders.shop.is_some() { "named by --shop or CAPJOB_SHOP" } else { "found beside or above the job" }
}

/// A folder `shop` beside or above the job.
pub(super) fn shop_beside(job: &Path) -> Option<PathBuf> {
    let from = fs::canonicalize(job).unwrap_or_else(|_not_there_yet| job.to_path_buf());
    from.ancestors().skip(1).map(|a| a.join("shop")).find(|s| s.join("shop.toml").is_file())
}

/// Text of all faults; what could not be read at all is another exit code than what was read and is wrong.
pub(super) fn failure(faults: &Faults, shown: usize) -> Failure {
    let unread = |k: FaultKind| matches!(k, FaultKind::Missing | FaultKind::Folder | FaultKind::Unreadable);
    let only_unread = faults.iter().all(|f| unread(f.kind));
    let failure = Failure::input(told(faults, shown));
    if only_unread { Failure { code: CANNOT_READ_OR_WRITE, ..failure } } else { failure }
}

/// How many faults are shown in full.
pub(super) fn shown(folders: &Folders) -> usize {
    if folders.all_errors { usize::MAX } else { FAULTS_SHOWN }
}

/// The first faults in full, the others counted, and how to see them.
pub(super) fn told(faults: &Faults, shown: usize) -> String {
    let more = if faults.len() > shown { "\n--all-errors shows them" } else { "" };
    format!("{}{more}", faults.render(shown))
}

fn load_job(folder: &Path) -> Result<Noted<Job>, Faults> {
    let mut faults = Faults::default();
    let mut take = |read: Result<Named, Faults>| read.map_err(|f| faults.append(f)).ok();
    let chassis = take(read(&folder.join("chassis.toml")));
    let parts = take(table(folder, "parts"));
    let (Some(chassis), Some(parts)) = (chassis, parts) else { return Err(faults) };
    read_job(&folder_name(folder), chassis.as_ref(), parts.as_ref())
}

/// The folder's own name, also where it was given as `.` or with a separator at the end.
fn folder_name(folder: &Path) -> String {
    let whole = fs::canonicalize(folder).unwrap_or_else(|_as_given| folder.to_path_buf());
    whole.file_name().map_or_else(|| "job".to_owned(), |n| n.to_string_lossy().into_owned())
}

pub(super) fn load_shop(folder: &Path) -> Result<Noted<ShopRead>, Faults> {
    let mut faults = Faults::default();
    let mut take = |read: Result<Named, Faults>| read.map_err(|f| faults.append(f)).ok();
    let settings = take(read(&folder.join("shop.toml")));
    let suppliers = take(table(folder, "suppliers"));
    let mut optional = |name: &str| match find_table(folder, name) {
        Some(path) => take(read(&path)),
        None => None,
    };
    let shelf = optional("shelf");
    let equivalents = optional("equivalents");
    let rectifiers = optional("rectifiers");
    let (Some(settings), Some(suppliers)) = (settings, suppliers) else { return Err(faults) };
    if !faults.is_empty() {
        return Err(faults);
    }
    let keys = workflow::margin_keys();
    read_shop(&ShopFiles {
        settings: settings.as_ref(),
        suppliers: suppliers.as_ref(),
        shelf: shelf.as_ref().map(Named::as_ref),
        equivalents: equivalents.as_ref().map(Named::as_ref),
        rectifiers: rectifiers.as_ref().map(Named::as_ref),
        margin_keys: &keys,
    })
}

/// A file's name, as messages show it, with its bytes.
pub(super) struct Named {
    name: String,
    bytes: Vec<u8>,
}

impl Named {
    /// As the reading room takes it.
    pub(super) fn as_ref(&self) -> NamedBytes<'_> {
        NamedBytes { name: &self.name, bytes: &self.bytes }
    }
}

/// The largest file read whole: sheets of one chassis are thousands of times smaller.
const MOST_BYTES: u64 = 64 * 1024 * 1024;

/// Reads a whole file.
pub(super) fn read(path: &Path) -> Result<Named, Faults> {
    let name = path.display().to_string();
    let unread = |kind: ErrorKind| Faults::one(unreadable(&name, kind));
    let metadata = fs::metadata(path).map_err(|e| unread(e.kind()))?;
    if metadata.is_dir() {
        return Err(unread(ErrorKind::IsADirectory));
    }
    if metadata.len() > MOST_BYTES {
        return Err(unread(ErrorKind::FileTooLarge));
    }
    let bytes = fs::read(path).map_err(|e| unread(e.kind()))?;
    Ok(Named { name, bytes })
}

/// Reads a needed table in whichever form it is there.
fn table(folder: &Path, stem: &str) -> Result<Named, Faults> {
    let path = find_table(folder, stem).unwrap_or_else(|| folder.join(stem).with_extension("csv"));
    read(&path)
}

/// Reads a table of a job that not every command needs.
pub(super) fn read_table(job: &Path, stem: &str) -> Result<Named, Faults> {
    table(job, stem)
}

/// The day that documents bear, where the command line gives one.
///
/// # Errors
/// A text that is no date.
pub(super) fn date(folders: &Folders) -> Result<Option<Date>, Failure> {
    let Some(text) = &folders.date else { return Ok(None) };
    let date = text.parse::<Date>();
    date.map(Some)
        .map_err(|_no_date| Failure::input(format!("error: --date {text}: write YYYY-MM-DD, like 2026-11-20")))
}

/// The first form of a table that is there.
fn find_table(folder: &Path, stem: &str) -> Option<PathBuf> {
    FORMS.iter().map(|form| folder.join(stem).with_extension(form)).find(|path| path.exists())
}

/// The catalog's files, in order of their names.
pub(super) fn catalog_files(shop: &Path) -> Result<Vec<PathBuf>, Faults> {
    let folder = shop.join("catalog");
    let unread = |kind: ErrorKind| Faults::one(unreadable(&folder.display().to_string(), kind));
    let entries = fs::read_dir(&folder).map_err(|e| unread(e.kind()))?;
    let mut files: Vec<PathBuf> = entries.flatten().map(|e| e.path()).filter(|p| is_table(p)).collect();
    files.sort();
    Ok(files)
}

fn is_table(path: &Path) -> bool {
    let hidden = path.file_name().is_some_and(|n| n.to_string_lossy().starts_with('.'));
    let form = path.extension().map(|e| e.to_string_lossy().to_lowercase());
    !hidden && form.is_some_and(|f| FORMS.contains(&f.as_str()))
}

/// Opens a file for streaming.
pub(super) fn open(path: &Path) -> Result<File, Faults> {
    let name = path.display().to_string();
    File::open(path).map_err(|e| Faults::one(unreadable(&name, e.kind())))
}

/// What the command line says about choosing; a flag wins over the shop's key.
///
/// # Errors
/// An amount or a time that is none.
pub(super) fn choices(args: &PlanArgs, shop: &Shop) -> Result<Choices, Failure> {
    let ceiling = match &args.ceiling {
        None => None,
        Some(text) => Some(Money::parse(text).map_err(|e| Failure::input(format!("error: --ceiling {text}: {e}")))?),
    };
    if let Some(seconds) = args.seconds.filter(|s| !(s.is_finite() && *s > 0.0)) {
        return Err(Failure::input(format!("error: --seconds {seconds}: a time above zero is wanted")));
    }
    Ok(Choices {
        max_suppliers: args.max_suppliers.or(shop.choose.max_suppliers),
        within_days: args.within_days,
        ceiling,
        seconds: args.seconds,
        why: args.why.clone(),
    })
}
