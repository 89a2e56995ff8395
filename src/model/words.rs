//! One place where an enum and the words for it in the files are kept together.

/// Defines an enum whose variants have a word (written in the files and in machine output)
/// and further spellings that are read for it. Spellings are compared after
/// [`plain_word`](crate::model::words::plain_word).
macro_rules! words {
    ($(#[$doc:meta])* $name:ident { $($(#[$vdoc:meta])* $variant:ident = $word:literal $(| $other:literal)*),+ $(,)? }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum $name { $($(#[$vdoc])* $variant),+ }

        impl $name {
            /// Every value, in the order of the files' documentation.
            pub const ALL: &'static [Self] = &[$(Self::$variant),+];

            /// The word for it in files and machine output.
            pub const fn word(self) -> &'static str {
                match self { $(Self::$variant => $word),+ }
            }

            /// The value that a word stands for; `None` for an unknown word.
            pub fn from_word(text: &str) -> Option<Self> {
                match crate::model::words::plain_word(text).as_str() {
                    $($word $(| $other)* => Some(Self::$variant),)+
                    _ => None,
                }
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.pad(self.word())
            }
        }
    };
}
pub(crate) use words;

/// A word as it is compared: lower case, blanks and underscores as hyphens, no outer blanks.
pub fn plain_word(text: &str) -> String {
    let mut word = String::with_capacity(text.len());
    for part in text.split(|c: char| c.is_whitespace() || c == '_' || c == '-').filter(|p| !p.is_empty()) {
        if !word.is_empty() {
            word.push('-');
        }
        word.push_str(&part.to_lowercase());
    }
    word
}
