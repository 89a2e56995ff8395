//! One row of the table: its input text taken apart, its figure and tolerance.

use std::fmt;
use std::path::Path;

use capjob::physics::Verdict;
use capjob::sources::{SourceId, Status};

/// A row as it stands in the table.
pub(crate) struct Row {
    pub(crate) id: String,
    pub(crate) topic: String,
    pub(crate) input: String,
    expected: String,
    unit: String,
    tolerance: String,
    source: String,
    status: String,
}

/// What the library says to a row, and the source that it says it by.
pub(crate) struct Answer {
    value: Value,
    cites: Option<SourceId>,
}

enum Value {
    Number(f64),
    Text(String),
}

impl Answer {
    /// A number in the row's unit.
    pub(crate) fn number(value: f64) -> Self {
        Self { value: Value::Number(value), cites: None }
    }

    /// A word.
    pub(crate) fn text(value: impl Into<String>) -> Self {
        Self { value: Value::Text(value.into()), cites: None }
    }

    /// `pass` or `fail`.
    pub(crate) fn passes(passes: bool) -> Self {
        Self::text(if passes { "pass" } else { "fail" })
    }

    /// A verdict in the table's words.
    pub(crate) fn verdict(verdict: Verdict) -> Self {
        Self::text(match verdict {
            Verdict::Pass => "PASS",
            Verdict::Flag => "FLAG",
            Verdict::Replace => "REPLACE",
        })
    }

    /// The same answer with the source that the library names for it.
    pub(crate) fn by(self, source: SourceId) -> Self {
        Self { cites: Some(source), ..self }
    }

    /// An answer that no row may take: far off, or another word.
    pub(crate) fn spoiled(self) -> Self {
        let value = match self.value {
            Value::Number(x) => Value::Number(x * 1.6 + 0.4),
            Value::Text(word) => Value::Text(format!("not {word}")),
        };
        Self { value, ..self }
    }
}

impl Row {
    /// The part of the id before the hyphen.
    pub(crate) fn group(&self) -> &str {
        self.id.split('-').next().unwrap_or(&self.id)
    }

    /// The parts of the input between semicolons.
    pub(crate) fn parts(&self) -> impl Iterator<Item = &str> {
        self.input.split(';').map(str::trim)
    }

    /// What stands behind `key` and `=`, `<=`, `>=`, `<` or `>` at the start of a part.
    pub(crate) fn word(&self, key: &str) -> Option<&str> {
        self.parts().find_map(|part| part.strip_prefix(key)?.strip_prefix(['=', '<', '>']).map(|v| v.trim_matches('=')))
    }

    /// The number behind a key, with `k` or `M` right behind it.
    pub(crate) fn find(&self, key: &str) -> Option<f64> {
        self.word(key).map(|text| numbers(text)[0])
    }

    /// The number behind a key that must be there.
    pub(crate) fn num(&self, key: &str) -> f64 {
        self.find(key).unwrap_or_else(|| panic!("{}: no '{key}' in '{}'", self.id, self.input))
    }

    /// All numbers of the input, in order.
    pub(crate) fn numbers(&self) -> Vec<f64> {
        numbers(&self.input)
    }

    /// Rated voltages at both ends of the band that the row names.
    pub(crate) fn band_volts(&self) -> [f64; 2] {
        match self.word("U_R") {
            Some("100") => [100.1, 450.0],
            Some("40..100") => [40.0, 100.0],
            other => panic!("{}: unknown band {other:?}", self.id),
        }
    }

    /// The row that this one calls the same.
    pub(crate) fn same_as<'r>(&self, rows: &'r [Row]) -> Option<&'r Row> {
        let id = self.input.strip_prefix("same as ")?;
        rows.iter().find(|row| row.id == id)
    }

    /// Holds an answer against the row's figure at the row's tolerance.
    pub(crate) fn compare(&self, answer: &Answer) -> Result<(), String> {
        if self.status.starts_with("memory") && !cites_no_document(answer) {
            return Err(format!("{self}: the row is from memory but the library does not say so"));
        }
        let (holds, got) = match &answer.value {
            Value::Text(word) => (*word == self.expected, word.clone()),
            Value::Number(got) => (self.number_holds(*got), got.to_string()),
        };
        if holds {
            return Ok(());
        }
        let memory = if self.status.starts_with("memory") { "; the row's figure is from memory" } else { "" };
        Err(format!(
            "{self}: got {got}, expected {} {} within {}{memory}; source: {}",
            self.expected, self.unit, self.tolerance, self.source
        ))
    }

    fn number_holds(&self, got: f64) -> bool {
        let Ok(due) = self.expected.parse::<f64>() else { return false };
        // An exact figure may differ in the last bits that a change of prefix costs.
        let allowed = match self.tolerance.split_once(' ') {
            Some(("abs", by)) => by.parse::<f64>().expect("an absolute tolerance"),
            Some(("rel", by)) => by.parse::<f64>().expect("a relative tolerance") * due.abs(),
            None if self.tolerance == "exact" => 1e-12 * due.abs(),
            _ => panic!("{}: tolerance '{}' is not understood", self.id, self.tolerance),
        };
        (got - due).abs() <= allowed
    }
}

/// Whether the library itself says that no document stands behind the figure.
fn cites_no_document(answer: &Answer) -> bool {
    answer.cites.is_some_and(|id| matches!(id.status(), Status::Memory | Status::CommonPractice))
}

impl fmt::Display for Row {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "row {} ({}; {})", self.id, self.topic, self.input)
    }
}

/// The numbers in a text; a `k` or `M` right behind one multiplies it.
pub(crate) fn numbers(text: &str) -> Vec<f64> {
    let mut found = Vec::new();
    let mut rest = text;
    while let Some(start) = rest.find(|c: char| c.is_ascii_digit()) {
        let negative = rest[..start].ends_with('-');
        rest = &rest[start..];
        let mut end = rest.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(rest.len());
        let exponent = rest[end..]
            .strip_prefix('e')
            .map_or(0, |tail| tail.find(|c: char| !c.is_ascii_digit() && c != '-').unwrap_or(tail.len()));
        if exponent > 0 {
            end += 1 + exponent;
        }
        let digits = rest[..end].trim_end_matches('.');
        let mut value: f64 = digits.parse().unwrap_or_else(|_| panic!("'{digits}' in '{text}'"));
        rest = &rest[end..];
        value *= match rest.chars().next() {
            Some('k') => 1e3,
            Some('M') => 1e6,
            _ => 1.0,
        };
        found.push(if negative { -value } else { value });
    }
    found
}

/// The whole table.
pub(crate) fn read_rows() -> Vec<Row> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/checks.csv");
    let mut reader = csv::Reader::from_path(path).expect("the table is there");
    let rows = reader.records().map(|record| {
        let record = record.expect("a row of the table");
        let cell = |i: usize| record.get(i).expect("eight columns").to_owned();
        Row {
            id: cell(0),
            topic: cell(1),
            input: cell(2),
            expected: cell(3),
            unit: cell(4),
            tolerance: cell(5),
            source: cell(6),
            status: cell(7),
        }
    });
    rows.collect()
}
