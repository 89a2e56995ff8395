//! The shopping lists: on the screen, as a page for each supplier, and as lines to paste into a supplier's form.

use super::block::{Block, Cell, Column, Entry, Table};
use super::describe::{article, by_job, counted};
use super::machine::plan::Digits;
use super::plan_screen::{bill_line, spare_words};
use super::{shopping_list, together};
use crate::model::plan::{BuyLine, Plan, ShelfTake, SupplierBill};
use crate::money::Money;

/// Writes the lists; while a job is on hold only the reasons.
pub fn blocks(plan: &Plan) -> Vec<Block> {
    let jobs: Vec<&str> = plan.inspections.iter().map(|i| i.chassis.as_str()).collect();
    let digits = Digits(plan.currency.minor_digits());
    let landed = format!("{} {}", digits.text(plan.totals.landed), plan.currency);
    let mut blocks = vec![Block::Title(jobs.join(", "), format!("shopping list, {landed} landed"))];
    if plan.on_hold() {
        let holds = plan.inspections.iter().flat_map(|i| i.holds.iter().map(move |h| (i, h)));
        blocks.push(Block::Heading("ON HOLD: nothing is to be ordered yet".to_owned()));
        blocks.push(Block::List(holds.map(|(i, h)| format!("{}: {}", i.job, h.says)).collect()));
        return blocks;
    }
    for bill in &plan.bills {
        blocks.push(Block::Heading(bill_line(plan, bill, digits)));
        blocks.push(Block::Entries(lines_of(plan, bill).map(|b| entry(b, digits)).collect()));
        blocks.push(Block::Line(format!("total {} {}", digits.text(bill.total), plan.currency)));
        blocks.push(Block::Text("to paste, number and quantity:".to_owned()));
        blocks.push(Block::Verbatim(paste_lines(plan, bill)));
    }
    if !plan.shelf.is_empty() {
        blocks.push(Block::Heading("FROM THE SHELF, not to be ordered".to_owned()));
        blocks.push(Block::List(plan.shelf.iter().map(take_words).collect()));
    }
    if plan.bills.is_empty() && plan.shelf.is_empty() {
        blocks.push(Block::Text("nothing to order".to_owned()));
    }
    blocks.extend(together::line(plan).map(Block::Line));
    blocks.extend(together::blocks(plan));
    blocks
}

/// The page of one supplier; none while a job is on hold.
pub fn supplier_blocks(plan: &Plan, bill: &SupplierBill) -> Vec<Block> {
    if plan.on_hold() {
        return Vec::new();
    }
    let digits = Digits(plan.currency.minor_digits());
    let total = format!("{} {}", digits.text(bill.total), plan.currency);
    let mut blocks = vec![
        Block::Title(format!("Shopping list: {}", bill.supplier), total),
        Block::Table(shopping_list::table(plan, bill)),
        Block::Text(free_carriage(plan, bill, digits)),
        Block::Heading("To paste, number and quantity".to_owned()),
        Block::Verbatim(paste_lines(plan, bill)),
    ];
    if let Some(shelf) = shelf_table(plan) {
        blocks.push(Block::Heading("Taken from the shelf, not to be ordered".to_owned()));
        blocks.push(Block::Table(shelf));
    }
    blocks
}

/// One line for each number, `number,quantity`, for a supplier's quick-order form.
pub fn paste_lines(plan: &Plan, bill: &SupplierBill) -> Vec<String> {
    lines_of(plan, bill).map(|b| format!("{},{}", csv_field(&b.number), b.quantity)).collect()
}

/// What is taken from the shelf; `None` where nothing is.
pub fn shelf_table(plan: &Plan) -> Option<Table> {
    let columns = vec![
        Column::text("number"),
        Column::text("description"),
        Column::figures("quantity"),
        Column::figures(&format!("charged {}", plan.currency)),
        Column::text("for"),
    ];
    let row = |t: &ShelfTake| {
        vec![
            Cell::text(t.number.clone()),
            Cell::text(article(&t.article)),
            Cell::count(t.quantity),
            Cell::amount(t.line, plan.currency.minor_digits()),
            Cell::text(by_job(&t.refs)),
        ]
    };
    let charged: Money = plan.shelf.iter().map(|t| t.line).sum();
    let pieces = plan.shelf.iter().map(|t| t.quantity).sum();
    let charged = Cell::amount(charged, plan.currency.minor_digits());
    let total = vec![Cell::text("total"), Cell::Blank, Cell::count(pieces), charged, Cell::Blank];
    let rows = plan.shelf.iter().map(row).collect();
    (!plan.shelf.is_empty()).then_some(Table { columns, rows, total: Some(total) })
}

fn lines_of<'a>(plan: &'a Plan, bill: &'a SupplierBill) -> impl Iterator<Item = &'a BuyLine> {
    plan.buy.iter().filter(|b| b.supplier == bill.supplier)
}

/// A number that holds a comma, a quote or a line's end is quoted, or the line would be read wrongly.
fn csv_field(text: &str) -> String {
    if text.contains([',', '"', '\n', '\r']) { format!("\"{}\"", text.replace('"', "\"\"")) } else { text.to_owned() }
}

/// One line of the order with what stands behind it.
fn entry(line: &BuyLine, digits: Digits) -> Entry {
    let spare = match (line.spare, line.spare_why) {
        (0, _) => String::new(),
        (n, Some(why)) => format!(", spare {n} ({})", spare_words(why)),
        (n, None) => format!(", spare {n}"),
    };
    let stock = line.stock.map_or_else(|| "stock not known".to_owned(), |n| format!("{n} in stock"));
    let days = line.lead_days.map_or_else(
        || "days not known".to_owned(),
        |d| counted(usize::try_from(d).unwrap_or(usize::MAX), "day", "days"),
    );
    Entry {
        cells: vec![
            line.number.clone(),
            format!("{} x {} = {}", line.quantity, digits.each(line.each), digits.each(line.line)),
            article(&line.article),
        ],
        mark: None,
        beneath: vec![format!(
            "needed {}{spare}; price from {}; {stock}; {days}; for {}",
            line.needed,
            line.tier_from,
            by_job(&line.refs)
        )],
    }
}

fn free_carriage(plan: &Plan, bill: &SupplierBill, digits: Digits) -> String {
    match bill.to_free_carriage {
        Some(missing) => format!(
            "Carriage {} {c}; {} {c} more of goods would make it free.",
            digits.text(bill.carriage),
            digits.text(missing),
            c = plan.currency
        ),
        None => format!("Carriage {} {}.", digits.text(bill.carriage), plan.currency),
    }
}

fn take_words(take: &ShelfTake) -> String {
    format!("{} x {}  {}  for {}", take.quantity, take.number, article(&take.article), by_job(&take.refs))
}
