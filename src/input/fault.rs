//! What is wrong with an input, where, and how to mend it.

use std::collections::BTreeMap;
use std::fmt;

use super::escape::{safe, shortened};
use crate::model::words::words;

words!(
    /// Kinds of faults, by which they are counted.
    FaultKind {
        /// The file is missing.
        Missing = "missing file",
        /// A folder where a file is due.
        Folder = "folder instead of a file",
        /// It cannot be read.
        Unreadable = "unreadable file",
        /// Nothing is in it.
        EmptyFile = "empty file",
        /// The bytes are of another kind of file.
        WrongKind = "wrong kind of file",
        /// It breaks the grammar of its format.
        Grammar = "broken grammar",
        /// A quote that is not closed.
        Quote = "unclosed quote",
        /// A needed column or key is missing.
        MissingField = "missing column or key",
        /// A column stands twice.
        TwiceField = "column given twice",
        /// A key that does not exist.
        UnknownKey = "unknown key",
        /// More cells than headings.
        ExtraCells = "more cells than headings",
        /// A needed cell is empty.
        EmptyCell = "needed cell empty",
        /// A text that is not the quantity due.
        NotAQuantity = "not a quantity",
        /// Decimal comma or thousands mark where the file does not allow it.
        DecimalMark = "decimal mark",
        /// Beyond the bounds of its column or key.
        OutOfBounds = "out of bounds",
        /// A word that is not one of those accepted.
        UnknownWord = "unknown word",
        /// A value of the wrong TOML type.
        WrongType = "wrong type",
        /// Not a date.
        Date = "not a date",
        /// Not money, a rate or a currency.
        Money = "not money",
        /// The same name twice.
        Duplicate = "duplicate",
        /// Two statements that cannot both hold.
        Contradiction = "contradiction",
        /// A name that stands for nothing known.
        UnknownName = "unknown name",
    }
);

/// One fault with its place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// File as the caller named it.
    pub file: String,
    /// Physical line where the record begins, from 1 (a spreadsheet: the row).
    pub line: usize,
    /// Character of the record where the cell begins, from 1 (a spreadsheet: the column).
    pub column: usize,
    /// Kind.
    pub kind: FaultKind,
    /// What is wrong: lower case, no final stop.
    pub message: String,
    /// Name of the column or key.
    pub field: Option<String>,
    /// The text as read.
    pub got: Option<String>,
    /// How to mend it.
    pub help: Option<String>,
    /// Text of the record or line; empty where there is none.
    pub text: String,
    /// Character of `text` that the caret stands under, from 0.
    pub caret: usize,
}

impl Fault {
    /// A fault of a whole file, placed at its beginning.
    pub fn of_file(file: &str, kind: FaultKind, message: impl Into<String>, help: impl Into<String>) -> Self {
        Self {
            file: file.to_owned(),
            line: 1,
            column: 1,
            kind,
            message: message.into(),
            field: None,
            got: None,
            help: Some(help.into()),
            text: String::new(),
            caret: 0,
        }
    }

    /// The lines that show the record with its caret, empty when there is no text.
    fn excerpt(&self) -> String {
        if self.text.is_empty() {
            return String::new();
        }
        let first = self.caret.saturating_sub(50);
        let before: String = self.text.chars().skip(first).take(self.caret - first).collect();
        let after: String = self.text.chars().skip(self.caret).collect();
        let lead = if first > 0 { "…" } else { "" };
        let shown = safe(&before);
        let indent = " ".repeat(lead.chars().count() + shown.chars().count());
        let mut what = Vec::new();
        what.extend(self.field.as_ref().map(|field| format!("'{}'", safe(field))));
        what.extend(self.got.as_ref().map(|got| format!("read as '{}'", safe(&shortened(got, 60)))));
        format!("\n    {lead}{shown}{}\n    {indent}^ {}", safe(&shortened(&after, 60)), what.join(", "))
            .trim_end()
            .to_owned()
    }
}

impl fmt::Display for Fault {
    /// `FILE:LINE:COLUMN: error: message`, the record with a caret, `help:`; no final line break.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}:{}: error: {}", safe(&self.file), self.line, self.column, safe(&self.message))?;
        f.write_str(&self.excerpt())?;
        match &self.help {
            Some(help) => write!(f, "\n    help: {}", safe(help)),
            None => Ok(()),
        }
    }
}

/// Faults kept one by one; what comes beyond is only counted, so that memory stays bounded.
const KEPT: usize = 2_000;
/// Faults shown in full.
const SHOWN: usize = 20;

/// All faults of a run.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Faults {
    kept: Vec<Fault>,
    beyond: BTreeMap<FaultKind, usize>,
}

impl Faults {
    /// One fault.
    pub fn one(fault: Fault) -> Self {
        Self { kept: vec![fault], beyond: BTreeMap::new() }
    }

