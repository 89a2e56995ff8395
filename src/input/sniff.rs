//! What kind of file some bytes are, and the messages for files that cannot be read at all.

use std::io::ErrorKind;

use super::fault::{Fault, FaultKind};

/// What the first bytes of a file say that it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FileKind {
    /// Nothing in it.
    Empty,
    /// Text as UTF-8 or an 8-bit encoding.
    Text,
    /// Text as UTF-16, little end first, with its mark.
    Utf16Little,
    /// Text as UTF-16, big end first, with its mark.
    Utf16Big,
    /// Probably UTF-16, but without the mark that says so.
    Utf16Unmarked,
    /// A zip archive, as `.xlsx` and `.ods` are.
    Zip,
    /// An old binary spreadsheet.
    OldSpreadsheet,
    /// A PDF document.
    Pdf,
    /// A web page.
    WebPage,
    /// Compressed by gzip.
    Gzip,
    /// Some other binary file.
    Binary,
}

/// Tells the kind of a file from its first bytes (at least a few hundred where it has as many).
pub fn file_kind(head: &[u8]) -> FileKind {
    match head {
        [] => FileKind::Empty,
        [0xff, 0xfe, ..] => FileKind::Utf16Little,
        [0xfe, 0xff, ..] => FileKind::Utf16Big,
        [b'P', b'K', 3..=8, 4..=8, ..] => FileKind::Zip,
        [0xd0, 0xcf, 0x11, 0xe0, ..] => FileKind::OldSpreadsheet,
        [b'%', b'P', b'D', b'F', ..] => FileKind::Pdf,
        [0x1f, 0x8b, ..] => FileKind::Gzip,
        _ if is_web_page(head) => FileKind::WebPage,
        _ => by_zeros(head),
    }
}

/// Whether the first mark-up is that of a page: HTML Living Standard 13.1.1 (doctype) and 13.1.2.
fn is_web_page(head: &[u8]) -> bool {
    let head = head.strip_prefix(b"\xef\xbb\xbf").unwrap_or(head).trim_ascii_start();
    let begins = |tag: &[u8]| head.get(..tag.len()).is_some_and(|h| h.eq_ignore_ascii_case(tag));
    begins(b"<!doctype html") || begins(b"<html")
}

/// Zero bytes stand at every other place in unmarked UTF-16 and never in text.
fn by_zeros(head: &[u8]) -> FileKind {
    let zeros = |from: usize| head.iter().skip(from).step_by(2).filter(|b| **b == 0).count();
    let (even, odd) = (zeros(0), zeros(1));
    let half = head.len() / 2;
    if even + odd == 0 {
        FileKind::Text
    } else if (even == 0 && odd * 10 > half * 6) || (odd == 0 && even * 10 > half * 6) {
        FileKind::Utf16Unmarked
    } else {
        FileKind::Binary
    }
}

/// Whether the name says that it is a spreadsheet.
pub(super) fn is_spreadsheet_name(file: &str) -> bool {
    let ends = |end: &str| {
        let from = file.len().saturating_sub(end.len());
        file.get(from..).is_some_and(|tail| tail.eq_ignore_ascii_case(end))
    };
    ends(".xlsx") || ends(".ods")
}

/// The fault of a file whose bytes are not the text due, or `None` for text.
pub(super) fn not_text(file: &str, head: &[u8]) -> Option<Fault> {
    let (message, help) = match file_kind(head) {
        FileKind::Text | FileKind::Utf16Little | FileKind::Utf16Big => return None,
        FileKind::Empty => {
            let help = "a table needs at least its line of headings; was the file saved?";
            return Some(Fault::of_file(file, FaultKind::EmptyFile, "the file is empty", help));
        }
        FileKind::Utf16Unmarked => {
            ("the file looks like UTF-16 without its byte order mark", "save it again as UTF-8 text")
        }
        FileKind::Zip => (
            "the file is a spreadsheet or a zip archive, not text",
            "name it .xlsx or .ods if it is a spreadsheet, or save it again as CSV",
        ),
        FileKind::OldSpreadsheet => {
            ("the file is an old binary spreadsheet, not text", "save it again as .xlsx or CSV")
        }
        FileKind::Pdf => ("the file is a PDF document, not text", "ask for the list as a spreadsheet or CSV"),
        FileKind::WebPage => (
            "the file is a web page, not a table",
            "ask for the list as a spreadsheet or CSV; a page saved under another name stays a page",
        ),
        FileKind::Gzip => ("the file is compressed by gzip, not text", "unpack it first"),
        FileKind::Binary => ("the file holds bytes that no text has", "save it again as UTF-8 text"),
    };
    Some(Fault::of_file(file, FaultKind::WrongKind, message, help))
}

/// The fault of a file that the system would not give, from the kind of its error.
///
/// ```
/// use capjob::input::{FaultKind, unreadable};
/// let fault = unreadable("job/parts.csv", std::io::ErrorKind::NotFound);
/// assert_eq!(fault.kind, FaultKind::Missing);
/// ```
pub fn unreadable(file: &str, error: ErrorKind) -> Fault {
    let (kind, message, help) = match error {
        ErrorKind::NotFound => {
            (FaultKind::Missing, "there is no such file".to_owned(), "check the folder and the name, capitals included")
        }
        ErrorKind::IsADirectory => (
            FaultKind::Folder,
            "this is a folder where a file is due".to_owned(),
            "name the file, or move the folder out of the way",
        ),
        ErrorKind::PermissionDenied => {
            (FaultKind::Unreadable, "no permission to read the file".to_owned(), "give yourself read permission for it")
        }
        other => (FaultKind::Unreadable, format!("the file cannot be read: {other}"), "check the disk or the share"),
    };
    Fault::of_file(file, kind, message, help)
}

#[cfg(test)]
mod tests {
    use super::*;

    // File signatures: ISO/IEC 21320-1 (zip), ISO 32000-1 7.5.2 (PDF), RFC 1952 2.3.1 (gzip);
    // the compound file's is from memory ([MS-CFB] 2.2).
    #[test]
    fn every_wrong_kind_has_its_own_message() {
        let heads: [&[u8]; 8] = [
            b"",
            b"PK\x03\x04\x14\0",
            b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1",
            b"%PDF-1.7",
            b"\x1f\x8b\x08\0",
            b"\n<!DOCTYPE html><html><body>",
            b"r\0e\0f\0,\0p\0a\0",
            b"\x7fELF\x02\x01\x01\0\0\0\0\0\0",
        ];
        let messages: std::collections::BTreeSet<String> =
            heads.iter().map(|head| not_text("x.csv", head).unwrap().message).collect();
        assert_eq!(messages.len(), heads.len());
        assert_eq!(not_text("x.csv", b"ref,part\n"), None);
    }

    #[test]
    fn files_that_cannot_be_had() {
        for (error, kind) in [
            (ErrorKind::NotFound, FaultKind::Missing),
            (ErrorKind::IsADirectory, FaultKind::Folder),
            (ErrorKind::PermissionDenied, FaultKind::Unreadable),
            (ErrorKind::TimedOut, FaultKind::Unreadable),
        ] {
            assert_eq!(unreadable("x", error).kind, kind);
        }
    }
}
