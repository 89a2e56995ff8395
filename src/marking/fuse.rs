//! Fuses by rating, speed, size and breaking capacity.

use super::words::{Piece, pieces};
use crate::units::Ampere;

/// How fast a fuse blows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Speed {
    /// Time-delay, `T`.
    Delay,
    /// Quick-acting, `F`.
    Quick,
}

/// What current it can interrupt.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Breaking {
    /// High breaking capacity.
    High,
    /// Low breaking capacity.
    Low,
}

/// What a fuse's designation says; `None`: not written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fuse {
    /// Rating.
    pub amps: Ampere,
    /// Speed.
    pub speed: Option<Speed>,
    /// Length, mm: 20 (5 × 20) or 32 (1¼ inch).
    pub length_mm: Option<u8>,
    /// Breaking capacity.
    pub breaking: Option<Breaking>,
}

impl Fuse {
    /// Reads `T1A 20mm HBC`, `1A slo-blo`, `F500mA 3AG`; `None` where no rating is written.
    pub fn parse(text: &str) -> Option<Self> {
        let text = text.to_lowercase().replace("1-1/4", "32mm").replace("1 1/4", "32mm").replace("3ag", "32mm");
        let mut fuse = Self { amps: Ampere::ZERO, speed: None, length_mm: None, breaking: None };
        for piece in pieces(&text) {
            match piece {
                Piece::Number(value, unit) => fuse.number(value, &unit),
                Piece::Word(word) => fuse.word(&word),
            }
        }
        (fuse.amps > Ampere::ZERO).then_some(fuse)
    }

    /// Takes a number with its unit.
    fn number(&mut self, value: f64, unit: &str) {
        match unit {
            "a" | "amp" | "amps" => self.amps = Ampere::new(value),
            "ma" => self.amps = Ampere::from_milli(value),
            "at" => (self.amps, self.speed) = (Ampere::new(value), Some(Speed::Delay)),
            "af" => (self.amps, self.speed) = (Ampere::new(value), Some(Speed::Quick)),
            "mm" | "" if (19.5..=20.5).contains(&value) => self.length_mm = Some(20),
            "mm" | "" if (31.0..=32.5).contains(&value) => self.length_mm = Some(32),
            "in" | "inch" if (1.2..=1.3).contains(&value) => self.length_mm = Some(32),
            _ => {}
        }
    }

    /// Takes a word.
    fn word(&mut self, word: &str) {
        match word {
            "t" | "tt" | "slo-blo" | "slow-blow" | "slow" | "delay" | "time-delay" | "time-lag" | "anti-surge"
            | "antisurge" => self.speed = Some(Speed::Delay),
            "f" | "ff" | "quick" | "quick-blow" | "fast" | "fast-acting" => self.speed = Some(Speed::Quick),
            "hbc" | "hrc" | "h" | "high-breaking" => self.breaking = Some(Breaking::High),
            "lbc" | "l" | "glass" => self.breaking = Some(Breaking::Low),
            _ => {}
        }
    }

    /// Why `offered` does not do for this fuse, in words; empty: it does.
    pub fn misses(&self, offered: &Self) -> Vec<&'static str> {
        let mut misses = Vec::new();
        if (offered.amps / self.amps - 1.0).abs() > 0.01 {
            misses.push("rating");
        }
        if self.speed.is_some() && offered.speed != self.speed {
            misses.push("speed");
        }
        if self.length_mm.is_some() && offered.length_mm != self.length_mm {
            misses.push("size");
        }
        if self.breaking == Some(Breaking::High) && offered.breaking != Some(Breaking::High) {
            misses.push("breaking capacity");
        }
        misses
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_fuses() {
        let fuse = Fuse::parse("T1A 20mm HBC").unwrap();
        assert!((fuse.amps.get() - 1.0).abs() < 1e-12);
        assert_eq!((fuse.speed, fuse.length_mm, fuse.breaking), (Some(Speed::Delay), Some(20), Some(Breaking::High)));
        let slow = Fuse::parse("1A slo-blo").unwrap();
        assert_eq!((slow.speed, slow.length_mm), (Some(Speed::Delay), None));
        let quick = Fuse::parse("F500mA 3AG").unwrap();
        assert_eq!((quick.speed, quick.length_mm), (Some(Speed::Quick), Some(32)));
        assert_eq!(Fuse::parse("5x20 T1.6A").unwrap().length_mm, Some(20));
        assert_eq!(Fuse::parse("fuse"), None);
    }

    #[test]
    fn what_does_not_do() {
        let wanted = Fuse::parse("T1A 20mm HBC").unwrap();
        assert!(wanted.misses(&Fuse::parse("1A T HBC 5x20mm").unwrap()).is_empty());
        assert_eq!(wanted.misses(&Fuse::parse("F1A 20mm").unwrap()), ["speed", "breaking capacity"]);
        assert_eq!(wanted.misses(&Fuse::parse("T2A 32mm HBC").unwrap()), ["rating", "size"]);
        // A better breaking capacity than asked for is no fault.
        assert!(Fuse::parse("1A slo-blo").unwrap().misses(&wanted).is_empty());
    }
}
