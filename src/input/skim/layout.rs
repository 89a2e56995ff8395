//! How the lines of one file are read: which cell holds what, settled once from the headings.

use super::columns::{Column, Figure};
use super::odd;
use super::plain::{self, Decimal};
use super::record::MOST_CELLS;
use crate::input::bounds::Field;
use crate::input::marks::{within_reason_farad, within_reason_ohm};
use crate::input::table::{is_plain_text, is_unknown};
use crate::model::kind::{MainsClass, PartKind, Style};
use crate::model::shop::Supplier;

/// What lines of a file are read by.
pub(super) struct Layout<'s> {
    /// Of each cell what it holds.
    pub(super) columns: Vec<Column>,
    /// The file's decimal mark.
    pub(super) mark: u8,
    /// Cells that are asked for by name.
    pub(super) named: Named,
    /// Cells by what is done with them.
    pub(super) sets: Sets,
    /// The price columns with their quantities, and the cells of quantities.
    prices: Vec<(u32, usize)>,
    quantities: Vec<(u32, usize)>,
    /// Suppliers by the names that only they have.
    suppliers: Vec<&'s str>,
    /// Kinds by the length of their words.
    kinds: Vec<Vec<usize>>,
}

/// The cells of some columns; [`MOST_CELLS`] where the file has no such column, which is a cell that is always empty.
pub(super) struct Named {
    pub(super) number: usize,
    pub(super) supplier: usize,
    pub(super) part: usize,
    pub(super) value: usize,
    pub(super) designation: usize,
    pub(super) description: usize,
    pub(super) sections: usize,
    pub(super) factors: usize,
    pub(super) prices: usize,
    pub(super) lead_days: usize,
    pub(super) volts: usize,
    pub(super) watts: usize,
    pub(super) temp: usize,
}

/// A bit for each cell of some columns.
pub(super) struct Sets {
    /// What every line must have.
    pub(super) needed: u64,
    /// What only the full reader reads, cells beyond the headings among them.
    pub(super) full: u64,
    /// What is read by [`Layout::says`].
    pub(super) said: u64,
    /// The voltages, one of which every single capacitor must have.
    pub(super) volts: u64,
    /// The power that every resistor must have.
    pub(super) watts: u64,
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
        let kinds = || PartKind::ALL.iter().enumerate();
        let of_length = |length| kinds().filter(|(_, k)| k.word().len() == length).map(|(at, _)| at).collect();
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
            named: Named::of(&columns),
            sets: Sets::of(&columns),
            columns,
        }
    }

    /// A supplier by the number that [`says`](Self::says) gives it.
    pub(super) fn supplier(&self, number: u64) -> Option<&'s str> {
        self.suppliers.get(usize::try_from(number).ok()?).copied()
    }

    /// The price columns with their quantities, and of each the cell that may hold another quantity.
    pub(super) fn prices(&self) -> impl Iterator<Item = (u32, usize, Option<usize>)> {
        let own = |named| self.quantities.iter().find(|(of, _)| *of == named).map(|(_, cell)| *cell);
        self.prices.iter().map(move |(named, cell)| (*named, *cell, own(*named)))
    }

    /// What a written cell says, as a number that can be remembered: the bits of a figure as the model reckons it,
    /// or the place of a word in the list of those words; of a tolerance only that it is one. `None` where the cell
    /// is left to the full reader.
    pub(super) fn says(&self, column: Column, cell: &[u8]) -> Option<u64> {
        let place = |place: Option<usize>| u64::try_from(place?).ok();
        match column {
            Column::Supplier => place(self.suppliers.iter().position(|s| s.as_bytes() == cell)),
            Column::Part => place(self.kind(cell)),
            Column::Tolerance => plain::tolerance(cell, self.mark).map(|_| 0),
            Column::Figure(figure, field) => figure_of((figure, field), Decimal::read(cell, self.mark)?),
            Column::Class => place(MainsClass::ALL.iter().position(|c| c.mark().as_bytes() == cell)),
            Column::Style => place(Style::ALL.iter().position(|s| s.word().as_bytes() == cell)),
            Column::Polarised | Column::Flameproof => match cell {
                b"yes" => Some(1),
                b"no" => Some(0),
                _ => None,
            },
            Column::Common => match cell {
                b"negative" => Some(1),
                b"none" => Some(0),
                _ => None,
            },
            _ => None,
        }
    }

    /// The value of a capacitor in farads or of a resistor in ohms.
    pub(super) fn value(&self, kind: PartKind, cell: &[u8]) -> Option<f64> {
        if kind.is_capacitor() {
            plain::farad(cell, self.mark)
                .or_else(|| odd::farad(cell, self.mark))
                .filter(|farad| within_reason_farad(*farad))
        } else {
            plain::ohm(cell, self.mark).or_else(|| odd::ohm(cell, self.mark)).filter(|ohm| within_reason_ohm(*ohm))
        }
    }

    fn kind(&self, word: &[u8]) -> Option<usize> {
        let is_word = |at: &usize| PartKind::ALL.get(*at).is_some_and(|k| k.word().as_bytes() == word);
        self.kinds.get(word.len())?.iter().copied().find(is_word)
    }
}

