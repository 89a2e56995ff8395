//! JSON: one object, ending in a newline.

use serde::Serialize;

/// Writes a document of the machine output.
///
/// # Errors
/// A row that cannot be written as JSON; the documents hold none, so this is an internal fault.
pub fn write<T: Serialize>(document: &T) -> Result<String, serde_json::Error> {
    let mut text = serde_json::to_string_pretty(document)?;
    text.push('\n');
    Ok(text)
}
