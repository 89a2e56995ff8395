//! The cautions of the bench work in words: the fixed ones in capitals, then what to do, then where it is from.

use super::terms::Terms;
use crate::sheet::Caution;

/// One caution as it is printed.
pub(super) fn caution(caution: Caution, terms: Terms) -> String {
    match caution {
        Caution::OneHand => {
            "ONE HAND: for readings under power clip the meter on with the set off and discharged, then \
                             keep one hand away from all metal (several workshop pages agree)"
                .to_owned()
        }
        Caution::DoesNotIsolate => {
            "VARIABLE TRANSFORMER DOES NOT ISOLATE: it sets only the voltage, a lamp limits only \
                                    the current; use an ISOLATING TRANSFORMER besides (several workshop pages agree)"
                .to_owned()
        }
        Caution::MainsSide => format!(
            "mains side: fuse and switch in the live side, {} to a bolt of its own, clamp and grommet and no knot, the \
             old {} is not used again (several workshop pages agree)",
            terms.earth, terms.mains_lead
        ),
        Caution::LoadOn => "LOAD ON BEFORE POWER: the output stage never runs without its load (common practice, no \
                            source)"
            .to_owned(),
    }
}
