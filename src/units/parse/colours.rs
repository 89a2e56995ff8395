//! Colour bands of resistors (IEC 60062, public tables).

use super::tolerance::Tolerance;
use crate::units::Ohm;

/// The colour of a band.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Colour {
    /// 0.
    Black,
    /// 1; tolerance 1 %.
    Brown,
    /// 2; tolerance 2 %.
    Red,
    /// 3.
    Orange,
    /// 4.
    Yellow,
    /// 5; tolerance 0.5 %.
    Green,
    /// 6; tolerance 0.25 %.
    Blue,
    /// 7; tolerance 0.1 %.
    Violet,
    /// 8; tolerance 0.05 %.
    Grey,
    /// 9.
    White,
    /// Factor 0.1; tolerance 5 %.
    Gold,
    /// Factor 0.01; tolerance 10 %.
    Silver,
    /// No band (bare body): tolerance 20 %.
    None,
}

/// What colour bands say.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bands {
    /// Resistance.
    pub ohm: Ohm,
    /// Tolerance; 20 % both ways where there is no tolerance band.
    pub tolerance: Tolerance,
    /// Temperature coefficient in millionths per kelvin, from a sixth band.
    pub tempco_ppm_per_k: Option<f64>,
}

/// The colours in words, full or by their usual three letters.
const WORDS: [(&str, Colour); 30] = [
    ("black", Colour::Black),
    ("blk", Colour::Black),
    ("bk", Colour::Black),
    ("brown", Colour::Brown),
    ("brn", Colour::Brown),
    ("bro", Colour::Brown),
    ("red", Colour::Red),
    ("orange", Colour::Orange),
    ("org", Colour::Orange),
    ("orn", Colour::Orange),
    ("yellow", Colour::Yellow),
    ("yel", Colour::Yellow),
    ("green", Colour::Green),
    ("grn", Colour::Green),
    ("gre", Colour::Green),
    ("blue", Colour::Blue),
    ("blu", Colour::Blue),
    ("violet", Colour::Violet),
    ("vio", Colour::Violet),
    ("purple", Colour::Violet),
    ("grey", Colour::Grey),
    ("gray", Colour::Grey),
    ("gry", Colour::Grey),
    ("white", Colour::White),
    ("wht", Colour::White),
    ("whi", Colour::White),
    ("gold", Colour::Gold),
    ("gld", Colour::Gold),
    ("silver", Colour::Silver),
    ("none", Colour::None),
];

impl Colour {
    /// The colour of a word, any letter case.
    pub fn of_word(word: &str) -> Option<Self> {
        if ["sil", "slv", "slvr"].iter().any(|w| w.eq_ignore_ascii_case(word)) {
            return Some(Self::Silver);
        }
        WORDS.iter().find(|(known, _)| known.eq_ignore_ascii_case(word)).map(|(_, colour)| *colour)
    }

    /// The digit of a value band.
    fn digit(self) -> Option<u8> {
        match self {
            Self::Black => Some(0),
            Self::Brown => Some(1),
            Self::Red => Some(2),
            Self::Orange => Some(3),
            Self::Yellow => Some(4),
            Self::Green => Some(5),
            Self::Blue => Some(6),
            Self::Violet => Some(7),
            Self::Grey => Some(8),
            Self::White => Some(9),
            Self::Gold | Self::Silver | Self::None => None,
        }
    }

    /// `digits` times the power of ten of a multiplier band.
    fn multiply(self, digits: f64) -> Option<f64> {
        match self {
            Self::Gold => Some(digits / 10.0),
            Self::Silver => Some(digits / 100.0),
            other => other.digit().map(|n| digits * 10_f64.powi(i32::from(n))),
        }
    }

    /// The tolerance of a tolerance band, percent.
    fn tolerance_percent(self) -> Option<f64> {
        match self {
            Self::Brown => Some(1.0),
            Self::Red => Some(2.0),
            Self::Green => Some(0.5),
            Self::Blue => Some(0.25),
            Self::Violet => Some(0.1),
            Self::Grey => Some(0.05),
            Self::Gold => Some(5.0),
            Self::Silver => Some(10.0),
            Self::None => Some(20.0),
            Self::Black | Self::Orange | Self::Yellow | Self::White => None,
        }
    }

    /// The temperature coefficient of a sixth band, millionths per kelvin (IEC 60062, from memory).
    fn tempco(self) -> Option<f64> {
        match self {
            Self::Black => Some(250.0),
            Self::Brown => Some(100.0),
            Self::Red => Some(50.0),
            Self::Orange => Some(15.0),
            Self::Yellow => Some(25.0),
            Self::Green => Some(20.0),
            Self::Blue => Some(10.0),
            Self::Violet => Some(5.0),
            Self::Grey => Some(1.0),
            Self::White | Self::Gold | Self::Silver | Self::None => None,
        }
    }
}

/// Reads 3 to 6 bands: two digits, multiplier and tolerance up to four bands, three digits from
/// five on, a temperature coefficient as the sixth. `None` when the colours make no value.
pub fn bands(colours: &[Colour]) -> Option<Bands> {
    let (digits, after) = colours.split_at_checked(if colours.len() < 5 { 2 } else { 3 })?;
    let (multiplier, tolerance, tempco) = match *after {
        [multiplier] => (multiplier, Colour::None, None),
        [multiplier, tolerance] => (multiplier, tolerance, None),
        [multiplier, tolerance, sixth] => (multiplier, tolerance, Some(sixth.tempco()?)),
        _ => return None,
    };
    let mut value = 0.0;
    for colour in digits {
        value = value * 10.0 + f64::from(colour.digit()?);
    }
    let tolerance = Tolerance::symmetric(tolerance.tolerance_percent()?);
    Some(Bands { ohm: Ohm::new(multiplier.multiply(value)?), tolerance, tempco_ppm_per_k: tempco })
}
