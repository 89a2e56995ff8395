//! What a fuse should be rated at, from the current that it carries.

use crate::limits::Limit;
use crate::sources::SourceId;
use crate::units::Ampere;

/// Rating of a mains fuse over the normal primary current: from and to; time-delay, high breaking capacity.
pub const MAINS_FUSE: Limit<(f64, f64)> =
    Limit::new((1.5, 2.0), SourceId::FuseRatings, "mains fuse over the normal primary current");
/// Rating of an HT fuse over the load.
pub const HT_FUSE: Limit<f64> = Limit::new(1.25 * 1.25, SourceId::FuseRatings, "HT fuse over the load");

/// Least and largest rating of the mains fuse for this primary current.
pub fn mains_fuse(primary: Ampere) -> (Ampere, Ampere) {
    let (least, most) = MAINS_FUSE.value;
    (primary * least, primary * most)
}

/// Rating of the HT fuse for this load.
pub fn ht_fuse(load: Ampere) -> Ampere {
    load * HT_FUSE.value
}

#[cfg(test)]
mod tests {
    use super::*;

    // Acceptance figures: 0.62 A primary asks for 0.93 to 1.24 A, so a T1A.
    #[test]
    fn fuses_from_currents() {
        let (least, most) = mains_fuse(Ampere::new(0.62));
        assert!((least.get() - 0.93).abs() < 1e-9 && (most.get() - 1.24).abs() < 1e-9);
        assert!((ht_fuse(Ampere::from_milli(128.0)).milli() - 200.0).abs() < 1e-9);
    }
}
