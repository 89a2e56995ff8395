//! The zip archive of a spreadsheet (PKWARE APPNOTE), unpacked within a bound and packed anew.
//!
//! Its reader is given an archive of our own with the same contents, stored as they are: what an
//! archive says of itself need not be believed then, and it cannot unpack to more than we have seen.

use super::inflate::inflate;

/// Why an archive cannot be used.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Trouble {
    /// It breaks its format.
    Broken,
    /// It unpacks to more than the bound.
    TooLarge,
    /// It needs a password.
    Locked,
}

/// One file of an archive.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Entry {
    pub(super) name: String,
    pub(super) bytes: Vec<u8>,
}

/// Most files looked at.
const MOST_ENTRIES: usize = 10_000;

/// Little-endian number of two or four bytes at a place.
fn number(bytes: &[u8], at: usize, size: usize) -> Result<usize, Trouble> {
    let piece = at.checked_add(size).and_then(|end| bytes.get(at..end)).ok_or(Trouble::Broken)?;
    Ok(piece.iter().rev().fold(0, |number, byte| number << 8 | usize::from(*byte)))
}

/// The wanted files of an archive, each name once, together at most `most` bytes.
pub(super) fn unpack(archive: &[u8], wanted: impl Fn(&str) -> bool, most: usize) -> Result<Vec<Entry>, Trouble> {
    let end = end_of_directory(archive)?;
    let (count, size, offset) =
        (number(archive, end + 10, 2)?, number(archive, end + 12, 4)?, number(archive, end + 16, 4)?);
    // Whatever stands before the archive moves every place in it.
    let base = end.checked_sub(size).and_then(|begin| begin.checked_sub(offset)).ok_or(Trouble::Broken)?;
    let mut at = base + offset;
    let mut entries: Vec<Entry> = Vec::new();
    let mut left = most;
    for _ in 0..count.min(MOST_ENTRIES) {
        if archive.get(at..).is_none_or(|rest| !rest.starts_with(b"PK\x01\x02")) {
            return Err(Trouble::Broken);
        }
        let lengths = [number(archive, at + 28, 2)?, number(archive, at + 30, 2)?, number(archive, at + 32, 2)?];
        let name = archive.get(at + 46..at + 46 + lengths[0]).ok_or(Trouble::Broken)?;
        let name = String::from_utf8_lossy(name).into_owned();
        if wanted(&name) && !entries.iter().any(|entry| entry.name == name) {
            let bytes = contents(archive, (at, base), left)?;
            left -= bytes.len();
            entries.push(Entry { name, bytes });
        }
        at += 46 + lengths.iter().sum::<usize>();
    }
    Ok(entries)
}

/// Where the record stands that ends the directory (APPNOTE 4.3.16); a comment may follow it.
fn end_of_directory(archive: &[u8]) -> Result<usize, Trouble> {
    let latest = archive.len().checked_sub(22).ok_or(Trouble::Broken)?;
    let earliest = latest.saturating_sub(0xffff);
    let found = (earliest..=latest).rev().find(|at| archive.get(*at..).is_some_and(|r| r.starts_with(b"PK\x05\x06")));
    found.ok_or(Trouble::Broken)
}

/// The contents of the file whose directory entry stands at a place.
fn contents(archive: &[u8], (at, base): (usize, usize), most: usize) -> Result<Vec<u8>, Trouble> {
    if number(archive, at + 8, 2)? & 1 == 1 {
        return Err(Trouble::Locked);
    }
    let [packed, local] = sizes(archive, at)?;
    let head = base.checked_add(local).ok_or(Trouble::Broken)?;
    if archive.get(head..).is_none_or(|rest| !rest.starts_with(b"PK\x03\x04")) {
        return Err(Trouble::Broken);
    }
    let begin = head + 30 + number(archive, head + 26, 2)? + number(archive, head + 28, 2)?;
    let piece = begin.checked_add(packed).and_then(|end| archive.get(begin..end)).ok_or(Trouble::Broken)?;
    let bytes = match number(archive, at + 10, 2)? {
        0 if piece.len() > most => return Err(Trouble::TooLarge),
        0 => piece.to_vec(),
        8 => inflate(piece, most)?,
        _ => return Err(Trouble::Broken),
    };
    if usize::try_from(crc32(&bytes)) == Ok(number(archive, at + 16, 4)?) { Ok(bytes) } else { Err(Trouble::Broken) }
}

/// Packed size and place of the local header, also from the extra field of large archives, which
/// holds those of unpacked size, packed size and place that are all ones (APPNOTE 4.5.3).
fn sizes(archive: &[u8], at: usize) -> Result<[usize; 2], Trouble> {
    const ONES: usize = 0xffff_ffff;
    let (name, extra) = (number(archive, at + 28, 2)?, number(archive, at + 30, 2)?);
    let mut field = at + 46 + name;
    let end = field + extra;
    let mut wide = None;
    while wide.is_none() && field + 4 <= end {
        wide = (number(archive, field, 2)? == 1).then_some(field + 4);
        field += 4 + number(archive, field + 2, 2)?;
    }
    let mut read = |place: usize| -> Result<usize, Trouble> {
        match (number(archive, at + place, 4)?, &mut wide) {
            (ONES, Some(next)) => {
                *next += 8;
                number(archive, *next - 8, 8)
            }
            (plain, _) => Ok(plain),
        }
    };
    read(24)?;
    Ok([read(20)?, read(42)?])
}

