//! The catalog's files as one stream of offers, with what was set aside told at the end.

use std::cell::RefCell;
use std::path::{Path, PathBuf};

use super::args::Folders;
use super::exit::Failure;
use super::files::{catalog_files, failure, open, shown, told};
use super::progress::Progress;
use super::screen::Reporter;
use crate::documents::describe::counted;
use crate::input::{CatalogTerms, ColumnMaps, Fault, Faults, Taker, read_catalog};
use crate::model::diagnostic::Diagnostic;
use crate::model::shop::{Glance, Offer, Outline, Supplier};
use crate::workflow::Intake;

/// Most readers of one catalog; more would only wait for the disk.
const MOST_READERS: usize = 4;

/// The catalog of a shop, not read yet.
pub(super) struct CatalogFiles {
    files: Vec<PathBuf>,
    columns: ColumnMaps,
    strict: bool,
    shown: usize,
    reporter: Reporter,
    aside: RefCell<Faults>,
}

impl CatalogFiles {
    /// Finds the files.
    ///
    /// # Errors
    /// The folder cannot be read.
    pub(super) fn new(shop: &Path, columns: ColumnMaps, folders: &Folders, reporter: Reporter) -> Result<Self, Faults> {
        Ok(Self {
            files: catalog_files(shop)?,
            columns,
            strict: folders.strict,
            shown: shown(folders),
            reporter,
            aside: RefCell::default(),
        })
    }

    /// Fills an intake, with as many readers as the machine has processors; the count of lines set aside.
    ///
    /// # Errors
    /// As [`read`](Self::read).
    pub(super) fn fill(&self, suppliers: &[Supplier], intake: &mut Intake<'_>) -> Result<usize, Failure> {
        let readers = std::thread::available_parallelism().map_or(1, usize::from).clamp(1, MOST_READERS);
        let mut intakes: Vec<IntoIntake<'_>> = (0..readers).map(|_| IntoIntake(intake.fork())).collect();
        let set_aside = self.read(suppliers, &mut intakes)?;
        for other in intakes {
            intake.join(other.0);
        }
        Ok(set_aside)
    }

    /// Hands every offer that `taker` wants to it, file by file in order of their names; the count of
    /// lines set aside.
    ///
    /// # Errors
    /// As [`read`](Self::read).
    pub(super) fn each(&self, suppliers: &[Supplier], taker: impl Taker) -> Result<usize, Failure> {
        self.read(suppliers, &mut [taker])
    }

    /// Reads every file, with as many readers as there are takers.
    ///
    /// # Errors
    /// A file that cannot be read as a catalog; with `--strict` any bad line.
    fn read<T: Taker>(&self, suppliers: &[Supplier], takers: &mut [T]) -> Result<usize, Failure> {
        let mut aside = Faults::default();
        let mut fatal = Faults::default();
        for path in &self.files {
            match self.one(path, suppliers, takers) {
                Ok(more) => aside.append(more),
                Err(more) => fatal.append(more),
            }
        }
        if !fatal.is_empty() {
            return Err(failure(&fatal, self.shown));
        }
        if !aside.is_empty() {
            if self.strict {
                return Err(failure(&aside, self.shown));
            }
            self.reporter.note(&told(&aside, self.shown));
            let lines = counted(aside.len(), "catalog line", "catalog lines");
            self.reporter.note(&format!("{lines} set aside, not used"));
        }
        let count = aside.len();
        self.aside.replace(aside);
        Ok(count)
    }

    /// What was set aside when the catalog was read, line by line.
    pub(super) fn diagnostics(&self) -> Vec<Diagnostic> {
        let diagnostic = |f: &Fault| Diagnostic {
            code: f.kind.word().replace(' ', "-"),
            file: f.file.clone(),
            line: f.line,
            column: f.column,
            message: f.message.clone(),
            help: f.help.clone(),
        };
        self.aside.borrow().iter().map(diagnostic).collect()
    }

    fn one<T: Taker>(&self, path: &Path, suppliers: &[Supplier], takers: &mut [T]) -> Result<Faults, Faults> {
        let name = path.display().to_string();
        let file_name = path.file_name().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default();
        let terms = CatalogTerms { suppliers, map: self.columns.of(&file_name) };
        let mut progress = Progress::new(self.reporter);
        let read = read_catalog(&name, open(path)?, terms, takers, &mut |lines| progress.tell(lines));
        progress.wipe();
        let read = read?;
        read.notes.iter().for_each(|n| self.reporter.note(n));
        Ok(read.set_aside)
    }
}

/// An intake as a taker of offers.
struct IntoIntake<'a>(Intake<'a>);

impl Taker for IntoIntake<'_> {
    fn heeds(&mut self, outline: &Outline<'_>) -> bool {
        self.0.heeds(outline)
    }

    fn wants(&mut self, glance: &Glance<'_>) -> bool {
        self.0.wants(glance)
    }

    fn take(&mut self, offer: &Offer) {
        self.0.take(offer);
    }
}

/// Keeps the offers of one name: the number alone, or with its supplier.
pub(super) struct Named<'n> {
    /// The name.
    pub(super) name: &'n str,
    /// The offers of that name.
    pub(super) offers: Vec<Offer>,
}

impl Named<'_> {
    fn is_named(&self, supplier: &str, number: &str) -> bool {
        let own = self.name.strip_prefix(supplier).and_then(|rest| rest.strip_prefix(':'));
        self.name == number || own == Some(number)
    }
}

impl Taker for Named<'_> {
    fn wants(&mut self, glance: &Glance<'_>) -> bool {
        self.is_named(glance.supplier, glance.number)
    }

    fn take(&mut self, offer: &Offer) {
        if self.is_named(&offer.supplier, &offer.number) {
            self.offers.push(offer.clone());
        }
    }
}
