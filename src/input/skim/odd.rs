//! Values that are spelt as people write them, `0.47 µF` or `4k7`, and the sections of cans: read once by the reader
//! of quantities and remembered.

use std::collections::BTreeMap;

use super::layout::text;
use crate::units::parse::{Bare, OfferKind, OfferText, capacitor_mark, offer_text};
use crate::units::{Farad, Volt};

/// Most different cans that are remembered; past so many each is read anew, so that memory stays bounded.
const MOST: usize = 1024;

/// A capacitance with nothing beside it, in farads.
pub(super) fn farad(cell: &[u8], mark: u8) -> Option<f64> {
    let offer = offer_text(as_points(cell, mark)?, OfferKind::Capacitor, Bare::Refuse).ok()?;
    let farads = offer.farads.clone();
    let only = OfferText { farads, section_volts: vec![None], ..OfferText::default() };
    match offer.farads.as_slice() {
        [farad] if offer == only => Some(farad.get()),
        _ => None,
    }
}

/// A resistance with nothing beside it, in ohms.
pub(super) fn ohm(cell: &[u8], mark: u8) -> Option<f64> {
    let offer = offer_text(as_points(cell, mark)?, OfferKind::Resistor, Bare::Refuse).ok()?;
    let only = OfferText { ohm: offer.ohm, ..OfferText::default() };
    if offer == only { offer.ohm.map(crate::units::Ohm::get) } else { None }
}

/// The sections of a can: the capacitance of each, and its voltage where the cell gives it.
type Sections = Vec<(Farad, Option<Volt>)>;

/// Cans by the cells that say what is in them.
#[derive(Default)]
pub(super) struct Cans(BTreeMap<Vec<u8>, Sections>);

impl Cans {
    /// The sections that a cell names; `None` where it is left to the full reader.
    pub(super) fn sections(&mut self, cell: &[u8], mark: u8) -> Option<&[(Farad, Option<Volt>)]> {
        if !self.0.contains_key(cell) {
            let read = sections(cell, mark)?;
            if MOST <= self.0.len() {
                self.0.clear();
            }
            self.0.insert(cell.to_owned(), read);
        }
        self.0.get(cell).map(Vec::as_slice)
    }
}

fn sections(cell: &[u8], mark: u8) -> Option<Sections> {
    let can = capacitor_mark(as_points(cell, mark)?, Bare::Microfarad).ok()?;
    let volts = can.section_volts.iter().copied().chain(std::iter::repeat(None));
    Some(can.sections.iter().zip(volts).map(|(farad, volts)| (*farad, volts.or(can.volts))).collect())
}

/// The text of a cell where its decimals have points already, so that it is read just as it stands.
fn as_points(cell: &[u8], mark: u8) -> Option<&str> {
    let mut numbers = cell.split(|b| !b.is_ascii_digit() && *b != b'.');
    let once = numbers.all(|number| memchr::memchr_iter(b'.', number).count() < 2);
    if mark == b'.' && once && !cell.contains(&b',') { text(cell) } else { None }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_as_people_write_them() {
        assert_eq!(farad("0.47 µF".as_bytes(), b'.'), farad(b"0.47uF", b'.'));
        assert_eq!(farad("0.47 µF".as_bytes(), b'.'), Some(0.47e-6));
        assert_eq!(ohm(b"4k7", b'.'), Some(4700.0));
        for cell in ["22uF 450V", "22uF 10%", "8uF+8uF", "2,2uF", "1.000.000pF", " 22uF", "22", "22uF reel"] {
            assert_eq!(farad(cell.as_bytes(), b'.'), None, "{cell}");
        }
        assert_eq!((ohm(b"4.7k 5%", b'.'), ohm(b"4.7k", b','), ohm(b"4.7k 1/2W", b'.')), (None, None, None));
    }

    #[test]
    fn cans_are_remembered() {
        let mut cans = Cans::default();
        for _ in 0..2 {
            let sections = cans.sections(b"32uF+16uF", b'.').unwrap();
            assert_eq!(sections, [(Farad::new(32e-6), None), (Farad::new(16e-6), None)]);
        }
        assert_eq!(cans.sections(b"40uF 450V + 20uF 25V", b'.').unwrap()[1].1, Some(Volt::new(25.0)));
        assert_eq!(cans.sections(b"x", b'.'), None);
    }
}
