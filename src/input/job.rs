//! The entries of this room: a job, a shop, readings after the work.

use super::chassis::{bare, read_chassis};
use super::columns_map::ColumnMaps;
use super::fault::Faults;
use super::lists::{read_equivalents, read_rectifiers, read_shelf};
use super::parts::read_parts;
use super::rows::Sink;
use super::settings::read_settings;
use super::sheet::Sheet;
use super::suppliers::read_suppliers;
use crate::model::chassis::Job;
use crate::model::shop::Shop;
use crate::units::parse::Bare;

/// A file's name, as messages show it, and its bytes.
#[derive(Debug, Clone, Copy)]
pub struct NamedBytes<'a> {
    /// The name.
    pub name: &'a str,
    /// The bytes.
    pub bytes: &'a [u8],
}

/// What was read, with notes for people that are no faults: columns not used, an encoding taken.
#[derive(Debug, Clone, PartialEq)]
pub struct Noted<T> {
    /// What was read.
    pub value: T,
    /// Notes, each beginning with its file's name.
    pub notes: Vec<String>,
}

/// Reads a job: `chassis.toml` and `parts.csv` (or the same table as a spreadsheet).
/// `name` is the folder's.
///
/// # Errors
/// Every fault of both files.
pub fn read_job(name: &str, chassis: NamedBytes<'_>, parts: NamedBytes<'_>) -> Result<Noted<Job>, Faults> {
    let mut sink = Sink::default();
    let sheet = Sheet::new(chassis.name, chassis.bytes).map_err(|fault| sink.faults.push(*fault)).ok();
    let tree = sheet.as_ref().and_then(Sheet::tree);
    // Without the sheet a bare value is not judged: microfarads make no fault of it.
    let bare = tree.as_ref().map_or(Bare::Microfarad, bare);
    let list = read_parts(parts.name, parts.bytes, bare, &mut sink);
    let references = list.references.as_ref();
    let read = sheet.as_ref().zip(tree.as_ref()).and_then(|(sheet, tree)| read_chassis(sheet, tree, references));
    drop(tree);
    if let Some(sheet) = sheet {
        sink.faults.append(sheet.into_faults());
    }
    let job = read.map(|chassis| Job { name: name.to_owned(), chassis, parts: list.parts });
    sink.faults.or(job).map(|value| Noted { value, notes: sink.notes })
}

/// The files of a shop but for its catalog.
#[derive(Debug, Clone, Copy)]
pub struct ShopFiles<'a> {
    /// `shop.toml`.
    pub settings: NamedBytes<'a>,
    /// `suppliers.csv`.
    pub suppliers: NamedBytes<'a>,
    /// `shelf.csv`, if there is one.
    pub shelf: Option<NamedBytes<'a>>,
    /// `equivalents.csv`, if there is one.
    pub equivalents: Option<NamedBytes<'a>>,
    /// `rectifiers.csv`, if there is one.
    pub rectifiers: Option<NamedBytes<'a>>,
    /// The keys that `[margins]` may have: every threshold of every rule.
    pub margin_keys: &'a [&'a str],
}

/// A shop with the suppliers' own headings, which its catalog files are opened with.
#[derive(Debug, Clone, PartialEq)]
pub struct ShopRead {
    /// The shop.
    pub shop: Shop,
    /// Headings by file name.
    pub columns: ColumnMaps,
}

/// Reads a shop but for its catalog, which [`Catalog`](super::Catalog) streams.
///
/// # Errors
/// Every fault of all its files.
pub fn read_shop(files: &ShopFiles<'_>) -> Result<Noted<ShopRead>, Faults> {
    let mut sink = Sink::default();
    let mut settings = None;
    match Sheet::new(files.settings.name, files.settings.bytes) {
        Ok(sheet) => {
            settings = read_settings(&sheet, files.margin_keys);
            sink.faults.append(sheet.into_faults());
        }
        Err(fault) => sink.faults.push(*fault),
    }
    let suppliers = read_suppliers(files.suppliers.name, files.suppliers.bytes, &mut sink);
    let shelf = files.shelf.map(|file| read_shelf(file.name, file.bytes, &mut sink)).unwrap_or_default();
    let equivalents = files.equivalents.map(|file| read_equivalents(file.name, file.bytes, &mut sink));
    let rectifiers = files.rectifiers.map(|file| read_rectifiers(file.name, file.bytes, &mut sink));
    let read = settings.map(|settings| ShopRead {
        shop: Shop {
            currency: settings.currency,
            exchange: settings.exchange,
            quote: settings.quote,
            margins: settings.margins,
            spares: settings.spares,
            choose: settings.choose,
            words: settings.words,
            suppliers,
            shelf,
            equivalents: equivalents.unwrap_or_default(),
            rectifiers: rectifiers.unwrap_or_default(),
        },
        columns: settings.columns,
    });
    sink.faults.or(read).map(|value| Noted { value, notes: sink.notes })
}
