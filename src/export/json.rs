//! JSON: one object, ending in a newline.

use std::fmt::Write as _;

use serde::Serialize;

use super::safe::is_harmful;

/// Writes a document of the machine output.
///
/// # Errors
/// A row that cannot be written as JSON; the documents hold none, so this is an internal fault.
pub fn write<T: Serialize>(document: &T) -> Result<String, serde_json::Error> {
    let text = serde_json::to_string_pretty(document)?;
    Ok(format!("{}\n", escaped(&text)))
}

/// Controls that JSON allows unescaped, but a terminal must not see, as `\u....`: the same text to a reader.
/// They stand only inside strings, and all have four hexadecimal digits.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        if c != '\n' && is_harmful(c) {
            // Writing into a text cannot fail.
            let _ = write!(out, "\\u{:04x}", u32::from(c));
        } else {
            out.push(c);
        }
    }
    out
}
