//! TOML sheets with the place of every key and value.

use std::cell::RefCell;
use std::ops::Range;

use jiff::civil::Date;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::bounds::{Field, find};
use super::decode::whole_text;
use super::escape::quoted;
use super::fault::{Fault, FaultKind, Faults};
use super::sniff::not_text;
use super::table::{bounds_words, money};
use super::word::{Word, mend, mend_word};
use crate::money::Money;

/// The text of a sheet, and the faults found in it so far.
pub(super) struct Sheet<'f> {
    file: &'f str,
    text: String,
    faults: RefCell<Vec<Fault>>,
}

impl<'f> Sheet<'f> {
    /// The text of a file.
    ///
    /// # Errors
    /// The bytes are no text.
    pub(super) fn new(file: &'f str, bytes: &[u8]) -> Result<Self, Box<Fault>> {
        match not_text(file, bytes) {
            Some(fault) => Err(Box::new(fault)),
            None => Ok(Self { file, text: whole_text(bytes).0, faults: RefCell::default() }),
        }
    }

    /// The tree of the sheet; `None` with faults left where its grammar is broken.
    pub(super) fn tree(&self) -> Option<Spanned<DeTable<'_>>> {
        let (tree, errors) = DeTable::parse_recoverable(&self.text);
        for error in &errors {
            let span = error.span().unwrap_or(0..0);
            if let Some(text) = like_a_date(self.place(span.start).2) {
                let message = format!("{} is no date as a sheet has it", quoted(text));
                let help = "write year, month and day, like 2026-11-20".to_owned();
                self.push((span.start, None), FaultKind::Date, message, help);
                continue;
            }
            let says = error.message().trim().trim_end_matches('.').replace('\n', ", ");
            let message = format!("the TOML is broken: {says}");
            let help = "text stands in quotes, a section in [brackets], one key on a line".to_owned();
            self.push((span.start, None), FaultKind::Grammar, message, help);
        }
        errors.is_empty().then_some(tree)
    }

    /// All faults of the sheet.
    pub(super) fn into_faults(self) -> Faults {
        self.faults.into_inner().into_iter().collect()
    }

    /// Line and character of a byte of the text, from 1, and the line's text.
    fn place(&self, byte: usize) -> (usize, usize, &str) {
        let before = self.text.get(..byte).unwrap_or(&self.text);
        let begin = before.rfind('\n').map_or(0, |at| at + 1);
        let line = before.matches('\n').count() + 1;
        let text = self.text.get(begin..).and_then(|rest| rest.lines().next()).unwrap_or_default();
        // A place between CR and LF is the end of the line.
        let column = before.get(begin..).unwrap_or_default().chars().count().min(text.chars().count()) + 1;
        (line, column, text)
    }

    /// The line of a byte, from 1.
    pub(super) fn line(&self, byte: usize) -> usize {
        self.place(byte).0
    }

    /// Adds a fault at a byte, about a key.
    fn push(&self, (byte, key): (usize, Option<&str>), kind: FaultKind, message: String, help: String) {
        let (line, column, text) = self.place(byte);
        let fault = Fault {
            line,
            column,
            field: key.map(str::to_owned),
            text: text.to_owned(),
            caret: column - 1,
            ..Fault::of_file(self.file, kind, message, help)
        };
        // A key that is read for two purposes is wrong once.
        let mut faults = self.faults.borrow_mut();
        if !faults.contains(&fault) {
            faults.push(fault);
        }
    }
}

/// One table of a sheet, with the keys that it may have.
pub(super) struct Section<'s> {
    sheet: &'s Sheet<'s>,
    table: &'s DeTable<'s>,
    fields: &'static [Field],
    /// Byte where the section begins, for what is missing in it.
    begin: usize,
    /// Name for messages, `[ht.node]`; empty for the sheet itself.
    name: &'static str,
}

impl<'s> Section<'s> {
    /// The sheet's own keys; an unknown one is a fault.
    pub(super) fn root(sheet: &'s Sheet<'s>, tree: &'s Spanned<DeTable<'s>>, fields: &'static [Field]) -> Self {
        Self::new(sheet, tree.get_ref(), fields, 0, "")
    }

    fn new(
        sheet: &'s Sheet<'s>,
        table: &'s DeTable<'s>,
        fields: &'static [Field],
        begin: usize,
        name: &'static str,
    ) -> Self {
        let section = Self { sheet, table, fields, begin, name };
        section.check_keys();
        section
    }

    fn check_keys(&self) {
        for (key, _) in self.table {
            let text: &str = key.get_ref();
            if find(self.fields, text).is_none() {
                let known: Vec<&str> = self.fields.iter().map(|field| field.name).collect();
                let place =
                    if self.name.is_empty() { "before any section".to_owned() } else { format!("in {}", self.name) };
                let message = format!("key {} is not known {place}", quoted(text));
                self.sheet.push((key.span().start, Some(text)), FaultKind::UnknownKey, message, mend(text, &known));
            }
        }
        for field in self.fields.iter().filter(|field| field.needed && !self.has(field.name)) {
            let place = if self.name.is_empty() { "at the top".to_owned() } else { format!("in {}", self.name) };
            let message = format!("the needed key '{}' is missing {place}", field.name);
            let help = format!("add it: {}", field.meaning);
            self.sheet.push((self.begin, Some(field.name)), FaultKind::MissingField, message, help);
        }
    }