    /// Adds a fault.
    pub fn push(&mut self, fault: Fault) {
        if self.kept.len() < KEPT {
            self.kept.push(fault);
        } else {
            *self.beyond.entry(fault.kind).or_insert(0) += 1;
        }
    }

    /// Adds all faults of another collection.
    pub fn append(&mut self, other: Self) {
        for fault in other.kept {
            self.push(fault);
        }
        for (kind, count) in other.beyond {
            *self.beyond.entry(kind).or_insert(0) += count;
        }
    }

    /// The same faults so many lines further down.
    pub(super) fn moved(mut self, lines: usize) -> Self {
        for fault in &mut self.kept {
            fault.line += lines;
        }
        self
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.kept.is_empty()
    }

    /// How many there are.
    pub fn len(&self) -> usize {
        self.kept.len() + self.beyond.values().sum::<usize>()
    }

    /// The faults kept one by one, in the order found.
    pub fn iter(&self) -> impl Iterator<Item = &Fault> {
        self.kept.iter()
    }

    /// How many of each kind.
    pub fn by_kind(&self) -> BTreeMap<FaultKind, usize> {
        let mut counts = self.beyond.clone();
        for fault in &self.kept {
            *counts.entry(fault.kind).or_insert(0) += 1;
        }
        counts
    }

    /// Puts the faults of each file in order of their place; files stay in the order met.
    fn sort(&mut self) {
        let mut files: Vec<String> = Vec::new();
        for fault in &self.kept {
            if !files.contains(&fault.file) {
                files.push(fault.file.clone());
            }
        }
        let order = |fault: &Fault| files.iter().position(|file| *file == fault.file);
        self.kept.sort_by_key(|fault| (order(fault), fault.line, fault.column));
    }

    /// The faults, or the value when there is none.
    ///
    /// # Errors
    /// These faults, sorted by place, when there are any.
    pub(super) fn or<T>(mut self, value: Option<T>) -> Result<T, Self> {
        match value {
            Some(value) if self.is_empty() => Ok(value),
            _ => {
                self.sort();
                Err(self)
            }
        }
    }

    /// The first `full` faults in full, the others counted by kind.
    pub fn render(&self, full: usize) -> String {
        let mut blocks: Vec<String> = self.kept.iter().take(full).map(ToString::to_string).collect();
        let mut rest = self.beyond.clone();
        for fault in self.kept.iter().skip(full) {
            *rest.entry(fault.kind).or_insert(0) += 1;
        }
        blocks.extend(rest.iter().map(|(kind, count)| format!("and {count} more: {kind}")));
        blocks.join("\n")
    }
}

impl FromIterator<Fault> for Faults {
    fn from_iter<I: IntoIterator<Item = Fault>>(faults: I) -> Self {
        let mut all = Self::default();
        for fault in faults {
            all.push(fault);
        }
        all
    }
}

impl fmt::Display for Faults {
    /// The first 20 in full, then counts by kind; no final line break.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.render(SHOWN))
    }
}

impl std::error::Error for Faults {}

#[cfg(test)]
mod tests {
    use super::*;

    fn fault(line: usize, kind: FaultKind) -> Fault {
        Fault {
            line,
            column: 4,
            field: Some("part".into()),
            got: Some("papre".into()),
            text: "C1,papre,\u{1b}x".into(),
            caret: 3,
            ..Fault::of_file("parts.csv", kind, "part 'papre' is not known", "write 'paper'")
        }
    }

    #[test]
    fn shows_place_text_caret_and_mend() {
        assert_eq!(
            fault(7, FaultKind::UnknownWord).to_string(),
            "parts.csv:7:4: error: part 'papre' is not known\n    C1,papre,\\u{1b}x\n       ^ 'part', read as 'papre'\n    help: write 'paper'"
        );
    }

    #[test]
    fn counts_what_comes_after_the_first_twenty() {
        let faults: Faults =
            (0..3_000).map(|i| fault(i, if i % 2 == 0 { FaultKind::UnknownWord } else { FaultKind::Date })).collect();
        assert_eq!(faults.len(), 3_000);
        let shown = faults.to_string();
        assert_eq!(shown.matches("help:").count(), 20);
        assert!(shown.ends_with("and 1490 more: unknown word\nand 1490 more: not a date"), "{shown}");
    }

    #[test]
    fn a_long_record_is_shortened_on_both_sides() {
        let long = Fault {
            text: format!("{}papre{}", "a".repeat(200), "b".repeat(200)),
            caret: 200,
            ..fault(1, FaultKind::Date)
        };
        let shown = long.to_string();
        let lines: Vec<&str> = shown.lines().collect();
        assert!(lines[1].chars().count() < 125);
        assert_eq!(lines[1].chars().nth(lines[2].find('^').unwrap()), Some('p'));
    }
}
