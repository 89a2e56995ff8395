//! Faults: each points inside the text that it is about, and is shown safely.

use capjob::input::Faults;

/// Checks every fault of a run over these files.
pub fn check_faults(faults: &Faults, files: &[(&str, &[u8])]) {
    assert!(!faults.is_empty());
    assert!(faults.len() >= faults.iter().count());
    assert_eq!(faults.by_kind().values().sum::<usize>(), faults.len());
    for fault in faults.iter() {
        let file = files.iter().find(|(name, _)| *name == fault.file);
        let (name, bytes) = file.unwrap_or_else(|| panic!("no file of that name: {fault:?}"));
        assert!(fault.line >= 1 && fault.column >= 1, "{fault:?}");
        assert!(!fault.message.is_empty() && fault.help.as_ref().is_some_and(|h| !h.is_empty()), "{fault:?}");
        assert!(fault.caret <= fault.text.chars().count(), "{fault:?}");
        shown(&fault.to_string());
        let sheet = name.ends_with(".xlsx") || name.ends_with(".ods");
        if !sheet {
            inside(fault, &lines_of(name, bytes), std::str::from_utf8(bytes).is_ok());
        }
    }
    shown(&faults.to_string());
}

/// The text of a file with one kind of line end; in TOML a CR alone is none.
fn lines_of(name: &str, bytes: &[u8]) -> String {
    let text = text_of(bytes).replace("\r\n", "\n");
    if name.ends_with(".toml") { text } else { text.replace('\r', "\n") }
}

/// A fault of a text file stands on a line that the file has, and its text stands there.
fn inside(fault: &capjob::input::Fault, text: &str, is_utf8: bool) {
    let lines = text.split('\n').count();
    assert!(fault.line <= lines, "line {} of {lines}: {fault:?}", fault.line);
    if fault.text.is_empty() {
        return;
    }
    assert_eq!(fault.column, fault.caret + 1, "{fault:?}");
    // A record that is no UTF-8 is read as Windows-1252 by itself: only the place is checked there.
    if is_utf8 {
        let begin = text.split_inclusive('\n').take(fault.line - 1).map(str::len).sum();
        let there = text.get(begin..).unwrap_or_default();
        assert!(there.starts_with(&fault.text), "line {} is {there:?}: {fault:?}", fault.line);
    }
}

/// The text of a file, roughly as the reader takes it.
fn text_of(bytes: &[u8]) -> String {
    let wide = |order: fn([u8; 2]) -> u16| {
        let units = bytes.chunks_exact(2).map(|pair| order([pair[0], pair[1]]));
        char::decode_utf16(units.skip(1)).map(|c| c.unwrap_or('\u{fffd}')).collect()
    };
    match bytes {
        [0xff, 0xfe, ..] => wide(u16::from_le_bytes),
        [0xfe, 0xff, ..] => wide(u16::from_be_bytes),
        [0xef, 0xbb, 0xbf, rest @ ..] => String::from_utf8_lossy(rest).into_owned(),
        _ => String::from_utf8_lossy(bytes).into_owned(),
    }
}

/// Notes begin with the name of their file, and with a line of it where they are of one line.
pub fn check_notes(notes: &[String], files: &[(&str, &[u8])]) {
    for note in notes {
        let of = |(name, bytes): &(&str, &[u8])| {
            let Some(rest) = note.strip_prefix(name).and_then(|rest| rest.strip_prefix(':')) else { return false };
            let lines = text_of(bytes).split(['\n', '\r']).count();
            let line = rest.split_once(": ").and_then(|(line, _)| line.parse::<usize>().ok());
            rest.starts_with(' ') || line.is_some_and(|line| (1..=lines).contains(&line))
        };
        assert!(files.iter().any(of), "{note}");
    }
}

/// What is sent to a screen has no control character but the line feed.
pub fn shown(text: &str) {
    let bad = text.chars().find(|c| c.is_control() && *c != '\n');
    assert_eq!(bad, None, "{text:?}");
}
