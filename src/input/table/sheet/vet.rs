//! The XML of a spreadsheet, looked through before its reader is given it.
//!
//! The reader trusts a file that is well formed and means well: it waits for ends of elements that
//! never come, sets memory aside for a count that the file states, and repeats cells as often as it is
//! told. So every element must be closed, the counts are taken out, and repetitions are added up.

/// Deepest nesting of elements.
const DEEPEST: usize = 200;
/// Most cells of the sheets of an OpenDocument file, those between and repeated ones included.
const MOST_CELLS: u64 = 2_000_000;
/// Most bytes of text that repeated cells and blanks may become.
const MOST_REPEATED: u64 = 64 * 1024 * 1024;

/// What may stand between the parts of a tag (XML 1.0, production 3).
const BLANKS: [char; 4] = [' ', '\t', '\r', '\n'];

/// One tag.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Tag<'x> {
    pub(super) name: &'x str,
    /// Everything after the name.
    attributes: &'x str,
    kind: TagKind,
    /// Byte where it begins.
    at: usize,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum TagKind {
    Open,
    Close,
    Empty,
}

/// Hands every tag of a document to `look`.
///
/// # Errors
/// In words, why it is not well formed; what `look` fails with.
fn walk(xml: &[u8], mut look: impl FnMut(Tag<'_>) -> Result<(), String>) -> Result<(), String> {
    let text = std::str::from_utf8(xml).map_err(|_other_encoding| "its XML is not UTF-8".to_owned())?;
    if xml.iter().any(|byte| *byte < 0x20 && !BLANKS.contains(&char::from(*byte))) {
        return Err("its XML holds characters that no XML has".to_owned());
    }
    let mut open: Vec<&str> = Vec::new();
    let mut at = 0;
    while let Some(begin) = text.get(at..).and_then(|rest| rest.find('<')).map(|found| at + found) {
        let rest = text.get(begin..).unwrap_or_default();
        let length = end_of(rest).ok_or("its XML breaks off within a tag")?;
        at = begin + length;
        if rest.starts_with("<!--") || rest.starts_with("<![CDATA[") {
            continue;
        }
        if rest.starts_with("<?") {
            other_encoding(rest.get(..length).unwrap_or_default())?;
            continue;
        }
        if rest.starts_with("<!") {
            return Err("its XML has a document type, which no spreadsheet needs".to_owned());
        }
        let tag = tag(rest.get(..length).unwrap_or_default(), begin);
        match tag.kind {
            TagKind::Open => open.push(tag.name),
            TagKind::Close if open.pop() != Some(tag.name) => return Err("its XML closes what is not open".to_owned()),
            TagKind::Close | TagKind::Empty => {}
        }
        if open.len() > DEEPEST {
            return Err("its XML is nested too deeply".to_owned());
        }
        look(tag)?;
    }
    if open.is_empty() { Ok(()) } else { Err("its XML breaks off".to_owned()) }
}

/// Where a piece of markup ends that begins with `<`.
fn end_of(rest: &str) -> Option<usize> {
    for (begin, end) in [("<!--", "-->"), ("<![CDATA[", "]]>"), ("<?", "?>")] {
        if rest.starts_with(begin) {
            let inner = rest.get(begin.len()..)?;
            return inner.find(end).map(|at| begin.len() + at + end.len());
        }
    }
    let mut quote = None;
    for (at, byte) in rest.bytes().enumerate().skip(1) {
        match (byte, quote) {
            (b'>', None) => return Some(at + 1),
            (b'<', None) => return None,
            (b'"' | b'\'', None) => quote = Some(byte),
            _ if quote == Some(byte) => quote = None,
            _ => {}
        }
    }
    None
}

/// A declaration that names another encoding than the bytes are in.
fn other_encoding(declaration: &str) -> Result<(), String> {
    let named = declaration.to_lowercase();
    let usual = !named.contains("encoding") || named.contains("utf-8");
    if usual { Ok(()) } else { Err("its XML says that it is not UTF-8".to_owned()) }
}

/// A tag taken apart; `markup` begins with `<` and ends with `>`.
fn tag(markup: &str, at: usize) -> Tag<'_> {
    let inner = markup.trim_start_matches('<').trim_end_matches('>');
    let (kind, inner) = match (inner.strip_prefix('/'), inner.strip_suffix('/')) {
        (Some(inner), _) => (TagKind::Close, inner),
        (None, Some(inner)) => (TagKind::Empty, inner),
        (None, None) => (TagKind::Open, inner),
    };
    // Behind the name of a closing tag there is nothing; whatever stands there is taken as part of it.
    let end = if kind == TagKind::Close {
        inner.trim_end_matches(BLANKS).len()
    } else {
        inner.find(BLANKS).unwrap_or(inner.len())
    };
    let (name, attributes) = inner.split_at(end);
    Tag { name, attributes, kind, at }
}

