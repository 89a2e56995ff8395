//! One row of a table: cells read as typed values, with every fault of the row collected.

use super::dialect::{Decimal, MarkFault, with_points};
use super::header::{Header, field_of};
use super::parted::{Parted, parted};
use super::{Columns, Fault, FaultKind, Table};
use crate::input::bounds::Field;
use crate::input::escape::quoted;
use crate::input::unit::plain_number;
use crate::input::word::{Word, mend_word, yes_no};
use crate::money::{Money, MoneyError};
use crate::units::parse::QuantityError;
use std::io::Read;

/// What a row needs of its table.
trait Place {
    fn header(&self) -> &Header;
    fn columns(&self) -> Columns;
    fn decimal(&self) -> Decimal;
    fn fault_at(&self, cell: usize, kind: FaultKind, message: String) -> Fault;
}

impl<R: Read> Place for Table<R> {
    fn header(&self) -> &Header {
        &self.header
    }

    fn columns(&self) -> Columns {
        self.columns
    }

    fn decimal(&self) -> Decimal {
        self.decimal
    }

    fn fault_at(&self, cell: usize, kind: FaultKind, message: String) -> Fault {
        Self::fault_at(self, cell, kind, message)
    }
}

/// A row and the faults found in it so far.
pub(in crate::input) struct Row<'t> {
    table: &'t dyn Place,
    cells: Vec<String>,
    faults: Vec<Fault>,
    /// Physical line where the record begins.
    pub(in crate::input) line: usize,
}

impl<'t> Row<'t> {
    pub(super) fn new<R: Read>(table: &'t Table<R>, cells: Vec<String>) -> Self {
        let mut row = Self { table, cells, faults: Vec::new(), line: table.line() };
        let width = table.header.headings.len();
        if let Some(extra) = row.cells.iter().skip(width).position(|cell| !cell.is_empty()) {
            let message = format!("the line has more cells than the {width} headings");
            let mut fault = table.fault_at(width + extra, FaultKind::ExtraCells, message);
            fault.got = row.cells.get(width + extra).cloned();
            fault.help = Some(
                "put a cell that holds the delimiter in quotes; in a comma file decimals are written with a point"
                    .to_owned(),
            );
            row.faults.push(fault);
        }
        row
    }

    /// The faults of this row; empty when it can be used. Where a decimal comma has parted a value, that
    /// is said instead of what follows from it.
    pub(in crate::input) fn into_faults(mut self) -> Vec<Fault> {
        if !self.faults.is_empty() && self.table.decimal() == Decimal::Point {
            self.explain_parted();
        }
        self.faults
    }

    fn explain_parted(&mut self) {
        let place = |cell: usize| self.table.fault_at(cell, FaultKind::DecimalMark, String::new());
        let by_bare_comma = |cell: usize| {
            let fault = place(cell);
            let after: String = fault.text.chars().skip(fault.caret).collect();
            let rest = self.cells.get(cell).and_then(|a| after.strip_prefix(a.as_str()));
            let rest = rest.and_then(|rest| rest.strip_prefix(','));
            rest.zip(self.cells.get(cell + 1)).is_some_and(|(rest, b)| rest.starts_with(b.as_str()))
        };
        let header = self.table.header();
        let Some(told) = parted(&self.cells, (header, self.table.columns()), by_bare_comma) else { return };
        let explained = told.iter().filter_map(|Parted { cell, column }| {
            let got = format!("{},{}", self.cells.get(*cell)?, self.cells.get(cell + 1)?);
            let heading = header.headings.get(*column)?;
            let column = heading.column.as_deref().unwrap_or(&heading.text);
            let (message, help) = mark_words(MarkFault::Comma, column, &got);
            Some(Fault { message, help: Some(help), field: Some(column.to_owned()), got: Some(got), ..place(*cell) })
        });
        let explained: Vec<Fault> = explained.collect();
        let first = explained.iter().map(|fault| fault.column).min();
        self.faults.retain(|fault| first.is_some_and(|first| fault.column < first));
        self.faults.extend(explained);
    }

