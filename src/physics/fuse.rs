//! What a fuse should be rated at, from the current that it carries.

use crate::limits::fuse::{GROSS, HT_FUSE, MADE, MAINS_FUSE};
use crate::units::Ampere;

/// Rounding at the edges of a range.
const EDGE: f64 = 1e-6;

/// Ratings that a fuse may have: from and to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Window {
    /// The least that carries the current.
    pub least: Ampere,
    /// The most that still protects.
    pub most: Ampere,
}

impl Window {
    /// Whether a fuse of this rating no longer protects: on the mains above the window; in the HT, where a fuse
    /// in the winding carries its rms current, from [`GROSS`] times that.
    pub fn is_too_small_for(&self, amps: Ampere, ht: bool) -> bool {
        self.is_below(if ht { amps / GROSS.value } else { amps })
    }

    /// Whether a rating is within.
    pub fn holds(&self, amps: Ampere) -> bool {
        self.least * (1.0 - EDGE) <= amps && !self.is_below(amps)
    }

    /// Whether a rating is above it, so that the fuse no longer protects.
    pub fn is_below(&self, amps: Ampere) -> bool {
        self.most * (1.0 + EDGE) < amps
    }

    /// The ratings made within, rising; the next one made above where there is none within.
    pub fn made(&self) -> Vec<Ampere> {
        let within: Vec<Ampere> = made().filter(|amps| self.holds(*amps)).collect();
        if within.is_empty() { made().find(|amps| self.least <= *amps).into_iter().collect() } else { within }
    }
}

/// Least and largest rating of the mains fuse for this primary current.
pub fn mains_fuse(primary: Ampere) -> Window {
    let (least, most) = MAINS_FUSE.value;
    Window { least: primary * least, most: primary * most }
}

/// The rating of the HT fuse for this load, up to the next one made; `None` above the largest made.
pub fn ht_fuse(load: Ampere) -> Option<Window> {
    let least = load * HT_FUSE.value;
    let most = made().find(|amps| least * (1.0 - EDGE) <= *amps)?;
    Some(Window { least, most })
}

/// Every rating made, rising.
fn made() -> impl Iterator<Item = Ampere> {
    [0.01, 0.1, 1.0].into_iter().flat_map(|decade| MADE.value.iter().map(move |r| Ampere::new(r * decade)))
}

#[cfg(test)]
mod tests {
    use super::*;

    // Acceptance figures: 0.62 A primary asks for 0.93 to 1.24 A, so a T1A.
    #[test]
    fn fuses_from_currents() {
        let mains = mains_fuse(Ampere::new(0.62));
        assert!((mains.least.get() - 0.93).abs() < 1e-9 && (mains.most.get() - 1.24).abs() < 1e-9);
        assert!((ht_fuse(Ampere::from_milli(128.0)).unwrap().least.milli() - 200.0).abs() < 1e-9);
    }

    // By hand: 0.86 A asks for 1.29 to 1.72 A, and 1.6 A is made; 2 A is above. 0.74 A asks for 1.11 to 1.48 A:
    // 1.25 A. 0.53 A asks for 0.795 to 1.06 A: 0.8 and 1 A.
    #[test]
    fn what_is_made_within() {
        let made = |primary| mains_fuse(Ampere::new(primary)).made().iter().map(|a| a.get()).collect::<Vec<_>>();
        assert_eq!(made(0.86), [1.6]);
        assert_eq!(made(0.74), [1.25]);
        assert_eq!(made(0.53), [0.8, 1.0]);
        assert!(mains_fuse(Ampere::new(0.86)).is_below(Ampere::new(2.0)));
        // 245 mA of load: 383 mA, so 400 mA; 500 mA in the winding stays, 1 A does not.
        let ht = ht_fuse(Ampere::new(0.245)).unwrap();
        assert!(!ht.is_too_small_for(Ampere::new(0.5), true) && ht.is_too_small_for(Ampere::new(1.0), true));
    }
}
