//! The shopping lists: on the screen, as a page for each supplier, and as lines to paste into a supplier's form.

use std::collections::BTreeMap;

use super::block::{Block, Cell, Column, Entry, Table};
use super::describe::{article, by_job, counted};
use super::machine::label;
use super::machine::plan::Digits;
use super::plan_screen::{bill_line, spare_words};
use super::{shopping_list, together};
use crate::model::finding::Decision;
use crate::model::plan::{BuyLine, Inspection, Plan, ShelfTake, SupplierBill};
use crate::money::Money;

/// Writes the lists, what they do not contain first; while a job is on hold only the reasons.
pub fn blocks(plan: &Plan) -> Vec<Block> {
    let jobs: Vec<&str> = plan.inspections.iter().map(|i| i.chassis.as_str()).collect();
    let digits = Digits(plan.currency.minor_digits());
    let landed = format!("{} {}", digits.text(plan.totals.landed), plan.currency);
    let mut blocks = vec![Block::Title(jobs.join(", "), format!("shopping list, {landed} landed"))];
    if plan.on_hold() {
        let holds = plan.inspections.iter().flat_map(|i| i.holds.iter().map(move |h| (i, h)));
        blocks.push(Block::Heading("ON HOLD: nothing is to be ordered yet".to_owned()));
        blocks.push(Block::List(holds.map(|(i, h)| format!("{}: {}", i.job, h.says)).collect()));
        blocks.extend(without_the_held(plan));
        return blocks;
    }
    let mut missing = not_in(plan);
    missing.extend(not_read(plan));
    if !missing.is_empty() {
        blocks.push(Block::Alert(missing));
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
        blocks.push(Block::List(plan.shelf.iter().map(|t| take_words(t, digits)).collect()));
        blocks.extend(charged_from_shelf(plan, digits).map(Block::Line));
    }
    if plan.bills.is_empty() && plan.shelf.is_empty() {
        blocks.push(Block::Text("nothing to order".to_owned()));
    }
    blocks.extend(together::line(plan).map(Block::Line));
    blocks.extend(together::blocks(plan));
    blocks
}

/// What this order does not hold though the sets want it, or may yet.
pub fn not_in(plan: &Plan) -> Vec<String> {
    let mut lines = Vec::new();
    if !plan.unmet.is_empty() {
        let refs: Vec<String> = plan.unmet.iter().map(|u| u.reference.clone()).collect();
        lines.push(format!("NOT IN THIS ORDER, nothing for sale does: {} (why: capjob plan)", by_job(&refs)));
    }
    let unsettled = unsettled(plan);
    if !unsettled.is_empty() {
        lines.push(format!("not in this order, a reading or a look is due first: {}", by_job(&unsettled)));
    }
    let waiting: Vec<String> = match &plan.under_ceiling {
        Some(_) => plan.can_wait.iter().map(|w| w.reference.clone()).collect(),
        None => Vec::new(),
    };
    if !waiting.is_empty() {
        lines.push(format!("not in this order, left for the ceiling: {}", by_job(&waiting)));
    }
    lines
}

/// Suppliers that the catalog names and `suppliers.csv` does not: their offers are not in the comparison. Other
/// lines set aside are told of while the catalog is read.
pub fn not_read(plan: &Plan) -> Vec<String> {
    let mut named: BTreeMap<&str, usize> = BTreeMap::new();
    for diagnostic in plan.diagnostics.iter().filter(|d| d.code == "unknown-name") {
        *named.entry(&diagnostic.message).or_default() += 1;
    }
    let least = if plan.diagnostics.len() < plan.set_aside { "at least " } else { "" };
    let lines = |n: usize| format!("{least}{}", counted(n, "catalog line", "catalog lines"));
    named.iter().map(|(says, n)| format!("NOT COMPARED: {says}, {} not used", lines(*n))).collect()
}

/// Parts whose decision hangs on one more reading, or on finding something out.
pub fn unsettled(plan: &Plan) -> Vec<String> {
    let open = |d: Decision| matches!(d, Decision::Test | Decision::FindOut);
    let of = |i: &Inspection| -> Vec<String> {
        let open = i.judgements.iter().filter(|j| open(j.decision));
        open.map(|j| label(&plan.inspections, &i.job, &j.reference)).collect()
    };
    plan.inspections.iter().flat_map(of).collect()
}

/// Of several jobs those that nothing holds, and how to order for them.
fn without_the_held(plan: &Plan) -> Option<Block> {
    let free: Vec<&str> = plan.inspections.iter().filter(|i| i.holds.is_empty()).map(|i| i.job.as_str()).collect();
    (!free.is_empty()).then(|| {
        let held = if free.len() == 1 {
            "is not on hold: order it without the others"
        } else {
            "are not on hold: order them without the others"
        };
        Block::Text(format!("{} {held}", free.join(", ")))
    })
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
            "needed {}{spare}; price from {}; {stock}; {days}{}",
            line.needed,
            line.tier_from,
            if line.refs.is_empty() { String::new() } else { format!("; for {}", by_job(&line.refs)) }
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

/// One taking, with what it is charged at where that is not nothing.
pub(super) fn take_words(take: &ShelfTake, digits: Digits) -> String {
    let charged =
        if take.line == Money::ZERO { String::new() } else { format!("  charged {}", digits.each(take.line)) };
    format!("{} x {}  {}{charged}  for {}", take.quantity, take.number, article(&take.article), by_job(&take.refs))
}

/// What the shelf adds to the goods; `None` where it is free.
pub(super) fn charged_from_shelf(plan: &Plan, digits: Digits) -> Option<String> {
    let charged: Money = plan.shelf.iter().map(|t| t.line).sum();
    (charged != Money::ZERO)
        .then(|| format!("charged from the shelf {} {}, in the landed cost", digits.text(charged), plan.currency))
}