    /// Whether a fault was found.
    pub(in crate::input) fn is_faulty(&self) -> bool {
        !self.faults.is_empty()
    }

    /// The cell of a column where something is known.
    fn known(&self, column: &str) -> Option<&str> {
        self.at(self.table.header().cell_of(column)?)
    }

    /// A cell by its place where something is known.
    fn at(&self, cell: usize) -> Option<&str> {
        self.cells.get(cell).map(String::as_str).filter(|text| !is_unknown(text))
    }

    /// A fault at the cell of a column.
    pub(in crate::input) fn fault(&mut self, column: &str, kind: FaultKind, message: String, help: String) {
        let cell = self.table.header().cell_of(column).unwrap_or(0);
        self.fault_in((cell, column), kind, message, help);
    }

    /// A fault at a cell, which is the column's or one of its kin such as `price10`.
    fn fault_in(&mut self, (cell, column): (usize, &str), kind: FaultKind, message: String, help: String) {
        let mut fault = self.table.fault_at(cell, kind, message);
        fault.field = Some(column.to_owned());
        fault.got = self.cells.get(cell).cloned().filter(|got| !got.is_empty());
        fault.help = Some(help);
        self.faults.push(fault);
    }

    /// A fault from a text that is not the quantity of its column.
    pub(in crate::input) fn not_a_quantity(&mut self, column: &str, error: &QuantityError) {
        let message = format!("{column} {}: {error}", quoted(&error.read));
        self.fault(column, FaultKind::NotAQuantity, message, error.mend());
    }

    /// A text.
    pub(in crate::input) fn text(&self, column: &str) -> Option<String> {
        self.known(column).map(|text| unguarded(text).to_owned())
    }

    /// The cell as written, also where it says that nothing is known.
    pub(in crate::input) fn as_written(&self, column: &str) -> String {
        let cell = self.table.header().cell_of(column).and_then(|cell| self.cells.get(cell));
        cell.map(|text| unguarded(text).to_owned()).unwrap_or_default()
    }

    /// A text that must be there.
    pub(in crate::input) fn needed_text(&mut self, column: &str) -> Option<String> {
        let text = self.text(column);
        if text.is_none() {
            self.empty(column);
        }
        text
    }

    /// The fault of a needed cell that is empty.
    pub(in crate::input) fn empty(&mut self, column: &str) {
        let message = format!("{column} is not given");
        self.fault(column, FaultKind::EmptyCell, message, format!("every line needs a {column}"));
    }

    /// One word of an enum.
    pub(in crate::input) fn word<W: Word>(&mut self, column: &str) -> Option<W> {
        let text = self.text(column)?;
        let word = W::read(&text);
        if word.is_none() {
            self.unknown_word::<W>(column, &text);
        }
        word
    }

    /// One word of an enum that must be there.
    pub(in crate::input) fn needed_word<W: Word>(&mut self, column: &str) -> Option<W> {
        if self.known(column).is_none() {
            self.empty(column);
        }
        self.word(column)
    }

    /// Words of an enum parted by `+`, `,`, `/` or blanks; each once, in the order written.
    pub(in crate::input) fn words<W: Word + PartialEq>(&mut self, column: &str) -> Vec<W> {
        let Some(text) = self.text(column) else { return Vec::new() };
        let mut words = Vec::new();
        for piece in text.split(['+', ',', '/', ';']).map(str::trim).filter(|piece| !piece.is_empty()) {
            // `wax run` is one word, `axial radial` are two.
            let pieces = if W::read(piece).is_some() { vec![piece] } else { piece.split_whitespace().collect() };
            for piece in pieces {
                match W::read(piece) {
                    Some(word) if words.contains(&word) => {}
                    Some(word) => words.push(word),
                    None => self.unknown_word::<W>(column, piece),
                }
            }
        }
        words
    }

