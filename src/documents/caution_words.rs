//! The cautions of the bench work in words: the fixed ones in capitals, then what to do, and where each is from.

use super::terms::Terms;
use crate::sheet::Caution;

/// What several pages of workshops say alike.
const WORKSHOPS: &str = "workshop pages, several of which agree";
/// What the trade does and no document says.
const HABIT: &str = "common practice, no source";

/// One caution as it is printed.
pub(super) fn caution(caution: Caution, terms: Terms) -> String {
    match caution {
        Caution::OneHand => {
            "ONE HAND: for readings under power clip the meter on with the set off and discharged, then \
                             keep one hand away from all metal"
                .to_owned()
        }
        Caution::DoesNotIsolate => {
            "VARIABLE TRANSFORMER DOES NOT ISOLATE: it sets only the voltage, a lamp limits only \
                                    the current; use an ISOLATING TRANSFORMER besides"
                .to_owned()
        }
        Caution::EarthedInstrument => format!(
            "LIVE CHASSIS: no instrument with {} on its case is clipped to it: straight on the mains that is a short, \
             behind the ISOLATING TRANSFORMER it ends the isolation",
            terms.earth
        ),
        Caution::MainsSide => format!(
            "mains side: fuse and switch in the live side, {} to a bolt of its own, clamp and grommet and no knot, the \
             old {} is not used again",
            terms.earth, terms.mains_lead
        ),
        Caution::MainsSideLive => format!(
            "mains side: fuse and switch in the live side, no {} to a live chassis, clamp and grommet and no knot, the old \
             {} is not used again",
            terms.earth, terms.mains_lead
        ),
        Caution::LoadOn => "LOAD ON BEFORE POWER: the output stage never runs without its load".to_owned(),
    }
}

/// Where a caution is from.
pub(super) const fn source(caution: Caution) -> &'static str {
    match caution {
        Caution::OneHand | Caution::DoesNotIsolate | Caution::MainsSide => WORKSHOPS,
        Caution::EarthedInstrument | Caution::MainsSideLive | Caution::LoadOn => HABIT,
    }
}
