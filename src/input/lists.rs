//! `shelf.csv`, `equivalents.csv` and `rectifiers.csv`.

use std::collections::BTreeMap;

use super::article::article;
use super::bounds::{CATALOG, EQUIVALENTS, RECTIFIERS, SHELF_ONLY};
use super::catalog::pairs;
use super::escape::quoted;
use super::fault::FaultKind;
use super::rows::{Sink, read_rows};
use super::table::{Columns, Row};
use crate::model::shop::{Equivalent, RectifierData, ShelfItem};
use crate::units::{Ampere, Farad, Ohm, Volt};

/// Reads the shelf, in order of its numbers.
pub(super) fn read_shelf(file: &str, bytes: &[u8], sink: &mut Sink) -> Vec<ShelfItem> {
    let mut seen = BTreeMap::new();
    let columns = Columns::shelf(CATALOG, SHELF_ONLY);
    let (mut shelf, _) = read_rows(file, bytes, columns, sink, |row| {
        let number = row.needed_text("number");
        once(row, "number", number.as_deref(), &mut seen);
        if row.text("quantity").is_none() {
            row.empty("quantity");
        }
        let quantity = row.whole("quantity");
        let price = row.money("price").unwrap_or_default();
        let article = article(row);
        Some(ShelfItem { number: number?, article: article?, quantity: quantity?, price })
    });
    shelf.sort_by(|a, b| a.number.cmp(&b.number));
    shelf
}

/// The fault of a name that stands on an earlier line too.
fn once(row: &mut Row<'_>, column: &str, name: Option<&str>, seen: &mut BTreeMap<String, usize>) {
    let Some(name) = name else { return };
    let line = row.line;
    match seen.get(&name.to_lowercase()) {
        Some(earlier) => {
            let message = format!("{column} {} stands already on line {earlier}", quoted(name));
            row.fault(column, FaultKind::Duplicate, message, "leave one of the two lines".to_owned());
        }
        None => {
            seen.insert(name.to_lowercase(), line);
        }
    }
}

/// Reads the user's equivalents, in order of designation and equivalent.
pub(super) fn read_equivalents(file: &str, bytes: &[u8], sink: &mut Sink) -> Vec<Equivalent> {
    let (mut equivalents, _) = read_rows(file, bytes, Columns::plain(EQUIVALENTS), sink, |row| {
        let (designation, equivalent) = (row.needed_text("designation"), row.needed_text("equivalent"));
        Some(Equivalent { designation: designation?, equivalent: equivalent?, note: row.text("note") })
    });
    equivalents.sort_by(|a, b| (&a.designation, &a.equivalent).cmp(&(&b.designation, &b.equivalent)));
    equivalents.dedup();
    equivalents
}

/// Reads the limits of rectifiers, in order of type.
pub(super) fn read_rectifiers(file: &str, bytes: &[u8], sink: &mut Sink) -> Vec<RectifierData> {
    let mut seen = BTreeMap::new();
    let (mut rectifiers, _) = read_rows(file, bytes, Columns::plain(RECTIFIERS), sink, |row| {
        let designation = row.needed_text("type");
        once(row, "type", designation.as_deref(), &mut seen);
        let min_source = pairs(row, "min_source_ohm");
        Some(RectifierData {
            kind: row.word("kind"),
            perveance: row.number("perveance"),
            max_first: row.model("max_first_uf").map(Farad::new),
            max_peak: row.model("max_peak_ma").map(Ampere::new),
            max_surge: row.model("max_surge_a").map(Ampere::new),
            max_average: row.model("max_ma").map(Ampere::new),
            min_source: min_source.into_iter().map(|(volts, ohm)| (Volt::new(volts), Ohm::new(ohm))).collect(),
            heater: row.model("heater_v").map(Volt::new),
            heater_current: row.model("heater_a").map(Ampere::new),
            source: row.text("source"),
            designation: designation?,
        })
    });
    rectifiers.sort_by(|a, b| a.designation.cmp(&b.designation));
    rectifiers
}
