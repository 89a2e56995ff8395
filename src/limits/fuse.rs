//! What fuses are rated at, over the current that they carry.

use super::Limit;
use crate::sources::SourceId;

/// Rating of a mains fuse over the normal primary current: from and to; time-delay, high breaking capacity.
pub const MAINS_FUSE: Limit<(f64, f64)> =
    Limit::new((1.5, 2.0), SourceId::FuseRatings, "mains fuse over the normal primary current");
/// Rating of an HT fuse over the load.
pub const HT_FUSE: Limit<f64> = Limit::new(1.25 * 1.25, SourceId::FuseRatings, "HT fuse over the load");
/// Ratings of one decade that fuses are made in.
pub const MADE: Limit<[f64; 10]> =
    Limit::new([1.0, 1.25, 1.6, 2.0, 2.5, 3.15, 4.0, 5.0, 6.3, 8.0], SourceId::FuseSteps, "fuses of 32 mA to 8 A");
/// From how many times its largest right rating a fuse counts as none.
pub const GROSS: Limit<f64> =
    Limit::new(2.0, SourceId::WorkshopHabit, "a fuse that blows only after what it should protect");
