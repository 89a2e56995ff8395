//! A line of a catalog that was set aside, as the documents tell of it.

/// What is wrong with a line, where, and how to mend it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Diagnostic {
    /// Kind of fault, lower-case words joined by hyphens; stable.
    pub code: String,
    /// File as it was named.
    pub file: String,
    /// Physical line where the record begins, from 1.
    pub line: usize,
    /// Character of the record where the cell begins, from 1.
    pub column: usize,
    /// What is wrong.
    pub message: String,
    /// How to mend it.
    pub help: Option<String>,
}