    fn unknown_word<W: Word>(&mut self, column: &str, text: &str) {
        let message = format!("{column} {} is not known", quoted(text));
        self.fault(column, FaultKind::UnknownWord, message, mend_word::<W>(text));
    }

    /// `yes` or `no`.
    pub(in crate::input) fn yes_no(&mut self, column: &str) -> Option<bool> {
        let text = self.text(column)?;
        let answer = yes_no(&text);
        if answer.is_none() {
            let message = format!("{column} {} is neither yes nor no", quoted(&text));
            self.fault(column, FaultKind::UnknownWord, message, "write yes or no, or leave it empty".to_owned());
        }
        answer
    }

    /// The text of a quantity with decimal points, and with the unit of its heading where it is a bare number.
    pub(in crate::input) fn quantity(&mut self, column: &str) -> Option<String> {
        let cell = self.table.header().cell_of(column)?;
        self.quantity_at(cell, column)
    }

    fn quantity_at(&mut self, cell: usize, column: &str) -> Option<String> {
        let text = unguarded(self.at(cell)?);
        match with_points(text, self.table.decimal()) {
            Ok(text) => {
                let unit = self.table.header().headings.get(cell).and_then(|heading| heading.unit.as_deref());
                let bare = plain_number(&text).is_some();
                Some(unit.filter(|_| bare).map_or(text.clone(), |unit| format!("{text}{unit}")))
            }
            Err(mark) => {
                let (message, help) = mark_words(mark, column, text);
                self.fault_in((cell, column), FaultKind::DecimalMark, message, help);
                None
            }
        }
    }

    /// A number in its column's unit, within its column's bounds.
    pub(in crate::input) fn number(&mut self, column: &str) -> Option<f64> {
        let field = field_of(self.table.columns(), column)?;
        let text = self.quantity(column)?;
        match field.unit.read(&text) {
            Ok(number) => self.bounded(field, number),
            Err(error) => {
                self.not_a_quantity(column, &error);
                None
            }
        }
    }

    fn bounded(&mut self, field: &Field, number: f64) -> Option<f64> {
        let whole = !field.unit.is_whole() || number.fract().abs() <= 0.0;
        if whole && field.min <= number && number <= field.max {
            return Some(number);
        }
        let (kind, message, help) = bounds_words(field, number);
        self.fault(field.name, kind, message, help);
        None
    }

    /// A number of its column as the model reckons: SI, °C, mm, h.
    pub(in crate::input) fn model(&mut self, column: &str) -> Option<f64> {
        let unit = field_of(self.table.columns(), column)?.unit;
        self.number(column).map(|number| unit.to_model(number))
    }

    /// A whole number.
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "checked against the column's bounds")]
    pub(in crate::input) fn whole(&mut self, column: &str) -> Option<u32> {
        self.number(column).map(|number| number as u32)
    }

    /// A year.
    #[expect(clippy::cast_possible_truncation, reason = "checked against the column's bounds")]
    pub(in crate::input) fn year(&mut self, column: &str) -> Option<i32> {
        self.number(column).map(|number| number as i32)
    }

    /// An amount of money, not below nothing.
    pub(in crate::input) fn money(&mut self, column: &str) -> Option<Money> {
        let cell = self.table.header().cell_of(column)?;
        self.money_at(cell, column)
    }

    fn money_at(&mut self, cell: usize, column: &str) -> Option<Money> {
        let text = unguarded(self.at(cell)?).to_owned();
        let points = match with_points(&text, self.table.decimal()) {
            Ok(points) => points,
            Err(mark) => {
                let (message, help) = mark_words(mark, column, &text);
                self.fault_in((cell, column), FaultKind::DecimalMark, message, help);
                return None;
            }
        };
        match money(&points) {
            Ok(amount) => Some(amount),
            Err(why) => {
                let message = format!("{column} {}: {why}", quoted(&text));
                let help = "write digits and a decimal point without a sign of the currency, like 0.42".to_owned();
                self.fault_in((cell, column), FaultKind::Money, message, help);
                None
            }
        }
    }

    /// The columns `price10` where something is written: the quantity (that of `qty10` where
    /// there is one) and the price.
    pub(in crate::input) fn price_columns(&mut self) -> Vec<(u32, Money)> {
        let header = self.table.header();
        let prices: Vec<(u32, usize)> = header.price_columns().collect();
        let quantities: Vec<(u32, usize)> = header.quantity_columns().collect();
        let mut found = Vec::new();
        for (named, cell) in prices {
            let Some(price) = self.money_at(cell, "prices") else { continue };
            let from = quantities.iter().find(|(n, _)| *n == named).and_then(|(_, cell)| self.at(*cell));
            match from.map(str::parse) {
                None => found.push((named, price)),
                Some(Ok(from)) if from >= 1 => found.push((from, price)),
                Some(_) => {
                    let message = format!("the quantity of price {named} is not a whole number from 1 on");
                    let help = "write the quantity from which the price holds".to_owned();
                    self.fault_in((cell, "prices"), FaultKind::NotAQuantity, message, help);
                }
            }
        }
        found
    }
}

