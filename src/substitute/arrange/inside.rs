//! Restuffing: whether bodies go into the old can together.

use crate::units::Millimetre;

/// A body's diameter and length.
pub type Body = (Millimetre, Millimetre);

/// Whether all bodies fit upright into a can of this inside diameter and length, in layers.
///
/// The packing is simple and on the safe side: bodies of one layer count as all of its largest
/// diameter, up to four side by side.
pub fn fit_together(bodies: &[Body], inside: Body) -> bool {
    let mut rest: Vec<Body> = bodies.to_vec();
    rest.sort_by(|a, b| b.1.get().total_cmp(&a.1.get()).then(b.0.get().total_cmp(&a.0.get())));
    layers(&rest, inside)
}

/// Fills a layer with the longest body and as many others as go beside it, in every way.
fn layers(rest: &[Body], (across, long): Body) -> bool {
    let Some((first, others)) = rest.split_first() else {
        return true;
    };
    if long < first.1 {
        return false;
    }
    // Every choice of companions for the longest body; a can holds a handful of parts.
    let choices = 1u32 << others.len().min(8);
    (0..choices).rev().any(|mask| {
        let beside: Vec<Body> = pick(others, mask, true);
        let widest = beside.iter().fold(first.0, |w, b| w.max(b.0));
        let room = crowd_factor(beside.len() + 1).is_some_and(|f| widest * f <= across);
        room && layers(&pick(others, mask, false), (across, long - first.1))
    })
}

/// The bodies whose bit is set (or not set).
fn pick(bodies: &[Body], mask: u32, set: bool) -> Vec<Body> {
    bodies.iter().enumerate().filter(|(i, _)| (*i < 8 && mask >> i & 1 == 1) == set).map(|(_, b)| *b).collect()
}

/// Diameter of the circle around equal circles side by side, in diameters of one.
fn crowd_factor(count: usize) -> Option<f64> {
    match count {
        1 => Some(1.0),
        2 => Some(2.0),
        // 1 + 2/√3 and 1 + √2.
        3 => Some(1.0 + 2.0 / 3f64.sqrt()),
        4 => Some(1.0 + 2f64.sqrt()),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn body(diameter: f64, length: f64) -> Body {
        (Millimetre::new(diameter), Millimetre::new(length))
    }

    // A can of 34 × 72 mm inside: two 16 × 32 in one layer, a 13 × 26 and a 6 × 12 in the next.
    #[test]
    fn four_radials_go_into_the_old_can() {
        let bodies = [body(16.0, 32.0), body(16.0, 32.0), body(13.0, 26.0), body(6.0, 12.0)];
        assert!(fit_together(&bodies, body(34.0, 72.0)));
        assert!(!fit_together(&bodies, body(34.0, 31.0)));
        // Two of 18 mm do not go side by side into 34 mm, but one above the other.
        assert!(fit_together(&[body(18.0, 36.0), body(18.0, 36.0)], body(34.0, 72.0)));
        assert!(!fit_together(&[body(18.0, 36.0), body(18.0, 36.0), body(18.0, 36.0)], body(34.0, 72.0)));
    }

    #[test]
    fn nothing_fits_everywhere() {
        assert!(fit_together(&[], body(1.0, 1.0)));
        assert!(!fit_together(&[body(2.0, 1.0)], body(1.0, 9.0)));
    }
}
