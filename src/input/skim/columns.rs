//! What is to be done with each cell of a catalog's lines, settled once from the headings.

use crate::input::bounds::{CATALOG, Field, find};
use crate::input::table::numbered;

/// A figure in a column of its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Figure {
    Volts,
    Vac,
    Watts,
    Temp,
    Life,
    Ripple,
    RippleHz,
    Loss,
    Leakage,
    Esr,
    Diameter,
    Length,
    Lead,
    Made,
    Pack,
    Minimum,
    Stock,
    LeadDays,
}

/// What a cell holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Column {
    /// Nothing that is used.
    Unused,
    /// Something that only the full reader reads.
    Full,
    Number,
    Supplier,
    Part,
    Value,
    Tolerance,
    Figure(Figure, &'static Field),
    Class,
    Style,
    Polarised,
    Flameproof,
    Factors,
    Sections,
    Common,
    Designation,
    Description,
    Prices,
    Price(u32),
    Quantity(u32),
}

impl Column {
    /// The column of a heading; `with_unit` where the heading names the unit of bare numbers.
    pub(super) fn of(name: Option<&str>, with_unit: bool) -> Self {
        let Some(name) = name else { return Self::Unused };
        if with_unit {
            return Self::Full;
        }
        let plain = match name {
            "number" => Self::Number,
            "supplier" => Self::Supplier,
            "part" => Self::Part,
            "value" => Self::Value,
            "tolerance" => Self::Tolerance,
            "class" => Self::Class,
            "style" => Self::Style,
            "polarised" => Self::Polarised,
            "flameproof" => Self::Flameproof,
            "ripple_factors" => Self::Factors,
            "sections" => Self::Sections,
            "common" => Self::Common,
            "designation" => Self::Designation,
            "description" => Self::Description,
            "prices" => Self::Prices,
            _ => Self::Full,
        };
        if plain != Self::Full {
            return plain;
        }
        let figure = figure(name).and_then(|f| find(CATALOG, name).map(|field| Self::Figure(f, field)));
        figure
            .or_else(|| numbered(name, "price").map(Self::Price))
            .or_else(|| numbered(name, "qty").map(Self::Quantity))
            .unwrap_or(Self::Full)
    }
}

fn figure(name: &str) -> Option<Figure> {
    Some(match name {
        "rated_v" => Figure::Volts,
        "rated_vac" => Figure::Vac,
        "watts" => Figure::Watts,
        "temp_c" => Figure::Temp,
        "life_h" => Figure::Life,
        "ripple_ma" => Figure::Ripple,
        "ripple_hz" => Figure::RippleHz,
        "loss_factor" => Figure::Loss,
        "leakage_ua" => Figure::Leakage,
        "esr_ohm" => Figure::Esr,
        "diameter_mm" => Figure::Diameter,
        "length_mm" => Figure::Length,
        "lead_mm" => Figure::Lead,
        "made" => Figure::Made,
        "pack" => Figure::Pack,
        "minimum" => Figure::Minimum,
        "stock" => Figure::Stock,
        "lead_days" => Figure::LeadDays,
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_column_has_its_place() {
        for field in CATALOG {
            assert_ne!(Column::of(Some(field.name), false), Column::Full, "{}", field.name);
        }
        assert_eq!(Column::of(Some("price_10"), false), Column::Price(10));
        assert_eq!(Column::of(Some("rated_v"), true), Column::Full);
        assert_eq!(Column::of(None, false), Column::Unused);
    }
}
