//! What is marked on a capacitor: its sections, voltages, tolerance and class.

use std::fmt;

use super::bounds::{CAPACITANCE, VOLTAGE};
use super::capacitance::Bare;
use super::error::{Problem, QuantityError};
use super::items::{Item, Part, Spot, items};
use super::sections::{Group, groups};
use super::tolerance::Tolerance;
use super::voltage::VoltKind;
use crate::units::{Farad, Volt};

/// A safety class as marked on the part.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum ClassMark {
    /// Across the line.
    X1,
    /// Across the line.
    X2,
    /// Across the line, lowest.
    X3,
    /// Line to earth or chassis.
    Y1,
    /// Line to earth or chassis.
    Y2,
    /// Line to earth or chassis, lower voltages.
    Y3,
    /// Line to earth or chassis, lowest voltages.
    Y4,
}

impl ClassMark {
    /// The class of a letter and a number.
    pub(super) fn of(letter: char, number: u8) -> Option<Self> {
        match (letter, number) {
            ('X', 1) => Some(Self::X1),
            ('X', 2) => Some(Self::X2),
            ('X', 3) => Some(Self::X3),
            ('Y', 1) => Some(Self::Y1),
            ('Y', 2) => Some(Self::Y2),
            ('Y', 3) => Some(Self::Y3),
            ('Y', 4) => Some(Self::Y4),
            _ => None,
        }
    }
}

impl fmt::Display for ClassMark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let text = match self {
            Self::X1 => "X1",
            Self::X2 => "X2",
            Self::X3 => "X3",
            Self::Y1 => "Y1",
            Self::Y2 => "Y2",
            Self::Y3 => "Y3",
            Self::Y4 => "Y4",
        };
        f.pad(text)
    }
}

/// The mark of a capacitor.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct CapacitorMark {
    /// The values, one for a plain part, one per section of a can, in the order written.
    pub sections: Vec<Farad>,
    /// The DC working voltage of each section; one entry per section.
    pub section_volts: Vec<Option<Volt>>,
    /// The DC working voltage of the part: that of all sections, `None` when they differ.
    pub volts: Option<Volt>,
    /// The alternating voltage, rms.
    pub vac: Option<Volt>,
    /// The tolerance, when marked.
    pub tolerance: Option<Tolerance>,
    /// The safety classes, none to two.
    pub classes: Vec<ClassMark>,
    /// What was not understood, words only.
    pub rest: String,
}

/// Reads the mark of a capacitor: `20 MFD 450 WV`, `.02/600`, `20-20/450`, `8x8 500V`,
/// `40/20/20 @ 300`, `40/450 + 20/25`, `0.1uF 275V~ X2`, `104K 250`.
///
/// # Errors
/// No value, a bare value that `bare` does not allow (see [`Bare`]), two readings, a number that
/// belongs to nothing, or a value or voltage beyond all reason.
pub fn capacitor_mark(text: &str, bare: Bare) -> Result<CapacitorMark, QuantityError> {
    let found = items(text, Part::Capacitor).and_then(|spots| Collected::of(spots)?.mark(bare));
    found.map_err(|problem| CAPACITANCE.error(text, problem))
}

/// A mark taken apart: values and voltages in order, and the rest by kind.
#[derive(Default)]
pub(super) struct Collected {
    /// Values, voltages and the signs between them.
    core: Vec<Item>,
    tolerance: Option<Tolerance>,
    classes: Vec<ClassMark>,
    /// Everything else, for the reader of offers.
    pub(super) others: Vec<Spot>,
}

impl Collected {
    /// Sorts the items of a mark.
    pub(super) fn of(spots: Vec<Spot>) -> Result<Self, Problem> {
        let mut all = Self::default();
        for spot in spots {
            // `20 QFD`: after a bare value of 1 or more a word can only be its unit.
            if let (Some(Item::Amount(amount)), Item::Word(word)) = (all.core.last(), &spot.item)
                && amount.is_bare()
                && amount.letter.is_none()
                && amount.value >= 1.0
                && !all.has_volts()
            {
                return Err(Problem::UnknownUnit { unit: word.clone() });
            }
            match spot.item {
                Item::Tolerance(tolerance) => {
                    if all.tolerance.replace(tolerance).is_some() {
                        return Err(Problem::Twice { what: "tolerance" });
                    }
                }
                Item::Class(letter, number) => match ClassMark::of(letter, number) {
                    Some(class) => all.classes.push(class),
                    None => return Err(Problem::LeftOver { text: spot.text }),
                },
                // A sign before a surge voltage goes with it: `450/525 surge`.
                Item::Volts(VoltKind::Surge, _) => all.drop_last_sign(),
                Item::Amount(_) | Item::Volts(..) => all.core.push(spot.item),
                Item::Sign(sign) => all.sign(sign, spot)?,
                _ => all.others.push(spot),
            }
        }
        all.drop_last_sign();
        Ok(all)
    }

    /// Whether a voltage was found.
    fn has_volts(&self) -> bool {
        self.core.iter().any(|item| matches!(item, Item::Volts(..)))
    }

    /// Keeps a sign that can stand between values; brackets and the like say nothing.
    fn sign(&mut self, sign: char, spot: Spot) -> Result<(), Problem> {
        match sign {
            '+' | '-' | 'x' | '/' | '&' | ',' | ';' | '@' if !self.core.is_empty() => {
                // Two signs in a row, such as `X1/Y2,`: the later one counts.
                self.drop_last_sign();
                self.core.push(Item::Sign(sign));
                Ok(())
            }
            '(' | ')' | '[' | ']' | ',' | ';' | ':' | '=' | '/' | '.' | '+' => Ok(()),
            _ => Err(Problem::LeftOver { text: spot.text }),
        }
    }

    /// Drops a sign with nothing after it.
    fn drop_last_sign(&mut self) {
        while matches!(self.core.last(), Some(Item::Sign(_))) {
            self.core.pop();
        }
    }

    /// The mark that the values, voltages and the rest make.
    pub(super) fn mark(&self, bare: Bare) -> Result<CapacitorMark, Problem> {
        if !self.core.iter().any(|item| matches!(item, Item::Amount(_))) {
            return Err(Problem::NoNumber);
        }
        let groups = groups(&self.core)?;
        let mut mark = CapacitorMark { tolerance: self.tolerance, classes: self.classes.clone(), ..Default::default() };
        for group in &groups {
            add(&mut mark, group, bare)?;
        }
        let first = mark.section_volts.first().copied().flatten();
        mark.volts = first.filter(|_| mark.section_volts.iter().all(|v| *v == first));
        let words: Vec<&str> = self.others.iter().map(|spot| spot.text.as_str()).collect();
        mark.rest = words.join(" ");
        Ok(mark)
    }
}

/// Adds the sections of a group to the mark.
fn add(mark: &mut CapacitorMark, group: &Group, bare: Bare) -> Result<(), Problem> {
    for (at, value) in group.values(bare)?.into_iter().enumerate() {
        let dc = group.dc_of(at);
        for volts in [dc, group.ac].into_iter().flatten() {
            VOLTAGE.check(volts.get())?;
            if volts < Volt::new(1.0) {
                return Err(Problem::OutOfRange { low: "1 V", high: "100 kV" });
            }
        }
        mark.sections.push(value.farad);
        mark.section_volts.push(dc);
        mark.tolerance = mark.tolerance.or(value.tolerance);
    }
    mark.vac = mark.vac.or(group.ac);
    Ok(())
}
