//! One line of a catalog, where every cell is spelt plainly.
//!
//! A line is read here only where the full reader would find no fault in it and would read the same:
//! at the first cell that is not plain, the line is left to the full reader. A line that comes to
//! nothing costs little more than finding its cells, since most of them were read before.

use super::layout::{Layout, is_plain_at_its_ends, text};
use super::memo::{Key, Memo};
use super::odd::Cans;
use super::plain;
use super::record::{MOST_CELLS, Record};
use crate::model::kind::PartKind;
use crate::model::shop::{Outline, Section, Tier};
use crate::units::Volt;

/// What cells of resistors' values are remembered as, so that they are not taken for capacitors'.
const RESISTANCE: u32 = 0x80;

/// Reads lines, and remembers what their cells say.
pub(super) struct Lines {
    memo: Memo,
    cans: Cans,
    /// What the cells of the present line say.
    pub(super) says: [u64; MOST_CELLS],
    /// Its prices, its sections, and its factors where it has any.
    pub(super) tiers: Vec<Tier>,
    pub(super) sections: Vec<Section>,
    pub(super) factors: Vec<(f64, f64)>,
}

/// A line whose every cell is plain.
#[derive(Clone, Copy)]
pub(super) struct Line<'b, 's> {
    pub(super) block: &'b [u8],
    pub(super) record: &'b Record,
    pub(super) supplier: &'s str,
    pub(super) kind: PartKind,
    /// Farads, ohms; `None` for a can and for what has a name.
    pub(super) figure: Option<f64>,
    pub(super) name: Option<&'b str>,
    pub(super) lead_days: Option<u32>,
    volts: Option<f64>,
    watts: Option<f64>,
    temp: Option<f64>,
}

impl Lines {
    /// Nothing remembered yet.
    pub(super) fn new() -> Self {
        Self {
            memo: Memo::new(),
            cans: Cans::default(),
            says: [0; MOST_CELLS],
            tiers: Vec::new(),
            sections: Vec::new(),
            factors: Vec::new(),
        }
    }

    /// Reads a record; `None` where it is left to the full reader.
    pub(super) fn read<'b, 's>(
        &mut self,
        layout: &Layout<'s>,
        (block, record): (&'b [u8], &'b Record),
    ) -> Option<Line<'b, 's>> {
        let (named, sets) = (&layout.named, &layout.sets);
        let written = record.written();
        let has = |number: usize| number < MOST_CELLS && written >> number & 1 == 1;
        let cell = |number: usize| record.cell(block, number);
        let left = record.is_odd() || written & sets.needed != sets.needed || written & sets.full != 0;
        // Quotes that are written twice are read in a description only.
        let doubled = record.doubled() & !(1_u64.checked_shl(u32::try_from(named.description).ok()?).unwrap_or(0));
        if left || doubled != 0 || !is_text(cell(named.number)) {
            return None;
        }
        let supplier = layout.supplier(self.said(layout, (block, record), named.supplier)?)?;
        let kind = *PartKind::ALL.get(usize::try_from(self.said(layout, (block, record), named.part)?).ok()?)?;
        let mut rest = written & sets.said;
        while rest != 0 {
            let number = rest.trailing_zeros();
            rest &= rest - 1;
            let place = record.place_of_written(number as usize);
            let said = match Key::of(block, place, number).and_then(|key| self.memo.get(key)) {
                Some(said) => said,
                None => self.learn(layout, (block, record), number as usize)?,
            };
            if let Some(slot) = self.says.get_mut(number as usize % MOST_CELLS) {
                *slot = said;
            }
        }
        let designation = if has(named.designation) { Some(text(cell(named.designation))?) } else { None };
        let plain = (!has(named.description) || is_text(cell(named.description)))
            && (!has(named.factors) || self.read_factors(cell(named.factors), layout.mark))
            && self.read_prices(layout, (block, record));
        if !plain {
            return None;
        }
        let said = |number: usize| self.says.get(number).copied().filter(|_| has(number));
        let mut line = Line {
            block,
            record,
            supplier,
            kind,
            figure: None,
            name: None,
            lead_days: said(named.lead_days).and_then(|days| u32::try_from(days).ok()),
            volts: said(named.volts).map(f64::from_bits),
            watts: said(named.watts).map(f64::from_bits),
            temp: said(named.temp).map(f64::from_bits),
        };
        self.sections.clear();
        if kind.is_designated() {
            // Sections of what is no capacitor are the full reader's to pass over.
            let value = || if has(named.value) { text(cell(named.value)) } else { None };
            line.name = Some(designation.or_else(value).filter(|_| !has(named.sections))?);
        } else if has(named.sections) {
            self.read_sections(layout, &line).then_some(())?;
        } else {
            let own = if kind.is_capacitor() { sets.volts } else { sets.watts };
            if written & own == 0 || !has(named.value) {
                return None;
            }
            line.figure = Some(self.value(layout, (block, record), kind)?);
        }
        Some(line)
    }

