//! Every column and key of the input files in one table: name, form, unit, bounds, meaning.
//!
//! The table drives the reading, the messages and `docs/files.md` (a test compares them). The
//! bounds catch slips of the unit; they are settings of this program, wide enough for any part of
//! the trade, not taken from a document.

mod catalog;
mod chassis;
mod parts;
mod shop;

pub(super) use catalog::{CATALOG, SHELF_ONLY};
pub(super) use chassis::{BOTTOM as CHASSIS_BOTTOM, CHASSIS, CONDITIONS, DIODE, HT, IRON, MAINS, NODE};
pub(super) use parts::{AFTER, PARTS};
pub(super) use shop::{CHOOSE, EQUIVALENTS, LABOUR, RECTIFIERS, SHOP, SPARES, SUPPLIERS};

use super::unit::Unit;

/// How a column or key is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// Any text.
    Text,
    /// One of a list of words.
    Word,
    /// A number, or a number with its unit.
    Number,
    /// The marking of a part.
    Mark,
    /// An amount of money.
    Money,
    /// A list or another form that `meaning` describes.
    List,
    /// `yes` or `no`; in TOML `true` or `false`.
    YesNo,
    /// A date, `2026-11-20`.
    Date,
    /// A TOML table of its own.
    Table,
}

/// One column of a table or key of a sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Field {
    /// Name as written in the heading or before the equals sign.
    pub name: &'static str,
    /// How it is written.
    pub form: Form,
    /// Unit of a bare number.
    pub unit: Unit,
    /// Least accepted, in `unit`.
    pub min: f64,
    /// Most accepted, in `unit`.
    pub max: f64,
    /// Whether the column or key must be there.
    pub needed: bool,
    /// What it means, and what is taken when it is missing.
    pub meaning: &'static str,
}

impl Field {
    /// A field of any form without bounds.
    const fn of(name: &'static str, form: Form, meaning: &'static str) -> Self {
        Self { name, form, unit: Unit::None, min: 0.0, max: 0.0, needed: false, meaning }
    }

    /// A number with its unit and bounds.
    const fn number(name: &'static str, unit: Unit, bounds: (f64, f64), meaning: &'static str) -> Self {
        Self { name, form: Form::Number, unit, min: bounds.0, max: bounds.1, needed: false, meaning }
    }

    /// The same field, needed.
    const fn needed(self) -> Self {
        Self { needed: true, ..self }
    }

    /// The bounds for people, `0.01 to 1000 ohm`; `None` for a field that is not a number.
    pub fn bounds_text(&self) -> Option<String> {
        if !matches!(self.form, Form::Number) {
            return None;
        }
        Some(format!("{} to {}", self.min, self.with_unit(self.max)))
    }

    /// A number with this field's unit.
    pub(super) fn with_unit(&self, number: f64) -> String {
        match self.unit.symbol() {
            "" => format!("{number}"),
            symbol => format!("{number} {symbol}"),
        }
    }
}

/// The field of this name.
pub(super) fn find<'f>(fields: &'f [Field], name: &str) -> Option<&'f Field> {
    fields.iter().find(|field| field.name == name)
}

/// One file, or one section of a sheet, with its columns or keys.
#[derive(Debug, Clone, Copy)]
pub struct FileFields {
    /// The file, `parts.csv`.
    pub file: &'static str,
    /// The section of a TOML file, `mains`; empty for tables and for keys before any section.
    pub section: &'static str,
    /// Its columns or keys.
    pub fields: &'static [Field],
}

/// Every file with its columns or keys, in the order of the documentation.
pub static FILES: &[FileFields] = &[
    FileFields { file: "chassis.toml", section: "", fields: CHASSIS_BOTTOM },
    FileFields { file: "chassis.toml", section: "chassis", fields: CHASSIS },
    FileFields { file: "chassis.toml", section: "iron", fields: IRON },
    FileFields { file: "chassis.toml", section: "conditions", fields: CONDITIONS },
    FileFields { file: "chassis.toml", section: "mains", fields: MAINS },
    FileFields { file: "chassis.toml", section: "ht", fields: HT },
    FileFields { file: "chassis.toml", section: "ht.diode", fields: DIODE },
    FileFields { file: "chassis.toml", section: "ht.node", fields: NODE },
    FileFields { file: "parts.csv", section: "", fields: PARTS },
    FileFields { file: "after.csv", section: "", fields: AFTER },
    FileFields { file: "shop.toml", section: "", fields: SHOP },
    FileFields { file: "shop.toml", section: "labour", fields: LABOUR },
    FileFields { file: "shop.toml", section: "spares", fields: SPARES },
    FileFields { file: "shop.toml", section: "choose", fields: CHOOSE },
    FileFields { file: "suppliers.csv", section: "", fields: SUPPLIERS },
    FileFields { file: "catalog/*.csv", section: "", fields: CATALOG },
    FileFields { file: "shelf.csv", section: "", fields: SHELF_ONLY },
    FileFields { file: "equivalents.csv", section: "", fields: EQUIVALENTS },
    FileFields { file: "rectifiers.csv", section: "", fields: RECTIFIERS },
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_unique_and_bounds_in_order() {
        for file in FILES {
            for (i, field) in file.fields.iter().enumerate() {
                assert!(!file.fields[..i].iter().any(|f| f.name == field.name), "{} {}", file.file, field.name);
                assert!(!field.meaning.is_empty());
                if field.form == Form::Number {
                    assert!(field.min < field.max, "{} {}", file.file, field.name);
                }
            }
        }
    }
}
