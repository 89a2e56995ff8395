//! One line of a catalog read from its raw cells, where every cell is spelt plainly.
//!
//! A line is read here only where the full reader would find no fault in it and would read the same:
//! at the first cell that is not plain, the line is left to the full reader.

use super::columns::{Column, Figure};
use super::plain::{self, Decimal};
use super::record::Record;
use crate::input::bounds::Field;
use crate::input::marks::{within_reason_farad, within_reason_ohm};
use crate::input::table::{is_plain_text, is_unknown};
use crate::model::kind::{MainsClass, PartKind, Style};
use crate::model::part::Value;
use crate::model::shop::{Article, Glance, Offer, RippleRating, Supplier, Tier};
use crate::units::{Ampere, Celsius, Farad, Hertz, Hour, Millimetre, Ohm, Tolerance, Volt, Watt};

/// What lines of a file are read by.
pub(super) struct Layout<'s> {
    /// Of each cell what it holds.
    columns: Vec<Column>,
    /// The file's decimal mark.
    mark: u8,
    /// Suppliers by the names that only they have.
    suppliers: Vec<&'s str>,
    /// Kinds by the length of their words.
    kinds: Vec<Vec<PartKind>>,
    /// The price columns with their quantities, and the cells of quantities.
    prices: Vec<(u32, usize)>,
    quantities: Vec<(u32, usize)>,
}

impl<'s> Layout<'s> {
    /// From the columns in the order of the cells.
    pub(super) fn new(columns: Vec<Column>, mark: u8, suppliers: &'s [Supplier]) -> Self {
        let first = |(at, one): (usize, &'s Supplier)| {
            let mut before = suppliers.iter().take(at);
            let alone = !before.any(|other| other.name.to_lowercase() == one.name.to_lowercase());
            alone.then_some(one.name.as_str())
        };
        let longest = PartKind::ALL.iter().map(|k| k.word().len()).max().unwrap_or(0);
        let of_length = |length| PartKind::ALL.iter().copied().filter(|k| k.word().len() == length).collect();
        let cells = || columns.iter().enumerate();
        let prices =
            cells().filter_map(|(cell, c)| if let Column::Price(from) = c { Some((*from, cell)) } else { None });
        let quantities =
            cells().filter_map(|(cell, c)| if let Column::Quantity(from) = c { Some((*from, cell)) } else { None });
        Self {
            prices: prices.collect(),
            quantities: quantities.collect(),
            mark,
            suppliers: suppliers.iter().enumerate().filter_map(first).collect(),
            kinds: (0..=longest).map(of_length).collect(),
            columns,
        }
    }

    fn kind(&self, word: &[u8]) -> Option<PartKind> {
        self.kinds.get(word.len())?.iter().copied().find(|k| k.word().as_bytes() == word)
    }

    fn supplier(&self, name: &[u8]) -> Option<&'s str> {
        self.suppliers.iter().copied().find(|s| s.as_bytes() == name)
    }
}

/// Lists that lines are read into, used again for each.
#[derive(Default)]
pub(super) struct Lists {
    tiers: Vec<Tier>,
    factors: Vec<(f64, f64)>,
}

/// A line whose every cell is plain.
pub(super) struct Line<'b, 's> {
    number: &'b str,
    supplier: &'s str,
    article: Article,
    description: &'b [u8],
    /// Whether quotes are written twice in the description.
    doubled: bool,
    pack: u32,
    minimum: u32,
    stock: Option<u32>,
    lead_days: Option<u32>,
}

/// Cells that are read when all others are.
#[derive(Default)]
struct Later<'b> {
    kind: Option<PartKind>,
    value: &'b [u8],
    designation: &'b [u8],
    ripple: Option<Ampere>,
    ripple_hz: Option<Hertz>,
    priced: bool,
}

