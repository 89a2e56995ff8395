//! Where the cells of a record begin in its raw text, for the caret of a fault.

/// The cells of a record's raw text.
pub(super) struct Split {
    /// For each cell the character at which it begins, blanks skipped, from 0.
    pub(super) begins: Vec<usize>,
    /// The character of a quote that is never closed.
    pub(super) open_quote: Option<usize>,
}

/// Finds the beginnings of the cells. Quotes count only at the beginning of a cell, as in RFC 4180.
pub(super) fn split(raw: &str, delimiter: char) -> Split {
    let mut begins = Vec::new();
    let mut begin = Some(0);
    let mut quote: Option<usize> = None;
    let mut at = 0;
    let mut chars = raw.chars().peekable();
    while let Some(c) = chars.next() {
        if quote.is_some() {
            if c == '"' && chars.peek() == Some(&'"') {
                chars.next();
                at += 1;
            } else if c == '"' {
                quote = None;
            }
        } else if c == delimiter {
            begins.extend(begin);
            begin = Some(at + 1);
        } else if c == '"' && begin == Some(at) {
            begins.push(at);
            begin = None;
            quote = Some(at);
        } else if !c.is_whitespace() {
            begins.extend(begin);
            begin = None;
        } else if begin.is_some() {
            begin = Some(at + 1);
        }
        at += 1;
    }
    begins.extend(begin);
    Split { begins, open_quote: quote }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_begin_at_their_first_character() {
        for (raw, begins) in [
            ("a,b,c", vec![0, 2, 4]),
            ("a, b,,c", vec![0, 3, 5, 6]),
            ("\"a,b\",c", vec![0, 6]),
            ("\"a\"\"b\",c", vec![0, 7]),
            ("µF,½W,x", vec![0, 3, 6]),
            ("a,\"b\nc\",d", vec![0, 2, 8]),
            ("", vec![0]),
            ("3\" dia,x", vec![0, 7]),
        ] {
            assert_eq!(split(raw, ',').begins, begins, "{raw}");
        }
    }

    #[test]
    fn an_open_quote_is_found() {
        assert_eq!(split("a,\"b,c\nd", ',').open_quote, Some(2));
        assert_eq!(split("a,b\",c", ',').open_quote, None);
    }
}