impl Named {
    fn of(columns: &[Column]) -> Self {
        let cell = |is: &dyn Fn(&Column) -> bool| columns.iter().position(is).unwrap_or(MOST_CELLS);
        let at = |column: Column| cell(&|c| *c == column);
        let figure = |figure: Figure| cell(&|c| matches!(c, Column::Figure(of, _) if *of == figure));
        Self {
            number: at(Column::Number),
            supplier: at(Column::Supplier),
            part: at(Column::Part),
            value: at(Column::Value),
            designation: at(Column::Designation),
            description: at(Column::Description),
            sections: at(Column::Sections),
            factors: at(Column::Factors),
            prices: at(Column::Prices),
            lead_days: figure(Figure::LeadDays),
            volts: figure(Figure::Volts),
            watts: figure(Figure::Watts),
            temp: figure(Figure::Temp),
        }
    }
}

impl Sets {
    fn of(columns: &[Column]) -> Self {
        let set = |is: &dyn Fn(&Column) -> bool| {
            let cells = columns.iter().take(MOST_CELLS).enumerate().filter(|(_, column)| is(column));
            cells.fold(0, |set, (cell, _)| set | 1_u64 << cell)
        };
        let beyond = u32::try_from(columns.len()).ok().and_then(|count| u64::MAX.checked_shl(count)).unwrap_or(0);
        let said = |column: &Column| {
            use Column as C;
            matches!(
                column,
                C::Tolerance | C::Figure(..) | C::Class | C::Style | C::Polarised | C::Flameproof | C::Common
            )
        };
        Self {
            needed: set(&|c| matches!(c, Column::Number | Column::Supplier | Column::Part)),
            full: set(&|c| *c == Column::Full) | beyond,
            said: set(&said),
            volts: set(&|c| matches!(c, Column::Figure(Figure::Volts | Figure::Vac, _))),
            watts: set(&|c| matches!(c, Column::Figure(Figure::Watts, _))),
        }
    }
}

/// A figure within its column's bounds: a whole number as such, any other by its bits.
fn figure_of((figure, field): (Figure, &'static Field), number: Decimal) -> Option<u64> {
    let value = number.value().filter(|v| field.min <= *v && *v <= field.max)?;
    match figure {
        Figure::Made | Figure::Pack | Figure::Minimum | Figure::Stock | Figure::LeadDays => {
            number.whole().map(u64::from)
        }
        _ => Some(field.unit.to_model(value).to_bits()),
    }
}

/// A text that is all that its cell holds, and that says something.
pub(super) fn text(cell: &[u8]) -> Option<&str> {
    let text = std::str::from_utf8(cell).ok()?;
    (is_plain_text(text) && !is_unknown(text)).then_some(text)
}

/// Whether a cell of valid text is plain for sure, by a look at its ends: nothing there that is trimmed or guarded,
/// and too long to say that nothing is known.
pub(super) fn is_plain_at_its_ends(cell: &[u8]) -> bool {
    matches!(cell, [first, .., last] if 3 < cell.len() && first.is_ascii_graphic() && *first != b'\'' && last.is_ascii_graphic())
}
