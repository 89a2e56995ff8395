//! Foreign text made safe for a terminal: control and direction characters are shown, not sent.

/// The text with every control character, direction mark and invisible character written out
/// (`\u{1b}`, `\n`), so that nothing read from a file can move the cursor or turn the line.
pub fn safe(text: &str) -> String {
    let mut shown = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\n' => shown.push_str("\\n"),
            '\r' => shown.push_str("\\r"),
            '\t' => shown.push_str("\\t"),
            _ if hidden(c) => shown.extend(c.escape_unicode()),
            _ => shown.push(c),
        }
    }
    shown
}

/// Whether a character is a control, turns the direction of text or cannot be seen
/// (C0, DEL, C1; Unicode's `Bidi_Control`; zero-width characters, line and paragraph separators).
fn hidden(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{ad}' | '\u{61c}' | '\u{180e}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}'
            | '\u{2060}'..='\u{2069}' | '\u{feff}' | '\u{fff9}'..='\u{fffb}' | '\u{e0000}'..='\u{e007f}')
}

/// The text in quotes, at most 40 characters of it; still to be made [`safe`] when shown.
pub(super) fn quoted(text: &str) -> String {
    format!("'{}'", shortened(text, 40))
}

/// At most `most` characters of a text, the rest as an ellipsis.
pub(super) fn shortened(text: &str, most: usize) -> String {
    match text.char_indices().nth(most) {
        Some((end, _)) => format!("{}…", text.get(..end).unwrap_or_default()),
        None => text.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // CWE-150: escape, OSC 52, CR, BEL and right-to-left override must not reach a terminal.
    #[test]
    fn nothing_moves_the_cursor() {
        assert_eq!(safe("\u{1b}[2J"), "\\u{1b}[2J");
        assert_eq!(safe("\u{1b}]52;c;AA\u{7}"), "\\u{1b}]52;c;AA\\u{7}");
        assert_eq!(safe("a\r\nb\t\u{9b}\u{7f}"), "a\\r\\nb\\t\\u{9b}\\u{7f}");
        assert_eq!(safe("\u{202e}fdp"), "\\u{202e}fdp");
        assert_eq!(safe("22 µF ½W Ω"), "22 µF ½W Ω");
    }

    #[test]
    fn quotes_are_short() {
        assert_eq!(quoted("abc"), "'abc'");
        assert_eq!(quoted(&"x".repeat(50)).chars().count(), 43);
    }
}
