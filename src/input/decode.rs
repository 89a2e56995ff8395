//! Bytes to text: UTF-8, UTF-16 with its mark, else Windows-1252.

use std::io::{self, Chain, Cursor, Read};

use encoding_rs::WINDOWS_1252;
use encoding_rs_io::{DecodeReaderBytes, DecodeReaderBytesBuilder};

use super::sniff::{FileKind, file_kind};

/// UTF-8's mark at the beginning of a file.
const MARK: &[u8] = b"\xef\xbb\xbf";

/// A piece of a file as text; the second is whether it had to be read as Windows-1252.
pub(super) fn text_of(bytes: &[u8]) -> (String, bool) {
    match std::str::from_utf8(bytes) {
        Ok(text) => (text.to_owned(), false),
        Err(_not_utf8) => (WINDOWS_1252.decode_without_bom_handling(bytes).0.into_owned(), true),
    }
}

/// A whole file as text without its mark; the second is whether it had to be read as Windows-1252.
pub(super) fn whole_text(bytes: &[u8]) -> (String, bool) {
    match file_kind(bytes) {
        FileKind::Utf16Little => (encoding_rs::UTF_16LE.decode(bytes).0.into_owned(), false),
        FileKind::Utf16Big => (encoding_rs::UTF_16BE.decode(bytes).0.into_owned(), false),
        _ => text_of(bytes.strip_prefix(MARK).unwrap_or(bytes)),
    }
}

/// A file whose beginning was looked at: the beginning again, then the rest.
pub(super) type Again<R> = Chain<Cursor<Vec<u8>>, Decoded<R>>;
/// The beginning of a file and what follows it.
type Rest<R> = Chain<Cursor<Vec<u8>>, R>;

/// A file as bytes without mark, turned to UTF-8 where it is UTF-16. Windows-1252 passes as it
/// is: the table decodes it record by record, so that records that are not used cost nothing.
pub(super) enum Decoded<R: Read> {
    /// UTF-8 or an 8-bit encoding.
    Plain(Rest<R>),
    /// UTF-16.
    Wide(Box<DecodeReaderBytes<Rest<R>, Vec<u8>>>),
}

impl<R: Read> Decoded<R> {
    /// From the bytes already read and the rest.
    pub(super) fn new(mut head: Vec<u8>, rest: R) -> Self {
        if matches!(file_kind(&head), FileKind::Utf16Little | FileKind::Utf16Big) {
            let chained = Cursor::new(head).chain(rest);
            // The decoder finds the byte order from the mark and takes it off.
            return Self::Wide(Box::new(DecodeReaderBytesBuilder::new().build(chained)));
        }
        if head.starts_with(MARK) {
            head.drain(..MARK.len());
        }
        Self::Plain(Cursor::new(head).chain(rest))
    }

    /// The same file again from `sample`, which was read from it.
    pub(super) fn after(self, sample: Vec<u8>) -> Again<R> {
        Cursor::new(sample).chain(self)
    }
}

impl<R: Read> Read for Decoded<R> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        match self {
            Self::Plain(source) => source.read(buffer),
            Self::Wide(source) => source.read(buffer),
        }
    }
}

/// Reads until `most` bytes are there or the source ends.
///
/// # Errors
/// Those of the source.
pub(super) fn head_of<R: Read>(source: &mut R, most: u64) -> io::Result<Vec<u8>> {
    let mut head = Vec::new();
    source.by_ref().take(most).read_to_end(&mut head)?;
    Ok(head)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn utf16(text: &str, big: bool) -> Vec<u8> {
        let units = std::iter::once(0xfeff).chain(text.encode_utf16());
        units.flat_map(|u: u16| if big { u.to_be_bytes() } else { u.to_le_bytes() }).collect()
    }

    // 0xB5, 0xBD and 0xB1 are µ, ½ and ± in Windows-1252 (WHATWG Encoding Standard, index).
    #[test]
    fn every_encoding_gives_the_same_text() {
        let text = "22 µF ±20% ½W";
        for bytes in [
            text.as_bytes().to_vec(),
            [MARK, text.as_bytes()].concat(),
            utf16(text, false),
            utf16(text, true),
            b"22 \xb5F \xb120% \xbdW".to_vec(),
        ] {
            assert_eq!(whole_text(&bytes).0, text);
            let mut read = Vec::new();
            let mut rest = bytes.as_slice();
            let head = head_of(&mut rest, 4).unwrap();
            Decoded::new(head, rest).read_to_end(&mut read).unwrap();
            assert_eq!(text_of(&read).0, text);
        }
    }
}
