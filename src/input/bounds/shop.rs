//! Keys of `shop.toml`, columns of `suppliers.csv`, `equivalents.csv` and `rectifiers.csv`.

use super::{Field, Form, Unit};

/// Keys of `shop.toml` before any section, and its sections.
pub(in crate::input) static SHOP: &[Field] = &[
    Field::of("currency", Form::Text, "the shop's own currency, three capital letters").needed(),
    Field::of("exchange", Form::Table, "one foreign unit in the shop's own currency, `EUR = \"0.86\"`"),
    Field::of("labour", Form::Table, "rate and minutes or sums by kind of work"),
    Field::number("markup_percent", Unit::Percent, (0.0, 1_000.0), "mark-up on parts"),
    Field::number("tax_percent", Unit::Percent, (0.0, 100.0), "tax"),
    Field::of("bench_fee", Form::Money, "bench fee, tax included"),
    Field::of("bench_fee_credited", Form::YesNo, "whether the fee is taken off when the work goes ahead; missing: no"),
    Field::number("allowance_percent", Unit::Percent, (0.0, 200.0), "allowance for faults not yet seen"),
    Field::number("deposit_percent", Unit::Percent, (0.0, 100.0), "deposit"),
    Field::number("valid_days", Unit::Day, (0.0, 3_650.0), "days that the quote holds"),
    Field::number("warranty_days", Unit::Day, (0.0, 36_500.0), "days of warranty on the work"),
    Field::of("margins", Form::Table, "thresholds by rule id, numbers"),
    Field::of("spares", Form::Table, "spares to buy"),
    Field::of("choose", Form::Table, "limits on choosing"),
    Field::of("words", Form::Word, "`uk` or `us` words on the documents; missing: uk"),
    Field::of("columns", Form::Table, "headings of suppliers by file name, `\"their heading\" = \"our column\"`"),
];

/// Keys of `[labour]`.
pub(in crate::input) static LABOUR: &[Field] = &[
    Field::of("rate_per_hour", Form::Money, "hourly rate"),
    Field::of("minutes", Form::Table, "minutes for each piece of work, by kind, 0 to 10000"),
    Field::of("money", Form::Table, "flat sums for each piece of work, by kind"),
];

/// Keys of `[spares]`.
pub(in crate::input) static SPARES: &[Field] = &[
    Field::number(
        "film",
        Unit::Piece,
        (0.0, 1_000.0),
        "extra for each film, mica, ceramic, paper or suppressor number bought; missing: 0",
    ),
    Field::number("resistor", Unit::Piece, (0.0, 1_000.0), "extra for each resistor number bought; missing: 0"),
    Field::number("electrolytic", Unit::Piece, (0.0, 1_000.0), "extra for each electrolytic number bought; missing: 0"),
    Field::number(
        "over_ten_percent",
        Unit::Percent,
        (0.0, 100.0),
        "above ten pieces of a number: this percentage instead; missing: 0",
    ),
    Field::number("to_select", Unit::Piece, (0.0, 1_000.0), "extra for each matched pair, to select from; missing: 0"),
];

/// Keys of `[choose]`.
pub(in crate::input) static CHOOSE: &[Field] = &[
    Field::number("max_suppliers", Unit::Piece, (1.0, 1_000.0), "at most so many suppliers; missing: no limit"),
    Field::number(
        "max_parts_per_place",
        Unit::Piece,
        (1.0, 4.0),
        "at most so many parts for one place; missing: no limit",
    ),
    Field::of("series_pairs", Form::YesNo, "two equal capacitors in series allowed; missing: yes"),
    Field::of("parallel_pairs", Form::YesNo, "two capacitors in parallel allowed; missing: yes"),
    Field::of("snap_in", Form::YesNo, "snap-in parts allowed everywhere; missing: no"),
];

/// Columns of `suppliers.csv`.
pub(in crate::input) static SUPPLIERS: &[Field] = &[
    Field::of("supplier", Form::Text, "name").needed(),
    Field::of("currency", Form::Text, "currency of its prices, three capital letters").needed(),
    Field::of("carriage", Form::Money, "carriage of one order").needed(),
    Field::of("free_over", Form::Money, "goods from which carriage is free; missing: never"),
    Field::of("minimum_order", Form::Money, "goods below which an order is small; missing: none"),
    Field::of("small_order_fee", Form::Money, "fee on a small order; missing: such an order is not possible"),
    Field::number("lead_days", Unit::Day, (0.0, 3_650.0), "days until delivery"),
];

/// Columns of `equivalents.csv`.
pub(in crate::input) static EQUIVALENTS: &[Field] = &[
    Field::of("designation", Form::Text, "designation wanted").needed(),
    Field::of("equivalent", Form::Text, "what may stand in for it").needed(),
    Field::of("note", Form::Text, "remark"),
];

/// Columns of `rectifiers.csv`.
pub(in crate::input) static RECTIFIERS: &[Field] = &[
    Field::of("type", Form::Text, "designation").needed(),
    Field::of("kind", Form::Word, "kind, as `rectifier` in the chassis sheet"),
    Field::number("perveance", Unit::Perveance, (0.000_001, 1.0), "i = perveance * v^1.5 per anode"),
    Field::number("max_first_uf", Unit::Microfarad, (0.1, 100_000.0), "largest first capacitor"),
    Field::number("max_peak_ma", Unit::Milliampere, (1.0, 100_000.0), "largest repetitive peak per anode"),
    Field::number("max_surge_a", Unit::Ampere, (0.01, 1_000.0), "largest surge per anode"),
    Field::number("max_ma", Unit::Milliampere, (1.0, 100_000.0), "largest direct current"),
    Field::of("min_source_ohm", Form::List, "least source resistance by winding voltage, `300:75;350:100`"),
    Field::number("heater_v", Unit::Volt, (0.5, 200.0), "heater voltage"),
    Field::number("heater_a", Unit::Ampere, (0.01, 50.0), "heater current"),
    Field::of("source", Form::Text, "where the figures come from"),
];
