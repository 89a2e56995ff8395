//! The shopping lists on the screen, with lines to paste into a supplier's form.

use super::block::Block;
use super::describe::article;
use super::machine::plan::Digits;
use super::plan_screen::{bill_line, bill_table};
use crate::model::plan::Plan;

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
        blocks.push(Block::Table(bill_table(plan, bill, digits)));
        blocks.push(Block::Text("to paste, number and quantity:".to_owned()));
        let lines = plan.buy.iter().filter(|b| b.supplier == bill.supplier);
        blocks.extend(lines.map(|b| Block::Line(format!("{},{}", b.number, b.quantity))));
    }
    if !plan.shelf.is_empty() {
        blocks.push(Block::Heading("FROM THE SHELF".to_owned()));
        let take = |s: &crate::model::plan::ShelfTake| {
            format!("{} x {}  {}  for {}", s.quantity, s.number, article(&s.article), s.refs.join(" "))
        };
        blocks.push(Block::List(plan.shelf.iter().map(take).collect()));
    }
    if plan.bills.is_empty() && plan.shelf.is_empty() {
        blocks.push(Block::Text("nothing to order".to_owned()));
    }
    blocks
}
