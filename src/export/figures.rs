//! Figures and their units stay on one line.

/// A space at which no line is broken.
const UNBROKEN: char = '\u{a0}';

/// Whether a word behind a figure is its unit, stops and brackets left aside.
pub(super) fn is_unit(word: &str) -> bool {
    let word = word.trim_end_matches([',', ';', '.', ')', ':']);
    matches!(
        word,
        "V" | "mV"
            | "A"
            | "mA"
            | "µA"
            | "µV"
            | "mW"
            | "ohm"
            | "µF"
            | "nF"
            | "pF"
            | "k"
            | "R"
            | "M"
            | "W"
            | "H"
            | "J"
            | "°C"
            | "%"
            | "h"
            | "s"
            | "mm"
            | "m"
            | "min"
            | "Hz"
            | "kHz"
    )
}

/// The text with every figure held to the unit behind it.
pub(super) fn held_together(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut words = text.split(' ').peekable();
    while let Some(word) = words.next() {
        out.push_str(word);
        let figure = word.ends_with(|c: char| c.is_ascii_digit());
        match words.peek() {
            Some(next) if figure && is_unit(next) => out.push(UNBROKEN),
            Some(_) => out.push(' '),
            None => {}
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_units_are_held() {
        assert_eq!(
            held_together("22 µF, 500 V axial (0.5 W); C1 C2 5 parts"),
            "22\u{a0}µF, 500\u{a0}V axial (0.5\u{a0}W); C1 C2 5 parts"
        );
        assert_eq!(held_together("a  b "), "a  b ");
    }
}
