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
const fn is_harmful(c: char) -> bool {
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

#[cfg(test)]
mod tests {
    use super::*;

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
