//! DEFLATE (RFC 1951), stopped at a bound: how much an archive unpacks to is known before anything
//! else is given its contents.

use super::archive::Trouble;

/// The order in which the lengths of the code for lengths stand (RFC 1951, 3.2.7).
const ORDER: [usize; 19] = [16, 17, 18, 0, 8, 7, 9, 6, 10, 5, 11, 4, 12, 3, 13, 2, 14, 1, 15];
/// Base and extra bits of the lengths 257 to 285 (RFC 1951, 3.2.5).
const LENGTHS: [(usize, u32); 29] = [
    (3, 0),
    (4, 0),
    (5, 0),
    (6, 0),
    (7, 0),
    (8, 0),
    (9, 0),
    (10, 0),
    (11, 1),
    (13, 1),
    (15, 1),
    (17, 1),
    (19, 2),
    (23, 2),
    (27, 2),
    (31, 2),
    (35, 3),
    (43, 3),
    (51, 3),
    (59, 3),
    (67, 4),
    (83, 4),
    (99, 4),
    (115, 4),
    (131, 5),
    (163, 5),
    (195, 5),
    (227, 5),
    (258, 0),
];

/// Base and extra bits of a distance: 1, 2, 3, 4, then two for each number of extra bits.
fn distance(symbol: u16) -> Option<(usize, u32)> {
    match u32::from(symbol) {
        symbol @ 0..=3 => Some((symbol as usize + 1, 0)),
        symbol @ 4..=29 => {
            let extra = symbol / 2 - 1;
            Some((((2 + (symbol as usize & 1)) << extra) + 1, extra))
        }
        _ => None,
    }
}

/// Unpacks to at most `most` bytes.
pub(super) fn inflate(packed: &[u8], most: usize) -> Result<Vec<u8>, Trouble> {
    let mut bits = Bits { bytes: packed, at: 0, held: 0, count: 0 };
    let mut out = Vec::new();
    loop {
        let last = bits.take(1)? == 1;
        match bits.take(2)? {
            0 => stored(&mut bits, &mut out, most)?,
            1 => {
                let (literals, distances) = fixed()?;
                block(&mut bits, &mut out, (&literals, &distances), most)?;
            }
            2 => {
                let (literals, distances) = dynamic(&mut bits)?;
                block(&mut bits, &mut out, (&literals, &distances), most)?;
            }
            _ => return Err(Trouble::Broken),
        }
        if last {
            return Ok(out);
        }
    }
}

/// Bits, the lowest of a byte first.
struct Bits<'b> {
    bytes: &'b [u8],
    at: usize,
    held: u32,
    count: u32,
}

impl Bits<'_> {
    fn take(&mut self, count: u32) -> Result<usize, Trouble> {
        while self.count < count {
            let byte = self.bytes.get(self.at).ok_or(Trouble::Broken)?;
            self.held |= u32::from(*byte) << self.count;
            self.at += 1;
            self.count += 8;
        }
        let value = self.held & ((1 << count) - 1);
        self.held >>= count;
        self.count -= count;
        Ok(value as usize)
    }
}

/// A Huffman code: how many symbols have each length, and the symbols in order (RFC 1951, 3.2.2).
struct Code {
    counts: [u16; 16],
    symbols: Vec<u16>,
}

impl Code {
    fn of(lengths: &[u8]) -> Result<Self, Trouble> {
        let mut counts = [0_u16; 16];
        let mut symbols: Vec<(u8, u16)> = Vec::new();
        for (symbol, length) in (0_u16..).zip(lengths).filter(|(_, length)| **length > 0) {
            *counts.get_mut(usize::from(*length)).ok_or(Trouble::Broken)? += 1;
            symbols.push((*length, symbol));
        }
        // More codes than there is room for would have two readings.
        let room = counts.iter().skip(1).try_fold(1_i32, |room, count| {
            let left = room * 2 - i32::from(*count);
            (left >= 0).then_some(left)
        });
        room.ok_or(Trouble::Broken)?;
        symbols.sort_unstable();
        Ok(Self { counts, symbols: symbols.into_iter().map(|(_, symbol)| symbol).collect() })
    }

    fn read(&self, bits: &mut Bits<'_>) -> Result<u16, Trouble> {
        let (mut code, mut first, mut index) = (0_usize, 0_usize, 0_usize);
        for count in self.counts.iter().skip(1).map(|count| usize::from(*count)) {
            code |= bits.take(1)?;
            if code < first + count {
                return self.symbols.get(index + code - first).copied().ok_or(Trouble::Broken);
            }
            index += count;
            first = (first + count) << 1;
            code <<= 1;
        }
        Err(Trouble::Broken)
    }
}