    /// Key and value of a key.
    fn entry(&self, key: &str) -> Option<(Range<usize>, &'s Spanned<DeValue<'s>>)> {
        let found = self.table.iter().find(|(name, _)| name.get_ref().as_ref() == key);
        found.map(|(name, value)| (name.span(), value))
    }

    /// Whether a key is there.
    pub(super) fn has(&self, key: &str) -> bool {
        self.entry(key).is_some()
    }

    /// The byte of a key's value, or of the section where there is none.
    pub(super) fn at(&self, key: &str) -> usize {
        self.entry(key).map_or(self.begin, |(_, value)| value.span().start)
    }

    /// The line of a key's value.
    pub(super) fn line(&self, key: &str) -> usize {
        self.sheet.line(self.at(key))
    }

    /// A fault at a key's value, or at the section where the key is missing.
    pub(super) fn fault(&self, key: &str, kind: FaultKind, message: String, help: impl Into<String>) {
        self.sheet.push((self.at(key), Some(key)), kind, message, help.into());
    }

    fn wrong_type(&self, key: &str, value: &DeValue<'_>, due: &str, help: &str) {
        let message = format!("{key} is a TOML {}, not {due}", value.type_str());
        self.fault(key, FaultKind::WrongType, message, help);
    }

    /// A text that is not empty.
    pub(super) fn text(&self, key: &str) -> Option<String> {
        let (_, value) = self.entry(key)?;
        match value.get_ref() {
            DeValue::String(text) if !text.trim().is_empty() => Some(text.trim().to_owned()),
            DeValue::String(_) => {
                self.fault(key, FaultKind::EmptyCell, format!("{key} is empty"), "write it, or leave the key out");
                None
            }
            other => {
                self.wrong_type(key, other, "a text", "write it in quotes");
                None
            }
        }
    }

    /// One word of an enum.
    pub(super) fn word<W: Word>(&self, key: &str) -> Option<W> {
        let text = self.text(key)?;
        let word = W::read(&text);
        if word.is_none() {
            let message = format!("{key} {} is not known", quoted(&text));
            self.fault(key, FaultKind::UnknownWord, message, mend_word::<W>(&text));
        }
        word
    }

    /// `true` or `false`.
    pub(super) fn truth(&self, key: &str) -> Option<bool> {
        let (_, value) = self.entry(key)?;
        match value.get_ref() {
            DeValue::Boolean(answer) => Some(*answer),
            other => {
                self.wrong_type(key, other, "true or false", "write true or false, without quotes");
                None
            }
        }
    }

    /// A number in its key's unit, within its key's bounds.
    pub(super) fn number(&self, key: &str) -> Option<f64> {
        let field = find(self.fields, key)?;
        let number = self.any_number(key)?;
        let whole = !field.unit.is_whole() || number.fract().abs() <= 0.0;
        if whole && field.min <= number && number <= field.max {
            return Some(number);
        }
        let (kind, message, help) = bounds_words(field, number);
        self.fault(key, kind, message, help);
        None
    }

    /// A number without bounds of its own.
    pub(super) fn any_number(&self, key: &str) -> Option<f64> {
        let (_, value) = self.entry(key)?;
        let number = number_of(value.get_ref());
        if number.is_none() {
            self.wrong_type(key, value.get_ref(), "a number", "write a number without quotes and without its unit");
        }
        number
    }

    /// A number of its key as the model reckons: SI, °C, mm, h.
    pub(super) fn model(&self, key: &str) -> Option<f64> {
        let unit = find(self.fields, key)?.unit;
        self.number(key).map(|number| unit.to_model(number))
    }

