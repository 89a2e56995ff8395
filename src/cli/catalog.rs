//! The catalog's files as one stream of offers, with what was set aside told at the end.

use std::cell::RefCell;
use std::io::BufReader;
use std::path::{Path, PathBuf};

use super::args::Folders;
use super::exit::Failure;
use super::files::{catalog_files, failure, open, shown, told};
use super::screen::Reporter;
use crate::input::{Catalog, ColumnMaps, Fault, Faults};
use crate::model::diagnostic::Diagnostic;
use crate::model::shop::{Offer, Supplier};

/// Bytes read at a time; larger than usual, for catalogs of a hundred megabytes.
const BUFFER: usize = 256 * 1024;

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

    /// Hands every offer to `take`, file by file in order of their names; the count of lines set aside.
    ///
    /// # Errors
    /// A file that cannot be read as a catalog; with `--strict` any bad line.
    pub(super) fn each(&self, suppliers: &[Supplier], mut take: impl FnMut(Offer)) -> Result<usize, Failure> {
        let mut aside = Faults::default();
        let mut fatal = Faults::default();
        for path in &self.files {
            match self.one(path, suppliers, &mut take) {
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
            self.reporter.note(&format!("{} catalog lines set aside, not used", aside.len()));
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

    fn one(&self, path: &Path, suppliers: &[Supplier], take: &mut impl FnMut(Offer)) -> Result<Faults, Faults> {
        let name = path.display().to_string();
        let file_name = path.file_name().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default();
        let source = BufReader::with_capacity(BUFFER, open(path)?);
        let mut catalog = Catalog::open(&name, source, suppliers, self.columns.of(&file_name))?;
        while let Some(offer) = catalog.next_offer() {
            take(offer);
        }
        catalog.notes().iter().for_each(|n| self.reporter.note(n));
        Ok(catalog.set_aside().clone())
    }
}
