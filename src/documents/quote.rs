//! The quote in the owner's words: what is found, what is proposed, what it costs, on what terms.

use super::block::{Block, Cell, Column, Field, Table};
use super::describe::{article, counted};
use super::owner_words::{article_words, part_words, parts_words, why_words};
use super::sheet::extent;
use super::terms::Terms;
use crate::model::finding::HoldReason;
use crate::model::shop::{Article, WordSet};
use crate::money::Money;
use crate::quote::owner::OwnerWork;
use crate::quote::{Form, OwnerClass, OwnerLine, Quote, Warning, Work, WorkKind};

/// Writes the quote.
pub fn blocks(quote: &Quote, words: WordSet) -> Vec<Block> {
    let page = Page { quote, terms: Terms::of(words) };
    let mut blocks = page.heading();
    blocks.extend(page.answer());
    blocks.extend(page.findings());
    blocks.extend(page.costs());
    blocks.extend(page.parts());
    blocks.extend(page.terms());
    blocks.extend(page.signatures());
    blocks
}

/// Title of the document, for a page's head.
pub fn title(quote: &Quote) -> String {
    let sets: Vec<&str> = quote.sets.iter().map(|s| s.chassis.as_str()).collect();
    format!("Quote: {}", sets.join(", "))
}

/// A quote with the words to write it in.
struct Page<'a> {
    quote: &'a Quote,
    terms: Terms,
}