/// The codes that need not be sent (RFC 1951, 3.2.6).
fn fixed() -> Result<(Code, Code), Trouble> {
    let literals: Vec<u8> =
        [(144, 8), (112, 9), (24, 7), (8, 8)].into_iter().flat_map(|(n, length)| vec![length; n]).collect();
    Ok((Code::of(&literals)?, Code::of(&[5; 30])?))
}

/// The codes at the beginning of a block (RFC 1951, 3.2.7).
fn dynamic(bits: &mut Bits<'_>) -> Result<(Code, Code), Trouble> {
    let (literals, distances, used) = (bits.take(5)? + 257, bits.take(5)? + 1, bits.take(4)? + 4);
    let mut lengths = [0_u8; 19];
    for place in ORDER.iter().take(used) {
        let length = u8::try_from(bits.take(3)?).map_err(|_three_bits| Trouble::Broken)?;
        *lengths.get_mut(*place).ok_or(Trouble::Broken)? = length;
    }
    let code = Code::of(&lengths)?;
    let mut lengths: Vec<u8> = Vec::new();
    while lengths.len() < literals + distances {
        let (length, times) = match code.read(bits)? {
            16 => (*lengths.last().ok_or(Trouble::Broken)?, 3 + bits.take(2)?),
            17 => (0, 3 + bits.take(3)?),
            18 => (0, 11 + bits.take(7)?),
            length => (u8::try_from(length).map_err(|_below_16| Trouble::Broken)?, 1),
        };
        lengths.extend(std::iter::repeat_n(length, times));
    }
    let (first, rest) = lengths.split_at_checked(literals).ok_or(Trouble::Broken)?;
    let rest = rest.get(..distances).filter(|all| all.len() == rest.len()).ok_or(Trouble::Broken)?;
    Ok((Code::of(first)?, Code::of(rest)?))
}

fn stored(bits: &mut Bits<'_>, out: &mut Vec<u8>, most: usize) -> Result<(), Trouble> {
    // The rest of the byte is not used; whole bytes that were taken already are given back.
    bits.at -= (bits.count / 8) as usize;
    (bits.held, bits.count) = (0, 0);
    let (length, check) = (bits.take(16)?, bits.take(16)?);
    if length != !check & 0xffff {
        return Err(Trouble::Broken);
    }
    let piece = bits.bytes.get(bits.at..bits.at + length).ok_or(Trouble::Broken)?;
    bits.at += length;
    if out.len() + length > most {
        return Err(Trouble::TooLarge);
    }
    out.extend_from_slice(piece);
    Ok(())
}

