//! Finding bytes, and one kind of line end.

/// The place of a byte from `from` on.
pub(super) fn find(bytes: &[u8], from: usize, byte: u8) -> Option<usize> {
    memchr::memchr(byte, bytes.get(from..)?).map(|place| from + place)
}

/// Turns CR LF and CR into LF in place; gives how many bytes are left. `after_cr` tells whether the
/// byte before was a carriage return, and is told so again.
pub(in crate::input) fn unify(bytes: &mut [u8], after_cr: &mut bool) -> usize {
    if !*after_cr && memchr::memchr(b'\r', bytes).is_none() {
        return bytes.len();
    }
    let mut kept = 0;
    for from in 0..bytes.len() {
        let Some(byte) = bytes.get(from).copied() else { break };
        let second_half = byte == b'\n' && *after_cr;
        *after_cr = byte == b'\r';
        if let (false, Some(slot)) = (second_half, bytes.get_mut(kept)) {
            *slot = if byte == b'\r' { b'\n' } else { byte };
            kept += 1;
        }
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_from_a_place_on() {
        let mut bytes = vec![b'x'; 1000];
        assert_eq!(find(&bytes, 0, b'"'), None);
        bytes[700] = b'"';
        assert_eq!(
            (find(&bytes, 3, b'"'), find(&bytes, 700, b'"'), find(&bytes, 701, b'"')),
            (Some(700), Some(700), None)
        );
        assert_eq!(find(&bytes, 2000, b'"'), None);
    }
}
