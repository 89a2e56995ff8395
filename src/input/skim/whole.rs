//! The offer of a line, as far as anybody wants it.

use super::columns::{Column, Figure};
use super::layout::{Layout, text};
use super::line::{Line, Lines};
use super::plain;
use crate::model::kind::{MainsClass, Style};
use crate::model::part::Value;
use crate::model::shop::{Article, Glance, Offer, RippleRating};
use crate::units::{Ampere, Celsius, Farad, Hertz, Hour, Millimetre, Ohm, Tolerance, Volt, Watt};

/// All that a line says but what takes room: its description and the factors of its ripple.
pub(super) struct Whole<'b> {
    number: &'b str,
    article: Article,
    pack: u32,
    minimum: u32,
    stock: Option<u32>,
}

impl<'b> Line<'b, '_> {
    /// What the line says; the reader must not have read another since. `None` where it is left to the full reader.
    pub(super) fn whole(&self, layout: &Layout<'_>, lines: &Lines) -> Option<Whole<'b>> {
        let mut article = Article::of_kind(self.kind);
        article.value = match (self.figure, self.name) {
            (Some(farad), _) if self.kind.is_capacitor() => Some(Value::Farad(Farad::new(farad))),
            (Some(ohm), _) => Some(Value::Ohm(Ohm::new(ohm))),
            (None, name) => name.map(|name| Value::Designation(name.to_owned())),
        };
        article.sections.clone_from(&lines.sections);
        let number = text(self.cell(layout.named.number))?;
        let mut whole = Whole { number, article, pack: 1, minimum: 1, stock: None };
        let mut ripple = (None, None);
        let mut rest = self.record.written() & layout.sets.said;
        while rest != 0 {
            let number = rest.trailing_zeros() as usize;
            rest &= rest - 1;
            let said = *lines.says.get(number)?;
            match *layout.columns.get(number)? {
                Column::Figure(Figure::Ripple, _) => ripple.0 = Some(Ampere::new(f64::from_bits(said))),
                Column::Figure(Figure::RippleHz, _) => ripple.1 = Some(Hertz::new(f64::from_bits(said))),
                Column::Figure(figure, _) => whole.take_figure(figure, said)?,
                Column::Tolerance => {
                    let (minus_percent, plus_percent) = plain::tolerance(self.cell(number), layout.mark)?;
                    whole.article.tolerance = Some(Tolerance { minus_percent, plus_percent });
                }
                column => whole.take_word(column, said)?,
            }
        }
        whole.article.ripple = ripple.0.map(|current| RippleRating { current, at: ripple.1, factors: Vec::new() });
        Some(whole)
    }

    /// The offer at a glance.
    pub(super) fn glance<'g>(&'g self, whole: &'g Whole<'b>, lines: &'g Lines) -> Glance<'g> {
        Glance {
            number: whole.number,
            supplier: self.supplier,
            article: &whole.article,
            tiers: &lines.tiers,
            pack: whole.pack,
            minimum: whole.minimum,
            stock: whole.stock,
            lead_days: self.lead_days,
        }
    }

    /// The whole offer.
    pub(super) fn offer(&self, whole: Whole<'b>, layout: &Layout<'_>, lines: &Lines) -> Offer {
        let mut article = whole.article;
        let description = String::from_utf8_lossy(self.cell(layout.named.description));
        let doubled = self.record.doubled() != 0;
        let description = if doubled { description.replace("\"\"", "\"") } else { description.into_owned() };
        article.description = (!description.is_empty()).then_some(description);
        if let Some(ripple) = article.ripple.as_mut().filter(|_| !self.cell(layout.named.factors).is_empty()) {
            ripple.factors = lines.factors.iter().map(|(hertz, factor)| (Hertz::new(*hertz), *factor)).collect();
        }
        Offer {
            number: whole.number.to_owned(),
            supplier: self.supplier.to_owned(),
            article,
            tiers: lines.tiers.clone(),
            pack: whole.pack,
            minimum: whole.minimum,
            stock: whole.stock,
            lead_days: self.lead_days,
        }
    }

    fn cell(&self, number: usize) -> &'b [u8] {
        self.record.cell(self.block, number)
    }
}

impl Whole<'_> {
    /// Takes a figure over.
    fn take_figure(&mut self, figure: Figure, said: u64) -> Option<()> {
        let article = &mut self.article;
        let model = f64::from_bits(said);
        let whole = || u32::try_from(said).ok();
        match figure {
            Figure::Volts => article.volts = Some(Volt::new(model)),
            Figure::Vac => article.vac = Some(Volt::new(model)),
            Figure::Watts => article.watts = Some(Watt::new(model)),
            Figure::Temp => article.temp = Some(Celsius::new(model)),
            Figure::Life => article.life = Some(Hour::new(model)),
            Figure::Loss => article.loss_factor = Some(model),
            Figure::Leakage => article.leakage = Some(Ampere::new(model)),
            Figure::Esr => article.esr = Some(Ohm::new(model)),
            Figure::Diameter => article.diameter = Some(Millimetre::new(model)),
            Figure::Length => article.length = Some(Millimetre::new(model)),
            Figure::Lead => article.lead = Some(Millimetre::new(model)),
            Figure::Made => article.made = Some(i32::try_from(said).ok()?),
            Figure::Pack => self.pack = whole()?,
            Figure::Minimum => self.minimum = whole()?,
            Figure::Stock => self.stock = Some(whole()?),
            // The days are the line's, the ripple is put together.
            Figure::LeadDays | Figure::Ripple | Figure::RippleHz => {}
        }
        Some(())
    }

    /// Takes a word over.
    fn take_word(&mut self, column: Column, said: u64) -> Option<()> {
        let article = &mut self.article;
        let place = usize::try_from(said).ok()?;
        match column {
            Column::Class => article.class = Some(*MainsClass::ALL.get(place)?),
            Column::Style => article.style = Some(*Style::ALL.get(place)?),
            Column::Polarised => article.polarised = Some(place == 1),
            Column::Flameproof => article.flameproof = Some(place == 1),
            Column::Common => article.common_negative = place == 1,
            _ => {}
        }
        Some(())
    }
}