fn block(bits: &mut Bits<'_>, out: &mut Vec<u8>, codes: (&Code, &Code), most: usize) -> Result<(), Trouble> {
    loop {
        let symbol = codes.0.read(bits)?;
        if out.len() + 258 > most {
            return Err(Trouble::TooLarge);
        }
        if let Ok(byte) = u8::try_from(symbol) {
            out.push(byte);
            continue;
        }
        if symbol == 256 {
            return Ok(());
        }
        let (base, extra) = LENGTHS.get(usize::from(symbol) - 257).ok_or(Trouble::Broken)?;
        let length = base + bits.take(*extra)?;
        let (base, extra) = distance(codes.1.read(bits)?).ok_or(Trouble::Broken)?;
        let from = out.len().checked_sub(base + bits.take(extra)?).ok_or(Trouble::Broken)?;
        for at in from..from + length {
            let byte = out.get(at).copied().ok_or(Trouble::Broken)?;
            out.push(byte);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Packed by the zlib of another program (Python 3.11, `zlib.compressobj(wbits=-15)`), level 9 and level 0.
    #[test]
    fn what_another_program_packed_is_unpacked() {
        let text = "22uF 450V, ".repeat(40);
        let stored = [b"\x01\xb8\x01\x47\xfe", text.as_bytes()].concat();
        for packed in [FIXED, &stored] {
            assert_eq!(inflate(packed, 1_000).ok().as_deref(), Some(text.as_bytes()));
            assert!(matches!(inflate(packed, 300), Err(Trouble::TooLarge)));
            for end in 0..packed.len() {
                assert!(matches!(inflate(&packed[..end], 1_000), Err(Trouble::Broken)), "{end}");
            }
        }
    }

    const FIXED: &[u8] = b"\x33\x32\x2a\x75\x53\x30\x31\x35\x08\xd3\x51\x30\x1a\x65\x0e\x1d\x26\x00";

    #[test]
    fn a_block_with_its_own_codes_is_unpacked() {
        use std::fmt::Write as _;
        let mut text = String::new();
        for i in 0..60 {
            writeln!(text, "C{i},film,{}nF {}V", i * i * 7 % 1000, i * 37 % 630).unwrap();
        }
        assert_eq!(inflate(DYNAMIC, 2_000).ok().as_deref(), Some(text.as_bytes()));
    }

    const DYNAMIC: &[u8] = b"\
        \x55\xd3\x3b\x8e\x10\x30\x0c\x04\xd0\x9e\x53\x70\x80\x2d\xe2\xcf\xe4\x53\xaf\xc4\x11\x38\x02\x12\
        \x12\x70\xff\x92\xcc\xc4\x2e\xb6\xcc\x28\x4a\xfc\x1c\xe7\x73\x7c\xfc\xfa\xfd\xe7\xef\xc7\xf8\xf7\
        \xe3\xfb\xf8\xf9\xed\xd3\xde\x72\xdd\x65\xac\xbb\xf6\xb7\xf6\x7d\x83\x95\x37\x88\x17\xcc\xb8\x81\
        \x99\xdd\x24\x5f\x62\xe6\x8c\x72\xdf\x08\x15\x2d\x30\xda\xb8\xd1\xac\x83\xc0\x5d\xee\x7e\xa3\xf5\
        \xa2\x48\x9e\xe5\x38\x37\xda\x2f\xca\xe4\x7d\x7e\xe6\x8d\xce\x8b\x30\x55\x53\x04\x8b\xac\xa2\xd7\
        \x18\xaa\x53\x85\x57\xe5\x3b\xb9\x2f\x07\x8b\xb7\xaa\x9e\x87\x65\xb2\x7a\xab\xf2\x6d\xf3\xce\xdc\
        \xac\xdf\x0a\x10\x8b\xa5\xc1\x08\xb0\x12\x40\x02\x80\x02\x2b\xc2\x3a\xda\x77\x48\xb0\x32\x38\x8f\
        \x9b\x4e\x82\x95\xc1\x27\xaf\x0d\x12\xac\x0d\xce\xda\x16\x09\x5e\x84\x2d\x82\x19\x09\xde\x84\xa5\
        \x46\xaa\xfd\x25\x88\xbd\xd5\x49\x1a\x3c\x5a\xaf\xbe\x39\x0d\xde\x06\x75\x17\x24\x38\x9a\x05\xf5\
        \x92\x04\x6f\x82\xf6\x45\x90\xe0\x45\x30\x1d\x17\x93\x06\xef\x77\xd0\xb5\x39\x88\xf0\x42\x6c\x95\
        \x97\x49\x45\x94\x22\xa4\xc8\x4d\x45\xf4\x08\x09\x0b\x23\x23\x8a\x61\xea\x09\xa0\x41\xea\x49\x52\
        \xef\x70\xc8\x88\x62\xa8\xc3\xd3\xc9\x88\x2f\x2f\x11\x54\x44\x2b\xb8\x6b\xd1\x10\x65\x80\x9e\xd5\
        \x06\x0d\xb1\xdb\xa5\xd6\x25\x0d\x51\x86\xa9\x21\xb9\x43\xc0\xf1\x2d\x83\xcb\xe0\x4e\x43\xb6\x41\
        \x43\xe7\xa0\x21\xfb\x29\x6a\x36\x69\xc8\x32\x1c\x8d\x70\x84\xbe\x43\x19\xa0\x49\x8f\x49\x44\x7e\
        \xf9\x10\x39\xa8\xc8\x52\x6c\xfd\x9b\x4c\x3a\xb2\x1c\xa9\xef\x95\x8b\x8e\x6c\x87\xfe\x20\x8c\x8e\
        \xec\xb7\x18\xea\x31\xe8\x40\x39\x20\x07\x0e\x1d\xb0\xb6\x2d\x35\x94\x0e\x78\xf7\x58\xf3\x49\x06\
        \xfa\x29\x74\xed\xa2\x02\xa5\xc8\xf7\xab\x87\x7e\xf5\xd7\x6f\x9d\x54\xa0\x14\x47\x5a\xdb\x54\xa0\
        \x14\xeb\x7d\x6c\xa3\x02\xa5\xc0\xeb\x1e\xa8\x40\x29\xe2\x75\xf9\x5c\xc5\x7f";

    proptest::proptest! {
        #[test]
        fn any_bytes_end_within_the_bound(bytes in proptest::collection::vec(proptest::num::u8::ANY, 0..200)) {
            if let Ok(out) = inflate(&bytes, 5_000) {
                proptest::prop_assert!(out.len() <= 5_000);
            }
        }
    }
}
