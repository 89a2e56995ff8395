//! One input as several files: pieces, each after a line `=== name`.

/// Files by name.
pub struct Folder<'a>(Vec<(&'a str, &'a [u8])>);

impl<'a> Folder<'a> {
    /// Takes an input apart; what stands before the first `===` is dropped. Of two pieces with one
    /// name the first counts.
    pub fn new(input: &'a [u8]) -> Self {
        Self(pieces(input))
    }

    /// The bytes of a file, if the input has it.
    pub fn get(&self, name: &str) -> Option<&'a [u8]> {
        self.0.iter().find(|(n, _)| *n == name).map(|(_, bytes)| *bytes)
    }

    /// The bytes of a file, or what stands in for it.
    pub fn or(&self, name: &str, other: &'a str) -> &'a [u8] {
        self.get(name).unwrap_or(other.as_bytes())
    }
}

/// The named pieces of an input.
pub fn pieces(input: &[u8]) -> Vec<(&str, &[u8])> {
    let mut found: Vec<(&str, usize, usize)> = Vec::new();
    let mut at = 0;
    for line in input.split_inclusive(|b| *b == b'\n') {
        if let Some(name) = line.strip_prefix(b"=== ") {
            if let Some((_, _, end)) = found.last_mut() {
                *end = at;
            }
            let name = std::str::from_utf8(name).unwrap_or("?").trim();
            found.push((name, at + line.len(), input.len()));
        }
        at += line.len();
    }
    found.into_iter().map(|(name, from, to)| (name, &input[from..to])).collect()
}