impl Page<'_> {
    /// An amount with its currency.
    fn money(&self, amount: Money) -> String {
        format!("{} {}", self.amount(amount), self.quote.currency)
    }

    /// A rate or price that goes into a sum before rounding, with every decimal it has.
    fn exact(&self, amount: Money) -> String {
        amount.exact_text(self.quote.currency.minor_digits())
    }

    fn amount(&self, amount: Money) -> String {
        amount.text(self.quote.currency.minor_digits())
    }

    fn heading(&self) -> Vec<Block> {
        let q = self.quote;
        let date = q.date.map(|d| d.to_string()).unwrap_or_default();
        let sets = q.sets.iter().flat_map(|s| {
            let year = s.year.map(|y| format!(", {y}")).unwrap_or_default();
            let set = Field::known("Set", format!("{}{year}", s.chassis));
            [set, Field::known("Extent of the work", extent(s.policy, s.wish))]
        });
        let fields = sets.chain([
            Field::blank("Owner"),
            Field::blank("Make, model, serial number"),
            Field::blank("Fault reported"),
            q.valid_until.map_or_else(|| Field::blank("Valid until"), |d| Field::known("Valid until", d.to_string())),
        ]);
        // The day stands in the title; where there is none, there is room to write it in.
        let undated = q.date.is_none().then(|| Field::blank("Date"));
        vec![Block::Title(title(q), date), Block::Fields(fields.chain(undated).collect())]
    }

    /// The price in the first lines, and what speaks against it.
    fn answer(&self) -> Vec<Block> {
        let s = &self.quote.sums;
        let to_pay = if s.credit > Money::ZERO {
            format!("; bench fee {} taken off, to pay {}", self.amount(s.credit), self.money(s.to_pay))
        } else {
            format!("; to pay {}", self.money(s.to_pay))
        };
        let offer = match self.quote.form {
            Form::Firm => format!("FIRM QUOTE for the work listed: {}{to_pay}", self.money(s.total)),
            Form::Range => format!(
                "ESTIMATE: from {} to {}, tax included{to_pay} if nothing more is found",
                self.amount(s.total),
                self.money(s.ceiling_to_authorise)
            ),
        };
        let mut blocks = vec![Block::Line(offer)];
        let mut warnings: Vec<String> = self.quote.warnings.iter().map(|w| self.warning(w)).collect();
        // Two holds about the price say the same, and stand together.
        warnings.dedup();
        if !warnings.is_empty() {
            blocks.push(Block::Alert(warnings));
        }
        blocks
    }

    fn warning(&self, warning: &Warning) -> String {
        let total = self.amount(self.quote.sums.total);
        match warning {
            Warning::OverValue { value } => format!(
                "UNECONOMIC: the total of {total} is more than the set is worth, {}. Please decide whether to go ahead.",
                self.money(*value)
            ),
            Warning::OverAuthorised { authorised } => format!(
                "The total of {total} is more than the {} authorised so far. Nothing is ordered without your consent.",
                self.money(*authorised)
            ),
            Warning::OnHold(HoldReason::Iron) => {
                "A transformer or choke is faulty or not proved good. Nothing is ordered until this is settled."
                    .to_owned()
            }
            Warning::OnHold(HoldReason::Unproved) => {
                "Something that safety depends on is not proved yet. Nothing is ordered until this is settled."
                    .to_owned()
            }
            Warning::OnHold(HoldReason::Ceiling | HoldReason::Uneconomic) => {
                "Nothing is ordered until you have decided about the price.".to_owned()
            }
        }
    }

    /// What was found, the weightiest first.
    fn findings(&self) -> Vec<Block> {
        let mut blocks = Vec::new();
        for class in OwnerClass::ALL {
            let lines = self.grouped(*class);
            if !lines.is_empty() {
                blocks.push(Block::Heading(class_words(*class).to_owned()));
                blocks.push(Block::List(lines));
            }
        }
        blocks.push(Block::Heading("What was looked at".to_owned()));
        let many = self.quote.sets.len() > 1;
        let sets = self.quote.sets.iter().map(|s| {
            let name = if many { format!("{}: ", s.chassis) } else { String::new() };
            let unsettled = match s.unsettled {
                0 => String::new(),
                n => format!("; {} still to be tested, which may add to the work", counted(n, "part", "parts")),
            };
            format!(
                "{name}{} looked at, {} sound and left alone{unsettled}",
                counted(s.looked_at, "part", "parts"),
                s.sound
            )
        });
        let mut lines: Vec<String> = sets.collect();
        if !self.quote.unmet.is_empty() {
            let n = self.quote.unmet.len();
            lines.push(format!(
                "{} still to be found, at a price not in this quote",
                counted(n, "part is", "parts are")
            ));
        }
        blocks.push(Block::List(lines));
        blocks
    }

    /// Parts of one class, those with the same words in one line.
    fn grouped(&self, class: OwnerClass) -> Vec<String> {
        let mut groups: Vec<(&OwnerLine, String, Vec<String>)> = Vec::new();
        for line in self.quote.findings.iter().filter(|l| l.class == class) {
            let (words, reference) = (self.why(line), self.reference(line));
            let same = |(first, why, _): &&mut (&OwnerLine, String, Vec<String>)| {
                *why == words && part_words(first, self.terms) == part_words(line, self.terms)
            };
            match groups.iter_mut().find(same) {
                Some((_, _, refs)) => refs.push(reference),
                None => groups.push((line, words, vec![reference])),
            }
        }
        let line = |(line, why, refs): (&OwnerLine, String, Vec<String>)| {
            let what = if refs.len() > 1 { parts_words(line, self.terms) } else { part_words(line, self.terms) };
            format!("{what} ({}): {why}", refs.join(", "))
        };
        groups.into_iter().map(line).collect()
    }

    fn reference(&self, line: &OwnerLine) -> String {
        let many = self.quote.sets.len() > 1;
        if many { format!("{}/{}", line.job, line.reference) } else { line.reference.clone() }
    }

    /// Why a part is on the list, what becomes of it, what leaving it saves.
    fn why(&self, line: &OwnerLine) -> String {
        let waiting = self.quote.waiting.iter().find(|w| w.job == line.job && w.reference == line.reference);
        let saves = waiting.map(|w| format!("; leaving it now saves about {}", self.money(w.saves)));
        let work = match line.work {
            OwnerWork::Replaced => "",
            OwnerWork::TakenOut => "; taken out, and not needed",
            OwnerWork::OutOfUse => "; stays in its place, out of use",
        };
        format!("{}{work}{}", why_words(line, self.terms), saves.unwrap_or_default())
    }

    /// The costs as one table that adds up.
    fn costs(&self) -> Vec<Block> {
        let s = &self.quote.sums;
        let mut rows: Vec<Vec<Cell>> = self.quote.works.iter().map(|w| self.work_row(w)).collect();
        let mut line = |what: String, amount: Money| {
            rows.push(vec![Cell::text(what), Cell::Blank, Cell::Blank, Cell::Money(self.amount(amount))]);
        };
        let hours = match s.rate_per_hour {
            Some(rate) if s.hundredths_of_minute > 0 => {
                let time = minutes(s.hundredths_of_minute);
                format!("Labour, {time} min{} at {} an hour", hours(s.hundredths_of_minute), self.exact(rate))
            }
            _ => "Labour".to_owned(),
        };
        line(hours, s.labour);
        line("Parts".to_owned(), s.parts);
        line("Carriage, at cost".to_owned(), s.carriage);
        if s.fees > Money::ZERO {
            line("Suppliers' small-order fees, at cost".to_owned(), s.fees);
        }
        line("Sum before tax".to_owned(), s.net);
        line(format!("Tax {} % on all of the above", s.tax_percent.get()), s.tax);
        line("Total".to_owned(), s.total);
        if let Some(fee) = s.bench_fee.filter(|_| s.credit > Money::ZERO) {
            line(format!("Bench fee of {} paid, taken off", self.amount(fee)), -s.credit);
        }
        let columns = vec![
            Column::text("What"),
            Column::figures("Count"),
            Column::figures("Minutes"),
            Column::figures(&self.quote.currency.to_string()),
        ];
        let due = vec![Cell::text("To pay"), Cell::Blank, Cell::Blank, Cell::Money(self.amount(s.to_pay))];
        vec![
            Block::Heading("What it costs".to_owned()),
            Block::Table(Table { columns, rows, total: Some(due) }),
            Block::Text(self.allowance()),
            Block::Text(ROUNDING.to_owned()),
        ]
    }

    fn work_row(&self, work: &Work) -> Vec<Cell> {
        vec![
            Cell::text(self.work_words(work.kind)),
            Cell::count(work.count),
            work.hundredths_of_minute.map_or(Cell::Blank, |h| Cell::text(minutes(h))),
            work.flat.map_or(Cell::Blank, |f| Cell::text(format!("{} in labour", self.exact(f)))),
        ]
    }

    fn work_words(&self, kind: WorkKind) -> String {
        match kind {
            WorkKind::Electrolytic => "Electrolytic capacitors".to_owned(),
            WorkKind::Film => "Other capacitors".to_owned(),
            WorkKind::Can => "Capacitors in one can".to_owned(),
            WorkKind::Restuff => "New parts inside the old case".to_owned(),
            WorkKind::Resistor => "Resistors".to_owned(),
            WorkKind::Lead => capital(self.terms.mains_lead),
            WorkKind::Valve => capital(self.terms.valves),
            WorkKind::Test => "Testing and running in".to_owned(),
            WorkKind::Other => "Other fittings and small work".to_owned(),
        }
    }

    fn allowance(&self) -> String {
        let s = &self.quote.sums;
        format!(
            "Allowance for faults not yet seen ({} %), such as a second fault that shows once the supply works, worn \
             sockets, noisy {}: {} before tax. It is not charged unless it is used. Ceiling to authorise, with it and its tax: {}. Nothing beyond that without your consent.",
            s.allowance_percent.get(),
            self.terms.valves,
            self.amount(s.allowance),
            self.money(s.ceiling_to_authorise)
        )
    }

    /// What goes into the set.
    fn parts(&self) -> Vec<Block> {
        let bought = self.quote.new_parts.iter().map(|b| (b.quantity, &b.article, "new", ""));
        let in_stock = self.quote.shelf_parts.iter().map(|t| (t.quantity, &t.article, "", "from the workshop's stock"));
        let row = |(n, part, state, stock): (u32, &Article, &str, &str)| {
            let state = if is_used(part) { "used" } else { state };
            let between = if state.is_empty() || stock.is_empty() { "" } else { ", " };
            vec![
                Cell::count(n),
                Cell::text(article_words(part.kind, self.terms)),
                Cell::text(article(part)),
                Cell::text(format!("{state}{between}{stock}")),
            ]
        };
        let rows: Vec<Vec<Cell>> = bought.chain(in_stock).map(row).collect();
        if rows.is_empty() {
            return Vec::new();
        }
        let columns =
            vec![Column::figures("Pieces"), Column::text("Part"), Column::text("Type"), Column::text("New or used")];
        vec![Block::Heading("Parts".to_owned()), Block::Table(Table { columns, rows, total: None })]
    }

    /// On what terms.
    fn terms(&self) -> Vec<Block> {
        let q = self.quote;
        let s = &q.sums;
        let mut lines = Vec::new();
        if let Some(deposit) = s.deposit {
            lines.push(format!("Deposit when you say go ahead: {}.", self.money(deposit)));
        }
        lines.push(match (s.bench_fee, s.credit > Money::ZERO) {
            (Some(fee), true) => format!(
                "Bench fee {}, tax included, paid when the set was booked in: taken off when the work goes ahead, kept if you decline.",
                self.money(fee)
            ),
            (Some(fee), false) => {
                format!("Bench fee {}, tax included, paid when the set was booked in: kept in either case.", self.money(fee))
            }
            (None, _) => "No bench fee.".to_owned(),
        });
        lines.push(expected_time(q.promised_days, q.longest_lead_days));
        lines.extend(q.valid_until.map(|d| format!("This quote holds until {d}.")));
        let days = q.warranty_days.map_or_else(|| "to be agreed".to_owned(), |d| format!("{d} days"));
        lines.push(format!(
            "Warranty on the work done and the parts fitted: {days}. {}, and parts that were left alone, are not covered.",
            capital(self.terms.valves)
        ));
        lines.push("Parts taken out are returned on request.".to_owned());
        lines.extend(q.assumed.iter().map(|a| format!("Assumed: {a}.")));
        vec![Block::Heading("Terms".to_owned()), Block::List(lines)]
    }

    fn signatures(&self) -> Vec<Block> {
        let so_far = self
            .quote
            .authorised
            .map_or_else(|| Field::blank("Authorised so far"), |a| Field::known("Authorised so far", self.money(a)));
        vec![
            Block::Heading("Go-ahead".to_owned()),
            Block::Fields(vec![
                so_far,
                Field::known("Ceiling to authorise", self.money(self.quote.sums.ceiling_to_authorise)),
                Field::blank("Uncollected goods: kept until"),
                Field::blank("Owner's signature, date"),
                Field::blank("Workshop's signature, date"),
            ]),
        ]
    }
}

