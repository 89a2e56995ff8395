//! The plan on the screen: the answer in the first lines, then what to do, what it costs, what is doubtful.

use super::block::{Block, Cell, Column, Entry, Table};
use super::cans_screen;
use super::describe::{article, counted, fitting_at, old_part};
use super::inspect_screen::{closing, heading, mark, reasons, waits};
use super::machine::plan::Digits;
use super::order_screen::{charged_from_shelf, not_read, take_words};
use super::together;
use crate::model::chassis::Job;
use crate::model::finding::{Decision, Judgement};
use crate::model::part::Part;
use crate::model::plan::{Fitting, Inspection, Plan, SpareWhy, SupplierBill, UnderCeiling, Unmet};

/// Writes the plan of these jobs (in the order of the plan's inspections).
pub fn blocks(jobs: &[Job], plan: &Plan) -> Vec<Block> {
    let mut blocks = Vec::new();
    for inspection in &plan.inspections {
        blocks.extend(heading(inspection));
    }
    blocks.extend(answer(plan));
    for (job, inspection) in jobs.iter().zip(&plan.inspections) {
        blocks.extend(decisions(job, inspection, plan));
    }
    blocks.extend(cans_screen::blocks(&plan.cans, Digits(plan.currency.minor_digits())));
    blocks.extend(unmet(&plan.unmet));
    blocks.extend(buy(plan));
    blocks.extend(together::blocks(plan));
    for inspection in &plan.inspections {
        blocks.extend(closing(inspection, false));
    }
    if !plan.assumed.is_empty() {
        blocks.push(Block::Heading("ASSUMED IN CHOOSING".to_owned()));
        blocks.push(Block::List(plan.assumed.clone()));
    }
    blocks
}

/// What it costs, how sure that is the least, and what it would cost by hand.
fn answer(plan: &Plan) -> Vec<Block> {
    let digits = Digits(plan.currency.minor_digits());
    let mut lines = Vec::new();
    if plan.buy.is_empty() {
        lines.push("nothing to order".to_owned());
    } else {
        let landed = format!("{} {}", digits.text(plan.totals.landed), plan.currency);
        let from = counted(plan.bills.len(), "supplier", "suppliers");
        let sure = if plan.totals.proven {
            "proven least".to_owned()
        } else if plan.stopped {
            format!("search stopped: at least {}, not proven least", digits.text(plan.totals.bound))
        } else {
            format!("within {:.2} % of the least: at least {}", plan.totals.gap_percent, digits.text(plan.totals.bound))
        };
        let by_hand = |r: &Result<crate::money::Money, String>| {
            r.as_ref().map_or_else(|_why| "not possible".to_owned(), |m| digits.text(*m))
        };
        lines.push(format!("order {landed} from {from}, {sure}"));
        lines.push(format!(
            "bought by hand: line by line {}, from one supplier {}",
            by_hand(&plan.by_hand.landed),
            by_hand(&plan.by_hand.one_supplier)
        ));
        lines.extend(together::line(plan));
    }
    lines.extend(plan.under_ceiling.as_ref().map(|u| under_ceiling(u, plan)));
    if !plan.unmet.is_empty() {
        lines.push(format!(
            "NOT MET: {}",
            plan.unmet.iter().map(|u| u.reference.as_str()).collect::<Vec<_>>().join(" ")
        ));
    }
    let mut blocks: Vec<Block> = lines.into_iter().map(Block::Line).collect();
    let not_read = not_read(plan);
    if !not_read.is_empty() {
        blocks.push(Block::Alert(not_read));
    }
    blocks
}

/// How the ceiling was kept, and how sure it is that this is the best use of the money.
fn under_ceiling(under: &UnderCeiling, plan: &Plan) -> String {
    let digits = Digits(plan.currency.minor_digits());
    let text = |money| format!("{} {}", digits.text(money), plan.currency);
    let what = if under.of_quote { "the quote" } else { "the order" };
    let (ceiling, works) = (text(under.ceiling), under.done + under.waiting);
    if under.ceiling < under.least {
        let least = text(under.least);
        return format!(
            "ceiling {ceiling}: what must be done alone brings {what} to {least}; it is kept, and everything advised waits"
        );
    }
    let sure = if under.proven { "proven best choice" } else { "a checked good choice, not proven best" };
    format!(
        "ceiling {ceiling}: {what} comes to {}; {} of {} done, {sure} by expected trouble (failure \
         rates, for ranking only)",
        text(under.total),
        under.done,
        counted(works, "advised work", "advised works")
    )
}

/// The groups of one job, each part with what is fitted and why.
fn decisions(job: &Job, inspection: &Inspection, plan: &Plan) -> Vec<Block> {
    let several = plan.several_jobs();
    let mut blocks = Vec::new();
    let mut group = |title: &str, belongs: &dyn Fn(&Judgement) -> bool| {
        let entries: Vec<Entry> = inspection
            .judgements
            .iter()
            .filter(|j| belongs(j))
            .filter_map(|j| job.part(&j.reference).map(|p| (p, j)))
            .map(|(p, j)| entry(p, j, fit_of(plan, &inspection.job, p)))
            .fold(Vec::new(), together_if_alike);
        if !entries.is_empty() {
            let title = if several { format!("{title}: {}", inspection.job) } else { title.to_owned() };
            blocks.push(Block::Heading(title));
            blocks.push(Block::Entries(entries));
        }
    };
    group("REPLACE", &|j| j.decision == Decision::Replace);
    group("OMIT", &|j| j.decision == Decision::Omit);
    group("DISCONNECT, LEAVE IN PLACE", &|j| j.decision == Decision::Disconnect);
    group("REFORM AND KEEP", &|j| j.decision == Decision::Reform);
    group("TEST FURTHER (one reading settles each)", &|j| j.decision == Decision::Test);
    group("FIND OUT", &|j| j.decision == Decision::FindOut);
    group("CAN WAIT (advised only; the money does not reach)", &waits);
    blocks
}

