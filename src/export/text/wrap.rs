//! Breaking lines between words, never between a figure and its unit.

use super::Setting;
use crate::export::figures::is_unit;
use crate::export::safe::for_terminal;

/// Running text is no wider than this: longer lines are hard to follow back.
pub(super) const MEASURE: usize = 110;

pub(super) fn line(out: &mut String, text: &str) {
    out.push_str(text.trim_end());
    out.push('\n');
}

pub(super) fn width_of(text: &str) -> usize {
    text.chars().count()
}

/// A paragraph between words, the first line with `first` before it, the others with `rest`.
pub(super) fn wrapped(out: &mut String, first: &str, rest: &str, text: &str, setting: Setting) {
    for l in wrap(&for_terminal(text), first, rest, setting.width) {
        line(out, &l);
    }
}

/// Breaks between words; a word longer than the line stands whole on a line of its own.
pub(super) fn wrap(text: &str, first: &str, rest: &str, width: Option<usize>) -> Vec<String> {
    let Some(width) = width else { return vec![format!("{first}{text}")] };
    let width = width.min(width_of(rest) + MEASURE);
    let mut lines = Vec::new();
    let mut current = first.to_owned();
    let mut empty = true;
    for word in unbroken(text) {
        if !empty && width_of(&current) + 1 + width_of(&word) > width {
            lines.push(std::mem::replace(&mut current, rest.to_owned()));
            empty = true;
        }
        if !empty {
            current.push(' ');
        }
        current.push_str(&word);
        empty = false;
    }
    lines.push(current);
    lines
}

/// The words of a text, a figure kept together with the unit behind it.
pub(super) fn unbroken(text: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match words.last_mut() {
            Some(last) if is_unit(word) && last.ends_with(|c: char| c.is_ascii_digit()) => {
                last.push(' ');
                last.push_str(word);
            }
            _ => words.push(word.to_owned()),
        }
    }
    words
}
