//! `suppliers.csv`: the terms of each supplier.

use super::bounds::SUPPLIERS;
use super::escape::quoted;
use super::fault::FaultKind;
use super::rows::{Sink, read_rows};
use super::table::{Columns, Row};
use crate::model::shop::Supplier;
use crate::money::{Currency, Money};

/// Reads the suppliers, in order of their names.
pub(super) fn read_suppliers(file: &str, bytes: &[u8], sink: &mut Sink) -> Vec<Supplier> {
    let mut seen: Vec<(String, usize)> = Vec::new();
    let read = |row: &mut Row<'_>| {
        let name = row.needed_text("supplier");
        if let Some(name) = &name {
            let plain = name.to_lowercase();
            if let Some((_, line)) = seen.iter().find(|(other, _)| *other == plain) {
                let message = format!("supplier {} stands already on line {line}", quoted(name));
                let help = "write one line for each supplier; capitals do not tell two apart".to_owned();
                row.fault("supplier", FaultKind::Duplicate, message, help);
            }
            seen.push((plain, row.line));
        }
        let currency = currency(row);
        Some(Supplier {
            carriage: needed_money(row, "carriage"),
            free_over: row.money("free_over"),
            minimum_order: row.money("minimum_order"),
            small_order_fee: row.money("small_order_fee"),
            lead_days: row.whole("lead_days"),
            name: name?,
            currency: currency?,
        })
    };
    let (mut suppliers, _) = read_rows(file, bytes, Columns::plain(SUPPLIERS), sink, read);
    suppliers.sort_by(|a, b| a.name.cmp(&b.name));
    suppliers
}

/// Money that must be there; nothing stands in for it once the fault is left with the row.
fn needed_money(row: &mut Row<'_>, column: &str) -> Money {
    if row.text(column).is_none() {
        row.empty(column);
    }
    row.money(column).unwrap_or_default()
}

fn currency(row: &mut Row<'_>) -> Option<Currency> {
    let text = row.needed_text("currency")?;
    let currency = Currency::new(&text);
    if currency.is_none() {
        let message = format!("currency {} is not three capital letters", quoted(&text));
        row.fault("currency", FaultKind::Money, message, "write the letters of ISO 4217, like GBP or EUR".to_owned());
    }
    currency
}