    /// A whole number.
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "checked against the key's bounds")]
    pub(super) fn whole(&self, key: &str) -> Option<u32> {
        self.number(key).map(|number| number as u32)
    }

    /// A year.
    #[expect(clippy::cast_possible_truncation, reason = "checked against the key's bounds")]
    pub(super) fn year(&self, key: &str) -> Option<i32> {
        self.number(key).map(|number| number as i32)
    }

    /// An amount of money, written as a text.
    pub(super) fn money(&self, key: &str) -> Option<Money> {
        let (_, value) = self.entry(key)?;
        let DeValue::String(text) = value.get_ref() else {
            self.wrong_type(key, value.get_ref(), "money in quotes", "write money in quotes, like \"42.00\"");
            return None;
        };
        match money(text) {
            Ok(amount) => Some(amount),
            Err(why) => {
                let message = format!("{key} {}: {why}", quoted(text));
                self.fault(key, FaultKind::Money, message, "write digits and a decimal point, like \"42.00\"");
                None
            }
        }
    }

    /// A day, `2026-11-20`, with or without quotes.
    pub(super) fn date(&self, key: &str) -> Option<Date> {
        let (_, value) = self.entry(key)?;
        let text = match value.get_ref() {
            DeValue::String(text) => text.to_string(),
            DeValue::Datetime(date) => date.to_string(),
            other => {
                self.wrong_type(key, other, "a date", "write it like 2026-11-20");
                return None;
            }
        };
        let well_formed = text.len() == 10;
        let date = text.parse::<Date>().ok().filter(|_| well_formed);
        if date.is_none() {
            let message = format!("{key} {} is no day of the calendar", quoted(&text));
            self.fault(key, FaultKind::Date, message, "write year, month and day, like 2026-11-20");
        }
        date
    }

    /// A section below a key, with its own keys.
    pub(super) fn section(&self, key: &str, fields: &'static [Field], name: &'static str) -> Option<Section<'s>> {
        let (span, value) = self.entry(key)?;
        match value.get_ref() {
            DeValue::Table(table) => Some(Section::new(self.sheet, table, fields, span.start, name)),
            other => {
                self.wrong_type(key, other, "a section", "write it as a section in brackets");
                None
            }
        }
    }

    /// Every section of a list `[[key]]`; one `[key]` counts as a list of one.
    pub(super) fn sections(&self, key: &str, fields: &'static [Field], name: &'static str) -> Vec<Section<'s>> {
        let Some((span, value)) = self.entry(key) else { return Vec::new() };
        match value.get_ref() {
            DeValue::Table(table) => vec![Section::new(self.sheet, table, fields, span.start, name)],
            DeValue::Array(list) => {
                let tables = list.iter().map(|item| match item.get_ref() {
                    DeValue::Table(table) => Some(Section::new(self.sheet, table, fields, item.span().start, name)),
                    _ => None,
                });
                let tables: Option<Vec<Section<'s>>> = tables.collect();
                if tables.is_none() {
                    self.wrong_type(key, value.get_ref(), "a list of sections", "write each in double brackets");
                }
                tables.unwrap_or_default()
            }
            other => {
                self.wrong_type(key, other, "a list of sections", "write each in double brackets");
                Vec::new()
            }
        }
    }

    /// The keys and values of a section whose keys are free.
    pub(super) fn free(&self, key: &str) -> Option<Free<'s>> {
        let (_, value) = self.entry(key)?;
        match value.get_ref() {
            DeValue::Table(table) => Some(Free { sheet: self.sheet, table }),
            other => {
                self.wrong_type(key, other, "a section", "write it as a section in brackets");
                None
            }
        }
    }
}

/// The value of a line that is a day in another order or with other signs: `28.11.2026`, `2026/11/28`.
fn like_a_date(line: &str) -> Option<&str> {
    let value = line.split_once('=')?.1.split('#').next()?.trim();
    let groups: Vec<&str> = value.split(['.', '/', '-']).collect();
    let digits = |g: &&str| !g.is_empty() && g.len() <= 4 && g.bytes().all(|b| b.is_ascii_digit());
    (groups.len() == 3 && groups.iter().all(digits)).then_some(value)
}

/// The number of a TOML integer or float.
fn number_of(value: &DeValue<'_>) -> Option<f64> {
    #[expect(clippy::cast_precision_loss, reason = "bounds lie far below 2^53")]
    match value {
        DeValue::Integer(whole) => i64::from_str_radix(whole.as_str(), whole.radix()).ok().map(|n| n as f64),
        DeValue::Float(number) => number.as_str().parse().ok(),
        _ => None,
    }
}

/// A table whose keys are the user's own: currencies, rule ids, headings.
pub(super) struct Free<'s> {
    sheet: &'s Sheet<'s>,
    table: &'s DeTable<'s>,
}

/// A value of a free table.
pub(super) enum FreeValue<'s> {
    /// A text.
    Text(&'s str),
    /// A number.
    Number(f64),
    /// A table of its own.
    Table(Free<'s>),
    /// Anything else, by its TOML type.
    Other(&'static str),
}

impl<'s> Free<'s> {
    /// Keys, the bytes where key and value stand, and values, in the order of the file.
    pub(super) fn entries(&self) -> Vec<(&'s str, usize, FreeValue<'s>)> {
        let mut entries: Vec<_> = self
            .table
            .iter()
            .map(|(key, value)| {
                let read = match value.get_ref() {
                    DeValue::String(text) => FreeValue::Text(text),
                    DeValue::Table(table) => FreeValue::Table(Free { sheet: self.sheet, table }),
                    other => number_of(other).map_or(FreeValue::Other(other.type_str()), FreeValue::Number),
                };
                (key.get_ref().as_ref(), key.span().start, read)
            })
            .collect();
        entries.sort_by_key(|(_, at, _)| *at);
        entries
    }

    /// A fault at a byte.
    pub(super) fn fault(&self, (at, key): (usize, &str), kind: FaultKind, message: String, help: impl Into<String>) {
        self.sheet.push((at, Some(key)), kind, message, help.into());
    }
}