/// An archive of these files, stored as they are. Each is let go as soon as it is in, so that nothing large is held twice.
pub(super) fn pack(entries: Vec<Entry>) -> Vec<u8> {
    let mut out = Vec::with_capacity(entries.iter().map(|entry| entry.bytes.len() + 2 * entry.name.len() + 100).sum());
    let mut directory = Vec::new();
    // Sizes are bounded far below what four bytes can say.
    let four = |n: usize| u32::try_from(n).unwrap_or(u32::MAX).to_le_bytes();
    let two = |n: usize| u16::try_from(n).unwrap_or(u16::MAX).to_le_bytes();
    let count = two(entries.len());
    for Entry { name, bytes } in entries {
        let at = out.len();
        let mut common = Vec::new();
        // Version, flags, method, time, date (1980-01-01).
        common.extend([20, 0, 0, 0, 0, 0, 0, 0, 0x21, 0]);
        common.extend(crc32(&bytes).to_le_bytes());
        common.extend(four(bytes.len()));
        common.extend(four(bytes.len()));
        common.extend(two(name.len()));
        common.extend([0, 0]);
        out.extend(b"PK\x03\x04");
        out.extend(&common);
        out.extend(name.as_bytes());
        out.extend(bytes);
        directory.extend(b"PK\x01\x02\x14\x00");
        directory.extend(&common);
        directory.extend([0; 10]);
        directory.extend(four(at));
        directory.extend(name.as_bytes());
    }
    let (at, size) = (four(out.len()), four(directory.len()));
    out.extend(directory);
    out.extend(b"PK\x05\x06\0\0\0\0");
    out.extend(count.iter().chain(&count).chain(&size).chain(&at));
    out.extend([0, 0]);
    out
}

/// CRC-32 of ISO 3309, as zip uses it (APPNOTE 4.4.7).
fn crc32(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(u32::MAX, |crc, byte| {
        let index = ((crc ^ u32::from(*byte)) & 0xff) as usize;
        (crc >> 8) ^ TABLE.get(index).copied().unwrap_or(0)
    })
}

#[expect(clippy::indexing_slicing, clippy::cast_possible_truncation, reason = "worked out when compiled, 0 to 255")]
const TABLE: [u32; 256] = {
    let mut table = [0; 256];
    let mut n = 0;
    while n < 256 {
        let mut crc = n as u32;
        let mut bit = 0;
        while bit < 8 {
            crc = if crc & 1 == 1 { (crc >> 1) ^ 0xedb8_8320 } else { crc >> 1 };
            bit += 1;
        }
        table[n] = crc;
        n += 1;
    }
    table
};

#[cfg(test)]
mod tests {
    use super::*;

    const ODS: &[u8] = include_bytes!("../../tests/parts.ods");

    fn entries(archive: &[u8]) -> Result<Vec<(String, usize)>, Trouble> {
        let all = unpack(archive, |_| true, 1_000_000)?;
        Ok(all.into_iter().map(|entry| (entry.name, entry.bytes.len())).collect())
    }

    // The check value of CRC-32 for "123456789" is published in several catalogues of check sums; from memory.
    #[test]
    fn the_check_sum_is_the_usual_one() {
        assert_eq!(crc32(b"123456789"), 0xcbf4_3926);
    }

    // The sizes are those that `unzip -l` lists.
    #[test]
    fn a_packed_archive_is_unpacked() {
        let expected = [("mimetype", 46), ("META-INF/manifest.xml", 368), ("content.xml", 7821)];
        assert_eq!(entries(ODS).unwrap(), expected.map(|(name, size)| (name.to_owned(), size)));
        let before = [b"something before it".as_slice(), ODS].concat();
        assert_eq!(entries(&before).unwrap().len(), 3);
        assert_eq!(unpack(ODS, |_| true, 8_000), Err(Trouble::TooLarge));
        assert_eq!(unpack(ODS, |name| name == "mimetype", 46).unwrap().len(), 1);
    }

    #[test]
    fn what_is_packed_is_unpacked_as_the_same() {
        let all = || unpack(ODS, |_| true, 1_000_000).unwrap();
        assert_eq!(unpack(&pack(all()), |_| true, 1_000_000).unwrap(), all());
        assert_eq!(unpack(&pack(Vec::new()), |_| true, 0).unwrap(), []);
    }

    #[test]
    fn a_damaged_archive_is_told() {
        for at in 0..ODS.len() {
            let mut damaged = ODS.to_vec();
            damaged[at] ^= 0xff;
            // Whatever is read all the same is read right.
            if let Ok(found) = entries(&damaged) {
                assert!(found.iter().all(|(_, size)| [46, 368, 7821].contains(size)), "{at}");
            }
            assert!(entries(&ODS[..at]).is_err(), "{at}");
        }
    }
}