/// An amount of money, not below nothing; the error in words.
pub(in crate::input) fn money(text: &str) -> Result<Money, String> {
    match Money::parse(text) {
        Ok(amount) if amount < Money::ZERO => Err("money cannot be below nothing here".to_owned()),
        Ok(amount) => Ok(amount),
        Err(MoneyError::NotANumber) => Err("not an amount of money".to_owned()),
        Err(why) => Err(why.to_string()),
    }
}

/// The words for a number that is out of its field's bounds.
pub(in crate::input) fn bounds_words(field: &Field, number: f64) -> (FaultKind, String, String) {
    let shown = field.with_unit(number);
    let name = field.name;
    if field.unit.is_whole() && number.fract().abs() > 0.0 {
        let message = format!("{name} {shown} is not a whole number");
        return (FaultKind::NotAQuantity, message, format!("write a whole number from {} to {}", field.min, field.max));
    }
    let side = if number < field.min { "below" } else { "above" };
    let bounds = field.bounds_text().unwrap_or_default();
    let message = format!("{name} of {shown} is {side} all reason; accepted is {bounds}");
    let help = match field.unit.symbol() {
        "" => "check the figure".to_owned(),
        symbol => format!("check the figure and its unit; a bare number here is in {symbol}"),
    };
    (FaultKind::OutOfBounds, message, help)
}

/// The words for a decimal mark that is not allowed.
fn mark_words(mark: MarkFault, column: &str, text: &str) -> (String, String) {
    let text = quoted(text);
    match mark {
        MarkFault::Comma => (
            format!("{column} {text} has a decimal comma, which a comma file cannot have"),
            "write a decimal point, or save the file with ; or tab between the cells".to_owned(),
        ),
        MarkFault::Thousands => (
            format!("{column} {text} may be thousands or decimals"),
            "write no mark for thousands, and one mark for decimals in the whole file".to_owned(),
        ),
    }
}

/// Whether a cell says that nothing is known.
pub(in crate::input) fn is_unknown(text: &str) -> bool {
    matches!(text, "" | "-" | "?" | "–" | "—") || text.eq_ignore_ascii_case("n/a")
}

/// Whether a text is read just as it stands: no outer blanks, no apostrophe that guards it.
pub(in crate::input) fn is_plain_text(text: &str) -> bool {
    super::trimmed(text).len() == text.len() && unguarded(text).len() == text.len()
}

/// A text without the apostrophe that keeps spreadsheets from reading it as a formula.
fn unguarded(text: &str) -> &str {
    match text.strip_prefix('\'') {
        Some(rest) if rest.starts_with(['=', '+', '-', '@', '\t', '\r', '\n']) => rest,
        _ => text,
    }
}