impl Tag<'_> {
    /// Every number that an attribute states; one that is no number, also as a reference, is refused.
    fn count(&self, attribute: &str) -> Result<u64, String> {
        let mut most = 1;
        for (at, _) in self.attributes.match_indices(attribute) {
            let value = self.attributes.get(at + attribute.len()..).unwrap_or_default();
            let value = value.trim_start_matches(|c| BLANKS.contains(&c) || c == '=');
            let digits = value.strip_prefix(['"', '\'']).unwrap_or_default();
            let digits = digits.get(..digits.find(['"', '\'']).unwrap_or(0)).unwrap_or_default();
            let number: Option<u64> = digits.parse().ok();
            most = most.max(number.ok_or_else(|| format!("its {attribute} is not a number"))?);
        }
        Ok(most)
    }
}

/// Looks through a part of an `.xlsx` file and takes out the counts that memory would be set aside for.
///
/// # Errors
/// Why it is not well formed.
pub(super) fn workbook_part(xml: &mut [u8]) -> Result<(), String> {
    const COUNT: &str = "uniqueCount";
    let mut counts = Vec::new();
    walk(xml, |tag| {
        if tag.name == "sst" || tag.name.ends_with(":sst") {
            let begin = tag.at + 1 + tag.name.len();
            counts.extend(tag.attributes.match_indices(COUNT).map(|(at, _)| begin + at));
        }
        Ok(())
    })?;
    for at in counts {
        // With a capital it is an attribute that nobody reads.
        if let Some(byte) = xml.get_mut(at) {
            *byte = b'U';
        }
    }
    Ok(())
}

/// Looks through the contents of an `.ods` file.
///
/// # Errors
/// Why it is not well formed, or that it repeats cells beyond all reason.
pub(super) fn open_document(xml: &[u8]) -> Result<(), String> {
    let mut sum = Sum::default();
    walk(xml, |tag| sum.take(tag))
}

/// What the cells of an OpenDocument file come to.
#[derive(Default)]
struct Sum {
    /// Cells of the present row up to the last that holds anything, and empty ones after it.
    row: u64,
    empty: u64,
    /// How often the present row stands there.
    times: u64,
    /// Rows of the present sheet up to the last that holds anything, and empty ones after it.
    rows: u64,
    empty_rows: u64,
    widest: u64,
    /// Cells of the sheets before this one, and of the rows of this one as they stand in the file.
    cells: u64,
    /// Where a cell that is repeated began, and how often.
    repeated: Option<(usize, u64)>,
    text: u64,
}

impl Sum {
    fn take(&mut self, tag: Tag<'_>) -> Result<(), String> {
        match (tag.name, tag.kind) {
            ("table:table-row", TagKind::Close) => self.end_row(),
            ("table:table-row", _) => {
                self.times = tag.count("number-rows-repeated")?;
                if tag.kind == TagKind::Empty {
                    self.end_row();
                }
            }
            ("table:table-cell" | "table:covered-table-cell", TagKind::Close) => self.end_cell(tag.at),
            ("table:table-cell" | "table:covered-table-cell", kind) => self.begin_cell(tag, kind)?,
            ("text:s", TagKind::Open | TagKind::Empty) => {
                let times = self.repeated.map_or(1, |(_, times)| times);
                self.text = self.text.saturating_add(tag.count("text:c")?.saturating_mul(times));
            }
            ("table:table", TagKind::Close) => {
                self.cells = self.cells.saturating_add(self.rows.saturating_mul(self.widest));
                (self.rows, self.empty_rows, self.widest) = (0, 0, 0);
            }
            _ => {}
        }
        let now = self.cells.saturating_add(self.rows.saturating_mul(self.widest)).saturating_add(self.row);
        if now > MOST_CELLS {
            return Err(format!("its cells lie far apart: together with those between them more than {MOST_CELLS}"));
        }
        if self.text > MOST_REPEATED {
            return Err("it repeats cells or blanks beyond all reason".to_owned());
        }
        Ok(())
    }

    fn begin_cell(&mut self, tag: Tag<'_>, kind: TagKind) -> Result<(), String> {
        let times = tag.count("number-columns-repeated")?;
        let holds = kind == TagKind::Open || tag.attributes.contains("value") || tag.attributes.contains("formula");
        if holds {
            self.row = self.row.saturating_add(self.empty).saturating_add(times);
            self.empty = 0;
            self.repeated = Some((tag.at, times));
            // Its attributes are repeated with it.
            self.text = self.text.saturating_add((tag.attributes.len() as u64).saturating_mul(times - 1));
        } else {
            self.empty = self.empty.saturating_add(times);
        }
        Ok(())
    }

