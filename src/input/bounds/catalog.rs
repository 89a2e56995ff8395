//! Columns of the catalog files and of the shelf.

use super::{Field, Form, Unit};

/// Columns of a supplier's catalog; further price columns are `price1`, `price10`, `qty10`.
pub(in crate::input) static CATALOG: &[Field] = &[
    Field::of("number", Form::Text, "supplier's number").needed(),
    Field::of("supplier", Form::Text, "supplier, as in `suppliers.csv`").needed(),
    Field::of("part", Form::Word, "what it is, as in `parts.csv`").needed(),
    Field::of("value", Form::Mark, "capacitance or resistance; blank for cans and for parts with a designation"),
    Field::of("tolerance", Form::List, "tolerance, `10%` or `-20/+50%`"),
    Field::number("rated_v", Unit::Volt, (1.0, 50_000.0), "DC rating; of a resistor its limiting voltage"),
    Field::number("rated_vac", Unit::VoltAc, (1.0, 20_000.0), "AC rating"),
    Field::of("class", Form::Word, "safety class; missing: never used on the mains"),
    Field::number("watts", Unit::Watt, (0.01, 1_000.0), "power rating"),
    Field::number("temp_c", Unit::Celsius, (40.0, 400.0), "upper category temperature"),
    Field::number("life_h", Unit::Hour, (100.0, 1_000_000.0), "endurance at that temperature"),
    Field::number(
        "ripple_ma",
        Unit::Milliampere,
        (0.1, 200_000.0),
        "rated ripple current, rms; missing: never a reservoir",
    ),
    Field::number("ripple_hz", Unit::Hertz, (10.0, 1_000_000.0), "frequency of that rating; missing: 100 Hz assumed"),
    Field::of("ripple_factors", Form::List, "multipliers by frequency, `50:0.8;100:1;1k:1.3`"),
    Field::number("loss_factor", Unit::None, (0.000_001, 5.0), "loss factor limit"),
    Field::number("leakage_ua", Unit::Microampere, (0.0, 1_000_000.0), "leakage limit"),
    Field::number("esr_ohm", Unit::Ohm, (0.000_1, 10_000.0), "series resistance"),
    Field::of("style", Form::Word, "mounting"),
    Field::number("diameter_mm", Unit::Millimetre, (0.2, 300.0), "body diameter; missing: size not checked"),
    Field::number("length_mm", Unit::Millimetre, (0.2, 1_000.0), "body length; missing: size not checked"),
    Field::number("lead_mm", Unit::Millimetre, (0.0, 500.0), "length of the leads, or their pitch on radial parts"),
    Field::of("polarised", Form::YesNo, "whether it is polarised; missing: an electrolytic is"),
    Field::of("flameproof", Form::YesNo, "whether it is flameproof; missing: no"),
    Field::of("designation", Form::Text, "designation of valves, lamps, fuses, hardware"),
    Field::of("sections", Form::Mark, "sections of a can, `32uF+32uF`, with ratings where they differ"),
    Field::of("common", Form::Word, "cans: `negative` when the sections share it, else `none`; missing: none"),
    Field::number("made", Unit::Year, (1900.0, 2100.0), "year of make"),
    Field::of("prices", Form::List, "unit price from a quantity on, `1:0.42;10:0.36`; or columns `price1`, `price10`")
        .needed(),
    Field::number("pack", Unit::Piece, (1.0, 1_000_000.0), "sold in multiples of this; missing: 1"),
    Field::number("minimum", Unit::Piece, (1.0, 1_000_000.0), "least quantity; missing: 1"),
    Field::number("stock", Unit::Piece, (0.0, 1_000_000_000.0), "pieces in stock; missing: not limited"),
    Field::number("lead_days", Unit::Day, (0.0, 3_650.0), "days until delivery; missing: the supplier's"),
    Field::of("description", Form::Text, "the supplier's description"),
];

/// Columns that the shelf has besides a catalog's; `supplier` and `prices` are not used there.
pub(in crate::input) static SHELF_ONLY: &[Field] = &[
    Field::number("quantity", Unit::Piece, (0.0, 1_000_000.0), "pieces on the shelf").needed(),
    Field::of("price", Form::Money, "what one is charged at; missing: 0.00"),
];
