//! Spans of quantities cut into single ones for an integer programme.

use super::backend::STRONG;
use super::model::Seg;

/// Steps of a span from which on it stays whole. A row that needs five is served by half a pack of ten in a programme
/// over spans, and not in one over single quantities; the strong solver is done with those in a third of the time. The
/// programmes of the other solver are too small to gain by it.
const STEPS: u32 = if STRONG { 10 } else { 3 };

/// Cuts a span of few steps into single quantities, whose links are stronger.
pub(super) fn cut(segs: &[Seg], pack: u32) -> Vec<Seg> {
    let mut cut = Vec::new();
    for seg in segs {
        if (seg.hi - seg.lo) / pack < STEPS {
            let steps = (0..=(seg.hi - seg.lo) / pack).map(|k| seg.lo + k * pack);
            cut.extend(steps.map(|q| Seg { lo: q, hi: q, each: seg.each }));
        } else {
            cut.push(*seg);
        }
    }
    cut
}