/// So many characters of references stand before one text; more would push every column aside.
const MOST_REFS: usize = 16;

/// Adds an entry; one that says the same of the next part in the list stands with it: `C41 C42`.
fn together_if_alike(mut entries: Vec<Entry>, next: Entry) -> Vec<Entry> {
    if let Some(last) = entries.last_mut()
        && let (Some((refs, rest)), Some((own, next_rest))) = (last.cells.split_first_mut(), next.cells.split_first())
        && *rest == *next_rest
        && last.mark == next.mark
        && last.beneath == next.beneath
        && refs.chars().count() + 1 + own.chars().count() <= MOST_REFS
    {
        refs.push(' ');
        refs.push_str(own);
        return entries;
    }
    entries.push(next);
    entries
}

/// The fitting of one part, by its label in the plan.
fn fit_of<'a>(plan: &'a Plan, job: &str, part: &Part) -> Option<&'a Fitting> {
    let label = super::machine::label(&plan.inspections, job, &part.reference);
    plan.fits.iter().find(|f| f.refs.contains(&label))
}

fn entry(part: &Part, judgement: &Judgement, fit: Option<&Fitting>) -> Entry {
    let place = part.place.map_or_else(|| part.kind.word().replace('-', " "), |p| p.word().replace('-', " "));
    let mut cells = vec![part.reference.clone(), place, old_part(part)];
    let mut beneath = reasons(judgement);
    if let Some(fit) = fit {
        cells.push(fitting_at(fit));
        beneath.extend(fit.notes.iter().cloned());
    }
    Entry { cells, mark: mark(judgement), beneath }
}

/// What nothing in the catalog meets, with the nearest offers.
fn unmet(unmet: &[Unmet]) -> Vec<Block> {
    if unmet.is_empty() {
        return Vec::new();
    }
    let entries = unmet
        .iter()
        .map(|u| {
            let nearest = u.nearest.iter().map(|r| {
                let fails: Vec<&str> = r.fails.iter().map(|p| p.says.as_str()).collect();
                format!("nearest: {} {}: {}", r.number, r.description, fails.join("; "))
            });
            Entry {
                cells: vec![u.reference.clone(), u.need.clone()],
                mark: None,
                beneath: u
                    .wanted
                    .iter()
                    .map(|w| format!("wanted: {w}"))
                    .chain(nearest)
                    .chain(u.would_help.iter().map(|w| format!("would help: {w}")))
                    .collect(),
            }
        })
        .collect();
    vec![Block::Heading("NOT MET".to_owned()), Block::Entries(entries)]
}

/// The order, supplier by supplier.
fn buy(plan: &Plan) -> Vec<Block> {
    let digits = Digits(plan.currency.minor_digits());
    let mut blocks = Vec::new();
    if !plan.shelf.is_empty() {
        blocks.push(Block::Heading("FROM THE SHELF".to_owned()));
        blocks.push(Block::List(plan.shelf.iter().map(|t| take_words(t, digits)).collect()));
        blocks.extend(charged_from_shelf(plan, digits).map(Block::Line));
    }
    if plan.bills.is_empty() {
        return blocks;
    }
    blocks.push(Block::Heading("BUY".to_owned()));
    for bill in &plan.bills {
        blocks.push(Block::Line(bill_line(plan, bill, digits)));
        blocks.push(Block::Table(bill_table(plan, bill, digits)));
    }
    blocks
}

pub(super) fn bill_line(plan: &Plan, bill: &SupplierBill, digits: Digits) -> String {
    let numbers = plan.buy.iter().filter(|b| b.supplier == bill.supplier).count();
    let fee = if bill.fee > crate::money::Money::ZERO {
        format!(" + small-order fee {}", digits.text(bill.fee))
    } else {
        String::new()
    };
    let away = bill.to_free_carriage.map(|m| format!("   free carriage {} away", digits.text(m))).unwrap_or_default();
    format!(
        "{}: {}, {} + carriage {}{fee}{away}",
        bill.supplier,
        counted(numbers, "number", "numbers"),
        digits.text(bill.goods),
        digits.text(bill.carriage)
    )
}

pub(super) fn bill_table(plan: &Plan, bill: &SupplierBill, digits: Digits) -> Table {
    let columns = vec![
        Column::text("Number"),
        Column::text("Part"),
        Column::figures("Qty"),
        Column::text("Spare"),
        Column::figures("Each"),
        Column::figures("Line"),
    ];
    let rows = plan.buy.iter().filter(|b| b.supplier == bill.supplier).map(|b| {
        let spare = match (b.spare, b.spare_why) {
            (0, _) => Cell::Blank,
            (n, Some(why)) => Cell::text(format!("{n}, {}", spare_words(why))),
            (n, None) => Cell::text(n.to_string()),
        };
        vec![
            Cell::text(b.number.clone()),
            Cell::text(article(&b.article)),
            Cell::count(b.quantity),
            spare,
            Cell::Money(digits.each(b.each)),
            Cell::Money(digits.text(b.line)),
        ]
    });
    Table { columns, rows: rows.collect(), total: None }
}

/// Why there are spares, in a word or two.
pub(super) const fn spare_words(why: SpareWhy) -> &'static str {
    match why {
        SpareWhy::Policy => "for the bench",
        SpareWhy::Select => "to select",
        SpareWhy::Break => "price break",
        SpareWhy::Pack => "pack",
        SpareWhy::Minimum => "minimum",
    }
}
