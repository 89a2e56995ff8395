//! Text from files and people, made harmless for where it is read.

/// For a terminal: control characters, other than those we print ourselves, and the marks that
/// turn the reading direction are shown as escapes.
pub fn for_terminal(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        if is_harmful(c) {
            out.extend(c.escape_unicode());
        } else {
            out.push(c);
        }
    }
    out
}

/// Control characters (C0, DEL, C1), line and paragraph separators, and bidirectional controls.
pub(super) const fn is_harmful(c: char) -> bool {
    matches!(c,
        '\u{0}'..='\u{1f}' | '\u{7f}'..='\u{9f}'
        | '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}' | '\u{61c}')
}

/// For a spreadsheet: a text cell that a spreadsheet could take for a formula gets an apostrophe before it.
pub fn for_spreadsheet(text: &str) -> String {
    let mut cell: String = text.chars().map(|c| if c == '\r' || c == '\0' { ' ' } else { c }).collect();
    if cell.starts_with(['=', '+', '-', '@', '\t', '＝', '＋', '－', '＠']) {
        cell.insert(0, '\'');
    }
    cell
}

/// For HTML and SVG, as text or as the value of a quoted attribute: markup is quoted, control characters
/// are shown as escapes.
pub fn for_markup(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in for_terminal(text).chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            c => out.push(c),
        }
    }
    out
}

/// Whether a full stop or bracket behind `before` would begin a numbered list.
fn numbers_a_list(before: &str, rest: &str) -> bool {
    let before = before.trim();
    let digits = !before.is_empty() && before.bytes().all(|b| b.is_ascii_digit());
    digits && (rest.is_empty() || rest.starts_with(char::is_whitespace))
}

/// For Markdown: what a reader could take for markup, a link or HTML is quoted; control characters are
/// shown as escapes.
pub fn for_markdown(text: &str) -> String {
    let text = for_terminal(text);
    let mut out = String::with_capacity(text.len());
    for (place, c) in text.char_indices() {
        let rest = text.get(place + c.len_utf8()..).unwrap_or_default();
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '\\' | '`' | '*' | '_' | '{' | '}' | '[' | ']' | '#' | '|' | '~' | '@' | '!' => {
                out.push('\\');
                out.push(c);
            }
            // Addresses must not turn into links by themselves.
            ':' if rest.starts_with("//") => out.push_str("\\:"),
            '.' if out.to_ascii_lowercase().ends_with("www") => out.push_str("\\."),
            // Only at the start of a line do these begin lists, rules or headings.
            '-' | '+' | '=' if out.trim().is_empty() => {
                out.push('\\');
                out.push(c);
            }
            '.' | ')' if numbers_a_list(&out, rest) => {
                out.push('\\');
                out.push(c);
            }
            c => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_page_sees_no_markup() {
        assert_eq!(for_markup("<b a='\"'>&\u{7}"), "&lt;b a=&#39;&quot;&#39;&gt;&amp;\\u{7}");
    }

    #[test]
    fn markdown_sees_no_markup() {
        assert_eq!(for_markdown("*a* [b](c) <i>|`"), "\\*a\\* \\[b\\](c) &lt;i&gt;\\|\\`");
        assert_eq!(for_markdown("- x"), "\\- x");
        assert_eq!(for_markdown("1. x"), "1\\. x");
        assert_eq!(for_markdown("0.05 µF"), "0.05 µF");
        assert_eq!(for_markdown("a http://b www.c d@e"), "a http\\://b www\\.c d\\@e");
    }

    #[test]
    fn a_terminal_sees_no_control() {
        assert_eq!(for_terminal("a\u{1b}[2Jb\u{202e}c"), "a\\u{1b}[2Jb\\u{202e}c");
        assert_eq!(for_terminal("bell\u{7} 22 µF"), "bell\\u{7} 22 µF");
    }

    #[test]
    fn a_spreadsheet_sees_no_formula() {
        assert_eq!(for_spreadsheet("=1+2"), "'=1+2");
        assert_eq!(for_spreadsheet("+0.9 V"), "'+0.9 V");
        assert_eq!(for_spreadsheet("22 µF"), "22 µF");
    }
}
