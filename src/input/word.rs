//! Words of the model's enums, with the nearest known one for a misspelt word.

use crate::model::chassis::{Circuit, Earth, Iron, OwnerWish, Polarity, Policy, RectifierKind, SupplyKind};
use crate::model::kind::{MainsClass, PartKind, Place, Sight, Style, Wish};
use crate::model::shop::WordSet;
use crate::units::parse::nearest;

/// An enum that is written as a word.
pub(super) trait Word: Copy + 'static {
    /// Every value.
    const VALUES: &'static [Self];

    /// The word of a value.
    fn spelt(self) -> &'static str;

    /// The value of a word.
    fn read(text: &str) -> Option<Self>;
}

/// Lends the words of the model's enums to the trait.
macro_rules! lend {
    ($($name:ident),+ $(,)?) => {
        $(impl Word for $name {
            const VALUES: &'static [Self] = Self::ALL;

            fn spelt(self) -> &'static str {
                self.word()
            }

            fn read(text: &str) -> Option<Self> {
                Self::from_word(text)
            }
        })+
    };
}

lend!(
    Circuit,
    Earth,
    Iron,
    OwnerWish,
    Polarity,
    Policy,
    RectifierKind,
    SupplyKind,
    MainsClass,
    PartKind,
    Place,
    Sight,
    Style,
    Wish,
    WordSet,
);

/// How to mend an unknown word: the nearest known one, else all of them.
pub(super) fn mend(text: &str, known: &[&str]) -> String {
    match nearest(text, known) {
        Some(word) => format!("the nearest known is '{word}'"),
        None => format!("accepted: {}", known.join(", ")),
    }
}

/// How to mend a word that is none of an enum's.
pub(super) fn mend_word<W: Word>(text: &str) -> String {
    let known: Vec<&str> = W::VALUES.iter().map(|value| value.spelt()).collect();
    mend(text, &known)
}

/// `yes` and `no` and their like; `None` for anything else.
pub(super) fn yes_no(text: &str) -> Option<bool> {
    match text.trim().to_lowercase().as_str() {
        "yes" | "y" | "true" | "1" => Some(true),
        "no" | "n" | "false" | "0" => Some(false),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn misspelt_words_name_the_nearest() {
        assert_eq!(mend_word::<PartKind>("electrolitic"), "the nearest known is 'electrolytic'");
        assert_eq!(mend_word::<Earth>("gizmo"), "accepted: three-core, two-core, unknown");
    }
}
