//! The shopping list of one supplier.

use super::block::{Cell, Column, Table};
use super::describe::{article, by_job};
use super::machine::plan::Digits;
use super::plan_screen::spare_words;
use crate::model::plan::{BuyLine, Plan, SupplierBill};
use crate::money::Money;

/// Builds the list of one supplier; the last row is the bill's total.
pub fn table(plan: &Plan, bill: &SupplierBill) -> Table {
    let digits = Digits(plan.currency.minor_digits());
    let columns = vec![
        Column::text("number"),
        Column::text("description"),
        Column::figures("quantity"),
        Column::figures("needed"),
        Column::figures("spare"),
        Column::text("spare why"),
        Column::figures(&format!("each {}", plan.currency)),
        Column::figures(&format!("line {}", plan.currency)),
        Column::figures("price from"),
        Column::figures("stock"),
        Column::figures("days"),
        Column::text("for"),
    ];
    let mut rows: Vec<Vec<Cell>> =
        plan.buy.iter().filter(|b| b.supplier == bill.supplier).map(|b| row(b, digits)).collect();
    let mut charge = |what: &str, money: Money| {
        if money > Money::ZERO {
            rows.push(closing(what, Cell::amount(money, digits.0)));
        }
    };
    charge(&carriage_words(plan, bill, digits), bill.carriage);
    charge("small-order fee", bill.fee);
    Table { columns, rows, total: Some(closing("total", Cell::amount(bill.total, digits.0))) }
}

fn row(line: &BuyLine, digits: Digits) -> Vec<Cell> {
    let description = line.article.description.clone().unwrap_or_else(|| article(&line.article));
    vec![
        Cell::text(line.number.clone()),
        Cell::text(description),
        Cell::count(line.quantity),
        Cell::count(line.needed),
        Cell::count(line.spare),
        Cell::text(line.spare_why.map(spare_words).unwrap_or_default()),
        Cell::unit_price(line.each, digits.0),
        // With every decimal it has, so that the lines add up to the total.
        Cell::unit_price(line.line, digits.0),
        Cell::count(line.tier_from),
        line.stock.map_or(Cell::Blank, Cell::count),
        line.lead_days.map_or(Cell::Blank, Cell::count),
        Cell::text(by_job(&line.refs)),
    ]
}

/// The carriage, and how much of goods is missing to make it free.
fn carriage_words(plan: &Plan, bill: &SupplierBill, digits: Digits) -> String {
    let missing = bill
        .to_free_carriage
        .map(|m| format!("; {} {} more of goods would make it free", digits.text(m), plan.currency));
    format!("carriage{}", missing.unwrap_or_default())
}

/// A row with only a description and an amount.
fn closing(what: &str, amount: Cell) -> Vec<Cell> {
    let mut row = vec![Cell::Blank; 12];
    if let Some(cell) = row.get_mut(1) {
        *cell = Cell::text(what);
    }
    if let Some(cell) = row.get_mut(7) {
        *cell = amount;
    }
    row
}