/// How amounts are rounded.
const ROUNDING: &str = "Rounding, to the nearest smallest coin, halves up: labour once from all minutes, parts once after the mark-up, tax and allowance once each.";

const fn class_words(class: OwnerClass) -> &'static str {
    match class {
        OwnerClass::Unsafe => "What is unsafe",
        OwnerClass::Worn => "What is worn",
        OwnerClass::Advised => "What is advised",
        OwnerClass::CanWait => "What can wait",
    }
}

fn expected_time(promised: Option<u32>, lead: Option<u32>) -> String {
    match (promised, lead) {
        (Some(days), _) => format!("Expected time: {}, an estimate.", days_words(days)),
        (None, Some(lead)) => {
            format!("Expected time: parts take about {}; the work follows. An estimate.", days_words(lead))
        }
        (None, None) => "Expected time: to be agreed.".to_owned(),
    }
}

fn days_words(days: u32) -> String {
    counted(usize::try_from(days).unwrap_or(usize::MAX), "day", "days")
}

/// Minutes from hundredths of a minute, without needless decimals.
pub(super) fn minutes(hundredths: i64) -> String {
    let text = format!("{}.{:02}", hundredths / 100, hundredths % 100);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// The same in hours from an hour on: ` (5 h 16 min)`.
fn hours(hundredths: i64) -> String {
    let whole = hundredths / 6_000;
    let rest = minutes(hundredths % 6_000);
    match (whole, rest.as_str()) {
        (0, _) => String::new(),
        (h, "0") => format!(" ({h} h)"),
        (h, rest) => format!(" ({h} h {rest} min)"),
    }
}

/// Whether the supplier's own description calls a part used.
fn is_used(article: &Article) -> bool {
    let words = article.description.as_deref().unwrap_or_default();
    words.split(|c: char| !c.is_alphanumeric()).any(|w| w.eq_ignore_ascii_case("used"))
}

/// The first letter in capitals.
pub(super) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map(|c| c.to_uppercase().chain(letters).collect()).unwrap_or_default()
}
