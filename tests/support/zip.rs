//! A zip archive with its entries stored as they are, so that a test can vary what a reader of
//! spreadsheets sees behind compression and checksums (PKWARE APPNOTE 4.3).

/// The archive of these files.
#[must_use]
pub fn stored(files: &[(&str, &[u8])]) -> Vec<u8> {
    let mut out = Vec::new();
    let mut directory = Vec::new();
    for (name, bytes) in files {
        let at = u32::try_from(out.len()).expect("a small archive");
        let mut common = Vec::new();
        common.extend(20_u16.to_le_bytes());
        // Flags, method (stored), time and date (1980-01-01).
        common.extend([0, 0, 0, 0, 0, 0, 0x21, 0]);
        common.extend(crc32(bytes).to_le_bytes());
        let size = u32::try_from(bytes.len()).expect("a small file");
        common.extend(size.to_le_bytes());
        common.extend(size.to_le_bytes());
        common.extend(u16::try_from(name.len()).expect("a short name").to_le_bytes());
        common.extend([0, 0]);
        out.extend(b"PK\x03\x04");
        out.extend(&common);
        out.extend(name.as_bytes());
        out.extend(*bytes);
        directory.extend(b"PK\x01\x02\x14\x00");
        directory.extend(&common);
        // Comment, disk, attributes.
        directory.extend([0; 10]);
        directory.extend(at.to_le_bytes());
        directory.extend(name.as_bytes());
    }
    let count = u16::try_from(files.len()).expect("few files").to_le_bytes();
    let at = u32::try_from(out.len()).expect("a small archive").to_le_bytes();
    let size = u32::try_from(directory.len()).expect("a small archive").to_le_bytes();
    out.extend(directory);
    out.extend(b"PK\x05\x06\0\0\0\0");
    out.extend(count.iter().chain(&count).chain(&size).chain(&at));
    out.extend([0, 0]);
    out
}

/// CRC-32 of ISO 3309 as zip uses it.
fn crc32(bytes: &[u8]) -> u32 {
    let mut crc = u32::MAX;
    for byte in bytes {
        crc ^= u32::from(*byte);
        for _ in 0..8 {
            crc = if crc & 1 == 1 { (crc >> 1) ^ 0xedb8_8320 } else { crc >> 1 };
        }
    }
    !crc
}
