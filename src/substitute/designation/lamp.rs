//! Lamps by volts, amps and cap.

use crate::marking::words::{Piece, pieces};
use crate::units::{Ampere, Volt};

/// What a lamp's designation says.
#[derive(Debug, Clone, PartialEq)]
pub struct Lamp {
    /// Voltage.
    pub volts: Volt,
    /// Current; `None` where it is not written, as on most light-emitting diodes.
    pub amps: Option<Ampere>,
    /// Cap, such as `mes` or `ba9s`, in lower case.
    pub cap: Option<String>,
    /// Whether it is a light-emitting diode.
    pub led: bool,
}

impl Lamp {
    /// Reads `6.3V .15A MES`, `6.3 V 150mA`, `6.3V LED`; `None` where no voltage is written.
    pub fn parse(text: &str) -> Option<Self> {
        let (mut volts, mut amps, mut cap, mut led) = (None, None, None, false);
        for piece in pieces(text) {
            match piece {
                Piece::Number(value, unit) => match unit.as_str() {
                    "v" | "volt" | "volts" => volts = Some(Volt::new(value)),
                    "a" | "amp" | "amps" => amps = Some(Ampere::new(value)),
                    "ma" => amps = Some(Ampere::from_milli(value)),
                    _ => {}
                },
                Piece::Word(word) if word == "led" => led = true,
                Piece::Word(word) if matches!(word.as_str(), "lamp" | "bulb" | "dial" | "pilot") => {}
                Piece::Word(word) => cap = cap.or(Some(word)),
            }
        }
        volts.map(|volts| Self { volts, amps: amps.filter(|_| !led), cap, led })
    }

    /// Whether it is of the same voltage and no other cap.
    pub fn fits_holder_of(&self, other: &Self) -> bool {
        let cap = match (&self.cap, &other.cap) {
            (Some(a), Some(b)) => a == b,
            _ => true,
        };
        cap && near(self.volts / other.volts)
    }

    /// Whether it takes the same current; `None` where one of both is not known.
    pub fn same_current(&self, other: &Self) -> Option<bool> {
        Some(near(self.amps? / other.amps?))
    }
}

/// Within 5 % of one.
pub(crate) fn near(ratio: f64) -> bool {
    (ratio - 1.0).abs() <= 0.05
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_lamps() {
        let lamp = Lamp::parse("6.3V .15A MES").unwrap();
        assert!((lamp.volts.get() - 6.3).abs() < 1e-12 && (lamp.amps.unwrap().get() - 0.15).abs() < 1e-12);
        assert_eq!(lamp.cap.as_deref(), Some("mes"));
        assert_eq!(Lamp::parse("6.3 V 150mA").unwrap().same_current(&lamp), Some(true));
        assert_eq!(Lamp::parse("6.3V 0.3A").unwrap().same_current(&lamp), Some(false));
        assert!(Lamp::parse("6.3V LED").unwrap().led);
        assert_eq!(Lamp::parse("#47"), None);
    }
}