impl<'b, 's> Line<'b, 's> {
    /// Reads a record; `None` where it is left to the full reader.
    pub(super) fn read(layout: &Layout<'s>, record: &Record<'b>, lists: &mut Lists) -> Option<Self> {
        lists.tiers.clear();
        lists.factors.clear();
        let mut line = Self {
            number: "",
            supplier: "",
            article: Article::of_kind(PartKind::Hardware),
            description: b"",
            doubled: false,
            pack: 1,
            minimum: 1,
            stock: None,
            lead_days: None,
        };
        let mut later = Later::default();
        for (number, cell) in record.written() {
            // What stands beyond the headings is the full reader's to tell of.
            let column = *layout.columns.get(number)?;
            if record.is_doubled(number) {
                line.doubled = true;
                (column == Column::Description).then_some(())?;
            }
            if !cell.is_empty() {
                line.cell(column, cell, layout, (&mut later, lists))?;
            }
        }
        if line.number.is_empty() || line.supplier.is_empty() {
            return None;
        }
        if !later.priced {
            Self::price_columns(layout, record, lists)?;
        }
        line.finish(&later, layout.mark)?;
        Some(line)
    }

    /// Takes a cell in which something is written.
    fn cell(
        &mut self,
        column: Column,
        cell: &'b [u8],
        layout: &Layout<'s>,
        (later, lists): (&mut Later<'b>, &mut Lists),
    ) -> Option<()> {
        match column {
            Column::Unused | Column::Price(_) | Column::Quantity(_) => {}
            Column::Full => return None,
            Column::Number => self.number = text(cell)?,
            Column::Supplier => self.supplier = layout.supplier(cell)?,
            Column::Part => later.kind = Some(layout.kind(cell)?),
            Column::Value => later.value = cell,
            Column::Tolerance => {
                let (minus_percent, plus_percent) = plain::tolerance(cell, layout.mark)?;
                self.article.tolerance = Some(Tolerance { minus_percent, plus_percent });
            }
            Column::Figure(figure, field) => self.figure((figure, field), Decimal::read(cell, layout.mark)?, later)?,
            Column::Class => self.article.class = Some(class(cell)?),
            Column::Style => self.article.style = Some(style(cell)?),
            Column::Polarised => self.article.polarised = Some(yes_no(cell)?),
            Column::Flameproof => self.article.flameproof = Some(yes_no(cell)?),
            Column::Factors => plain::factors(cell, layout.mark, &mut lists.factors).then_some(())?,
            Column::Designation => later.designation = text(cell)?.as_bytes(),
            Column::Description => {
                // What is plain at a glance is not looked through until it is taken.
                (is_plain_at_its_ends(cell) || text(cell).is_some()).then_some(())?;
                self.description = cell;
            }
            Column::Prices => {
                later.priced = plain::tiers(cell, layout.mark, &mut lists.tiers);
                later.priced.then_some(())?;
            }
        }
        Some(())
    }

    /// Takes a figure within its column's bounds.
    fn figure(
        &mut self,
        (figure, field): (Figure, &'static Field),
        number: Decimal,
        later: &mut Later<'b>,
    ) -> Option<()> {
        let value = number.value().filter(|v| field.min <= *v && *v <= field.max)?;
        let model = field.unit.to_model(value);
        let article = &mut self.article;
        match figure {
            Figure::Volts => article.volts = Some(Volt::new(model)),
            Figure::Vac => article.vac = Some(Volt::new(model)),
            Figure::Watts => article.watts = Some(Watt::new(model)),
            Figure::Temp => article.temp = Some(Celsius::new(model)),
            Figure::Life => article.life = Some(Hour::new(model)),
            Figure::Ripple => later.ripple = Some(Ampere::new(model)),
            Figure::RippleHz => later.ripple_hz = Some(Hertz::new(model)),
            Figure::Loss => article.loss_factor = Some(value),
            Figure::Leakage => article.leakage = Some(Ampere::new(model)),
            Figure::Esr => article.esr = Some(Ohm::new(model)),
            Figure::Diameter => article.diameter = Some(Millimetre::new(model)),
            Figure::Length => article.length = Some(Millimetre::new(model)),
            Figure::Lead => article.lead = Some(Millimetre::new(model)),
            Figure::Made => article.made = Some(i32::try_from(number.whole()?).ok()?),
            Figure::Pack => self.pack = number.whole()?,
            Figure::Minimum => self.minimum = number.whole()?,
            Figure::Stock => self.stock = Some(number.whole()?),
            Figure::LeadDays => self.lead_days = Some(number.whole()?),
        }
        Some(())
    }

    /// Prices in columns of their own, where there is no list of them.
    fn price_columns(layout: &Layout<'s>, record: &Record<'b>, lists: &mut Lists) -> Option<()> {
        for (named, cell) in &layout.prices {
            let price = record.cell(*cell);
            if price.is_empty() {
                continue;
            }
            let own = layout.quantities.iter().find(|(of, _)| of == named).map(|(_, cell)| record.cell(*cell));
            let from = match own.filter(|own| !own.is_empty()) {
                Some(own) => plain::quantity(own)?,
                None => *named,
            };
            let each = plain::money(price, layout.mark)?;
            if lists.tiers.last().is_some_and(|before| from <= before.from) {
                return None;
            }
            lists.tiers.push(Tier { from, each });
        }
        (!lists.tiers.is_empty()).then_some(())
    }

    /// The value by the kind, and what every line of the kind must have.
    fn finish(&mut self, later: &Later<'b>, mark: u8) -> Option<()> {
        let kind = later.kind?;
        self.article.kind = kind;
        self.article.ripple =
            later.ripple.map(|current| RippleRating { current, at: later.ripple_hz, factors: Vec::new() });
        let article = &mut self.article;
        if kind.is_capacitor() {
            let farad = plain::farad(later.value, mark).filter(|f| within_reason_farad(*f))?;
            article.value = Some(Value::Farad(Farad::new(farad)));
            (article.volts.is_some() || article.vac.is_some()).then_some(())
        } else if kind.is_resistor() {
            let ohm = plain::ohm(later.value, mark).filter(|r| within_reason_ohm(*r))?;
            article.value = Some(Value::Ohm(Ohm::new(ohm)));
            article.watts.map(|_| ())
        } else {
            let name = if later.designation.is_empty() { text(later.value)? } else { text(later.designation)? };
            article.value = Some(Value::Designation((!name.is_empty()).then(|| name.to_owned())?));
            Some(())
        }
    }

    /// What can be seen of the offer.
    pub(super) fn glance<'l>(&'l self, lists: &'l Lists) -> Glance<'l> {
        Glance {
            number: self.number,
            supplier: self.supplier,
            article: &self.article,
            tiers: &lists.tiers,
            pack: self.pack,
            minimum: self.minimum,
            stock: self.stock,
            lead_days: self.lead_days,
        }
    }

    /// The whole offer.
    pub(super) fn offer(self, lists: &Lists) -> Offer {
        let mut article = self.article;
        let description = String::from_utf8_lossy(self.description);
        let description = if self.doubled { description.replace("\"\"", "\"") } else { description.into_owned() };
        article.description = (!description.is_empty()).then_some(description);
        if let Some(ripple) = &mut article.ripple {
            ripple.factors = lists.factors.iter().map(|(hertz, factor)| (Hertz::new(*hertz), *factor)).collect();
        }
        Offer {
            number: self.number.to_owned(),
            supplier: self.supplier.to_owned(),
            article,
            tiers: lists.tiers.clone(),
            pack: self.pack,
            minimum: self.minimum,
            stock: self.stock,
            lead_days: self.lead_days,
        }
    }
}

/// A text that is all that its cell holds, and that says something.
fn text(cell: &[u8]) -> Option<&str> {
    let text = std::str::from_utf8(cell).ok()?;
    (is_plain_text(text) && !is_unknown(text)).then_some(text)
}

/// Whether a cell of valid text is plain for sure: nothing at its ends that is trimmed or guarded, and
/// too long to say that nothing is known.
fn is_plain_at_its_ends(cell: &[u8]) -> bool {
    matches!(cell, [first, .., last] if 3 < cell.len() && first.is_ascii_graphic() && *first != b'\'' && last.is_ascii_graphic())
}

fn class(cell: &[u8]) -> Option<MainsClass> {
    MainsClass::ALL.iter().copied().find(|c| c.mark().as_bytes() == cell)
}

fn style(cell: &[u8]) -> Option<Style> {
    Style::ALL.iter().copied().find(|s| s.word().as_bytes() == cell)
}

fn yes_no(cell: &[u8]) -> Option<bool> {
    match cell {
        b"yes" => Some(true),
        b"no" => Some(false),
        _ => None,
    }
}