    /// What a written cell says.
    fn said(&mut self, layout: &Layout<'_>, (block, record): (&[u8], &Record), number: usize) -> Option<u64> {
        let key = Key::of(block, record.place(number), u32::try_from(number).ok()?);
        match key.and_then(|key| self.memo.get(key)) {
            Some(said) => Some(said),
            None => self.learn(layout, (block, record), number),
        }
    }

    /// Reads a cell that is not remembered.
    #[cold]
    fn learn(&mut self, layout: &Layout<'_>, (block, record): (&[u8], &Record), number: usize) -> Option<u64> {
        let said = layout.says(*layout.columns.get(number)?, record.cell(block, number))?;
        if let Some(key) = Key::of(block, record.place(number), u32::try_from(number).ok()?) {
            self.memo.put(key, said);
        }
        Some(said)
    }

    /// The value of a capacitor or a resistor.
    fn value(&mut self, layout: &Layout<'_>, (block, record): (&[u8], &Record), kind: PartKind) -> Option<f64> {
        let number = layout.named.value;
        let what = u32::try_from(number).ok()? | if kind.is_resistor() { RESISTANCE } else { 0 };
        let key = Key::of(block, record.place(number), what);
        if let Some(said) = key.and_then(|key| self.memo.get(key)) {
            return Some(f64::from_bits(said));
        }
        let value = layout.value(kind, record.cell(block, number))?;
        if let Some(key) = key {
            self.memo.put(key, value.to_bits());
        }
        Some(value)
    }

    fn read_factors(&mut self, cell: &[u8], mark: u8) -> bool {
        self.factors.clear();
        plain::factors(cell, mark, &mut self.factors)
    }

    /// The sections of a can, which have its voltage where they have none of their own; whether they are plain.
    fn read_sections(&mut self, layout: &Layout<'_>, line: &Line<'_, '_>) -> bool {
        let (block, record, named) = (line.block, line.record, &layout.named);
        if !line.kind.is_capacitor() || !record.cell(block, named.value).is_empty() {
            return false;
        }
        let Some(read) = self.cans.sections(record.cell(block, named.sections), layout.mark) else { return false };
        for (farad, volts) in read {
            let Some(volts) = volts.or(line.volts.map(Volt::new)) else { return false };
            self.sections.push(Section { farad: *farad, volts });
        }
        !self.sections.is_empty()
    }

    /// The prices, in their list or in columns of their own; whether they are plain.
    fn read_prices(&mut self, layout: &Layout<'_>, (block, record): (&[u8], &Record)) -> bool {
        self.tiers.clear();
        let list = record.cell(block, layout.named.prices);
        if !list.is_empty() {
            return plain::tiers(list, layout.mark, &mut self.tiers);
        }
        for (named, cell, own) in layout.prices() {
            let price = record.cell(block, cell);
            if price.is_empty() {
                continue;
            }
            let own = own.map(|cell| record.cell(block, cell)).filter(|own| !own.is_empty());
            let from = own.map_or(Some(named), plain::quantity);
            let (Some(from), Some(each)) = (from, plain::money(price, layout.mark)) else { return false };
            if self.tiers.last().is_some_and(|before| from <= before.from) {
                return false;
            }
            self.tiers.push(Tier { from, each });
        }
        !self.tiers.is_empty()
    }
}

impl Line<'_, '_> {
    /// The least that can be seen of the offer.
    pub(super) const fn outline(&self) -> Outline<'_> {
        Outline {
            supplier: self.supplier,
            lead_days: self.lead_days,
            kind: self.kind,
            figure: self.figure,
            name: self.name,
            volts: self.volts,
            watts: self.watts,
            temp: self.temp,
        }
    }
}

/// Whether a cell is a text that says something, and nothing but the text.
fn is_text(cell: &[u8]) -> bool {
    is_plain_at_its_ends(cell) || text(cell).is_some()
}
