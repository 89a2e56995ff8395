//! One table of the documents that limits and formulas rest on, and how far each was read.
//!
//! Every [`Limit`](crate::limits::Limit) points into this table, and what is printed beside a
//! figure says in plain words when the figure is from memory, common practice or our own.

use std::fmt;

mod table;

pub use table::SourceId;

/// How far the document behind a figure was read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Status {
    /// The figure was read in the document itself or in a public copy of it.
    Read,
    /// The figure was read where someone quotes or copies the document.
    SecondHand,
    /// The figure was read nowhere; it is remembered.
    Memory,
    /// The trade does it so; no document stands behind it.
    CommonPractice,
    /// Our own rule or derivation.
    Ours,
}

impl Status {
    /// What a reader must know about the figure, fit to stand in brackets after the document.
    pub const fn note(self) -> &'static str {
        match self {
            Self::Read => "read",
            Self::SecondHand => "as quoted by others; the document itself was not read",
            Self::Memory => "from memory, not checked against the document",
            Self::CommonPractice => "common practice, no source",
            Self::Ours => "our own rule or derivation",
        }
    }
}

/// One document, or one of our own rules, that figures rest on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Source {
    /// The short text that files and machines name it by; never changes meaning.
    pub key: &'static str,
    /// How far it was read.
    pub status: Status,
    /// The document, in words that a technician can look it up by.
    pub document: &'static str,
    /// Clause, table, edition, or what it says on the matter.
    pub part: &'static str,
}

impl SourceId {
    /// The source with this key, as written in files.
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|id| id.source().key == key)
    }

    /// How far the source was read.
    pub const fn status(self) -> Status {
        self.source().status
    }
}

/// The citation in one line: document, part, and how far it was read.
impl fmt::Display for SourceId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let source = self.source();
        write!(f, "{}, {} ({})", source.document, source.part, source.status.note())
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;
    use std::path::Path;

    use super::*;

    #[test]
    fn keys_are_unique_and_lead_back() {
        let keys: BTreeSet<_> = SourceId::ALL.iter().map(|id| id.source().key).collect();
        assert_eq!(keys.len(), SourceId::ALL.len());
        for id in SourceId::ALL {
            assert_eq!(SourceId::from_key(id.source().key), Some(*id));
        }
        assert_eq!(SourceId::from_key("no-such-source"), None);
    }

    #[test]
    fn citations_are_one_line_and_honest() {
        for id in SourceId::ALL {
            let text = id.to_string();
            assert!(!text.contains('\n') && text.len() < 240, "{text}");
            let told = match id.status() {
                Status::Read => "(read)",
                Status::SecondHand => "quoted by others",
                Status::Memory => "from memory",
                Status::CommonPractice => "common practice, no source",
                Status::Ours => "our own rule",
            };
            assert!(text.contains(told), "{text}");
        }
    }

    #[test]
    fn every_source_is_used() {
        let mut code = String::new();
        gather(&Path::new(env!("CARGO_MANIFEST_DIR")).join("src"), &mut code);
        for id in SourceId::ALL {
            assert!(code.contains(&format!("SourceId::{id:?}")), "{id:?} stands in the table but nothing cites it");
        }
    }

    /// Adds the text of every Rust file below `folder` but those of the table itself.
    fn gather(folder: &Path, code: &mut String) {
        for entry in std::fs::read_dir(folder).expect("the source folder can be read") {
            let path = entry.expect("an entry of the source folder").path();
            if path.is_dir() && !path.ends_with("src/sources") {
                gather(&path, code);
            } else if path.extension().is_some_and(|e| e == "rs") && !path.ends_with("src/sources.rs") {
                code.push_str(&std::fs::read_to_string(&path).expect("a source file can be read"));
            }
        }
    }
}