    fn end_cell(&mut self, at: usize) {
        if let Some((begin, times)) = self.repeated.take() {
            self.text = self.text.saturating_add(((at - begin) as u64).saturating_mul(times - 1));
        }
    }

    fn end_row(&mut self) {
        if self.row > 0 {
            self.rows = self.rows.saturating_add(self.empty_rows).saturating_add(self.times);
            self.empty_rows = 0;
            self.widest = self.widest.max(self.row);
            self.cells = self.cells.saturating_add(self.row);
        } else {
            self.empty_rows = self.empty_rows.saturating_add(self.times);
        }
        (self.row, self.empty) = (0, 0);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sheet(rows: &str) -> Result<(), String> {
        open_document(
            format!("<?xml version=\"1.0\" encoding=\"UTF-8\"?><a><table:table>{rows}</table:table></a>").as_bytes(),
        )
    }

    #[test]
    fn what_is_not_well_formed_is_refused() {
        for xml in [
            "<a></a b>",
            "<a></a\r\0>",
            "<a\u{c}b></a>",
            "<a>",
            "<a></b>",
            "</a>",
            "<a b='>",
            "<a",
            "<a <b/>></a>",
            "<!DOCTYPE a><a/>",
            "<a><![CDATA[</a>",
        ] {
            assert!(open_document(xml.as_bytes()).is_err(), "{xml}");
        }
        for xml in [
            "",
            "<a/>",
            "<a b='>'/>",
            "<a><!-- <b> --></a>",
            "<a><![CDATA[<b>]]></a >",
            "\u{feff}<?xml version='1.0'?>\n<a:b c=\"d'\"></a:b>",
        ] {
            assert_eq!(open_document(xml.as_bytes()), Ok(()), "{xml}");
        }
        assert!(open_document(b"<?xml version='1.0' encoding='utf-16'?><a/>").is_err());
        assert!(open_document(b"<\0a\0/\0>\0").is_err() && open_document(b"<a>\xb5</a>").is_err());
    }

    #[test]
    fn the_empty_rest_of_a_sheet_counts_for_nothing() {
        let cell = "<table:table-cell office:value-type=\"string\"><text:p>C1</text:p></table:table-cell>";
        let rest = "<table:table-cell table:number-columns-repeated=\"16380\"/>";
        let row = format!("<table:table-row>{cell}{cell}{rest}</table:table-row>");
        let end = format!("<table:table-row table:number-rows-repeated=\"1048000\">{rest}</table:table-row>");
        assert_eq!(sheet(&format!("{}{end}", row.repeat(1_000))), Ok(()));
        // A cell far below counts with everything between, and so does one far to the right.
        assert_eq!(sheet(&format!("{row}{end}{row}").replace("1048000", "10000")), Ok(()));
        assert!(sheet(&format!("{row}{end}{row}")).is_err());
        assert!(sheet(&format!("<table:table-row>{cell}{rest}{cell}</table:table-row>").repeat(1_000)).is_err());
    }

    #[test]
    fn repetitions_are_bounded() {
        for rows in [
            "<table:table-row table:number-rows-repeated=\"1000000\"><table:table-cell table:number-columns-repeated=\"99\" office:value=\"1\"/></table:table-row>",
            "<table:table-row><table:table-cell office:value-type=\"string\"><text:p><text:s text:c=\"999999999999\"/></text:p></table:table-cell></table:table-row>",
            "<table:table-row><table:table-cell table:number-columns-repeated=\"&#57;999999\" office:value=\"1\"/></table:table-row>",
            "<table:table-row><table:table-cell table:number-columns-repeated = '99999999999' office:value=\"1\"/></table:table-row>",
            "<table:table-row><table:table-cell table:number-columns-repeated=\"1\" table:number-columns-repeated=\"9999999\" office:value=\"1\"/></table:table-row>",
        ] {
            assert!(sheet(rows).is_err(), "{rows}");
        }
        let long = "x".repeat(100_000);
        let row = format!(
            "<table:table-row><table:table-cell table:number-columns-repeated=\"1000\" office:value-type=\"string\"><text:p>{long}</text:p></table:table-cell></table:table-row>"
        );
        assert!(sheet(&row).is_err());
    }

    #[test]
    fn the_count_of_texts_is_taken_out() {
        let mut xml = b"<x:sst a='>' uniqueCount=\"99999999999999\"><si><t>uniqueCount</t></si></x:sst>".to_vec();
        workbook_part(&mut xml).unwrap();
        let text = String::from_utf8(xml).unwrap();
        assert_eq!(text, "<x:sst a='>' UniqueCount=\"99999999999999\"><si><t>uniqueCount</t></si></x:sst>");
    }
}
