//! Numbered notes: a source is named once, at the end, and marked where it is drawn on.

use super::block::Block;

/// The sources that a document has drawn on, in the order of their first mark.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Notes(Vec<String>);

impl Notes {
    /// The mark of a source, such as `[2]`.
    pub(super) fn mark(&mut self, source: &str) -> String {
        let known = self.0.iter().position(|s| s == source);
        let place = known.unwrap_or_else(|| {
            self.0.push(source.to_owned());
            self.0.len() - 1
        });
        format!("[{}]", place + 1)
    }

    /// The notes under a heading; nothing where none was drawn on.
    pub(super) fn blocks(self) -> Vec<Block> {
        if self.0.is_empty() {
            return Vec::new();
        }
        let line = |(n, source): (usize, &String)| format!("[{}] {source}", n + 1);
        vec![Block::Heading("Sources".to_owned()), Block::List(self.0.iter().enumerate().map(line).collect())]
    }
}
