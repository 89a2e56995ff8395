//! Keys of `chassis.toml`.

use super::{Field, Form, Unit};

/// Keys before any section, and the sections.
pub(in crate::input) static BOTTOM: &[Field] = &[
    Field::of(
        "bare",
        Form::Word,
        "unit of a bare capacitor value of 1 or more: `uF` or `pF`; missing: such values are refused",
    ),
    Field::of("chassis", Form::Table, "the set").needed(),
    Field::of("iron", Form::Table, "transformers and choke"),
    Field::of("conditions", Form::Table, "conditions of use"),
    Field::of("mains", Form::Table, "the mains"),
    Field::of("ht", Form::Table, "a rectifier and what it feeds; may stand more than once"),
];

/// Keys of `[chassis]`.
pub(in crate::input) static CHASSIS: &[Field] = &[
    Field::of("name", Form::Text, "name of the set").needed(),
    Field::number("year", Unit::Year, (1900.0, 2100.0), "year of make; missing: no rule by age"),
    Field::of("supply", Form::Word, "how it is fed; missing or `unknown`: treated as live"),
    Field::of("wish", Form::Word, "what the owner wants; missing: working"),
    Field::of("policy", Form::Word, "how far to renew; missing: suspect"),
    Field::of("inspected", Form::Date, "the day that ages are counted from"),
    Field::number("promised_days", Unit::Day, (0.0, 3_650.0), "days promised to the owner"),
    Field::of("ceiling", Form::Money, "what the owner has authorised"),
    Field::of("value", Form::Money, "what the set is worth"),
];

/// Keys of `[iron]`.
pub(in crate::input) static IRON: &[Field] = &[
    Field::of("mains_transformer", Form::Word, "`ok`, `open`, `low-insulation` or `unchecked`; missing: unchecked"),
    Field::of("output_transformer", Form::Word, "as above"),
    Field::of("choke", Form::Word, "as above"),
];

/// Keys of `[conditions]`.
pub(in crate::input) static CONDITIONS: &[Field] = &[
    Field::number("inside_c", Unit::Celsius, (-20.0, 150.0), "air inside the cabinet, hot; missing: 45"),
    Field::number("hours_per_year", Unit::Hour, (1.0, 8_784.0), "hours of use in a year; missing: 300"),
    Field::number("wanted_years", Unit::None, (0.0, 100.0), "years that new parts should last; missing: 15"),
];

/// Keys of `[mains]`.
pub(in crate::input) static MAINS: &[Field] = &[
    Field::number("tapping_v", Unit::VoltAc, (10.0, 500.0), "tapping in use"),
    Field::number(
        "measured_v",
        Unit::VoltAc,
        (10.0, 500.0),
        "measured; missing: the tapping, and 10 % more for no-load figures",
    ),
    Field::number(
        "high_percent",
        Unit::Percent,
        (0.0, 50.0),
        "head-room for no-load figures; missing: 0 when measured, else 10",
    ),
    Field::number("hz", Unit::Hertz, (10.0, 1_000.0), "frequency; missing: 50"),
    Field::of("earth", Form::Word, "mains lead; missing: treated as not earthed"),
];

/// Keys of `[[ht]]`.
pub(in crate::input) static HT: &[Field] = &[
    Field::of("name", Form::Text, "name; missing: HT, HT 2 and so on"),
    Field::of("circuit", Form::Word, "rectifier circuit").needed(),
    Field::number(
        "winding_v",
        Unit::VoltAc,
        (0.5, 10_000.0),
        "off load at the tapping; one half of a centre-tapped winding",
    ),
    Field::number(
        "source_ohm",
        Unit::Ohm,
        (0.01, 20_000.0),
        "per anode: winding, reflected primary and series resistors",
    ),
    Field::number(
        "winding_ohm",
        Unit::Ohm,
        (0.01, 20_000.0),
        "resistance of the winding (one half of a centre-tapped one)",
    ),
    Field::number("primary_ohm", Unit::Ohm, (0.01, 20_000.0), "resistance of the primary at the tapping"),
    Field::of("rectifier", Form::Word, "kind of rectifier; missing or `unknown`: treated as silicon"),
    Field::of("type", Form::Text, "designation, looked up in `rectifiers.csv`"),
    Field::number("perveance", Unit::Perveance, (0.000_001, 1.0), "i = perveance * v^1.5 per anode"),
    Field::of("diode", Form::Table, "law of a silicon rectifier"),
    Field::of("middle", Form::Text, "node between the reservoirs of a full-wave doubler"),
    Field::of("series", Form::Text, "reference of the series capacitor of a half-wave doubler"),
    Field::of("return", Form::Text, "node that the supply returns to; missing: CH"),
    Field::number("max_first_uf", Unit::Microfarad, (0.1, 100_000.0), "largest first capacitor of the rectifier"),
    Field::number("max_peak_ma", Unit::Milliampere, (1.0, 1_000_000.0), "largest repetitive peak of one anode"),
    Field::number(
        "warm_up_max_v",
        Unit::Volt,
        (-10_000.0, 10_000.0),
        "measured highest at the first node while warming up",
    ),
    Field::of("polarity", Form::Word, "`positive` or `negative`; missing: positive"),
    Field::of("node", Form::Table, "a node; may stand more than once, in order from the rectifier").needed(),
];

/// Keys of `diode = { ... }`.
pub(in crate::input) static DIODE: &[Field] = &[
    Field::number("is_a", Unit::Ampere, (1e-18, 0.01), "saturation current").needed(),
    Field::number("n", Unit::None, (0.5, 10.0), "emission coefficient").needed(),
    Field::number("ohm", Unit::Ohm, (0.0, 1_000.0), "series resistance").needed(),
];

/// Keys of `[[ht.node]]`.
pub(in crate::input) static NODE: &[Field] = &[
    Field::of("name", Form::Text, "name, unique in the chassis").needed(),
    Field::number("load_ma", Unit::Milliampere, (0.0, 10_000.0), "drawn from this node itself by valves"),
    Field::number("load_ohm", Unit::Ohm, (1.0, 1e9), "resistive load, there from switch-on"),
    Field::number("measured_v", Unit::Volt, (-10_000.0, 10_000.0), "measured voltage to chassis"),
    Field::number("sheet_v", Unit::Volt, (-10_000.0, 10_000.0), "voltage on the service sheet"),
    Field::number("choke_h", Unit::Henry, (0.001, 1_000.0), "inductance of the choke that feeds it"),
    Field::number("choke_ohm", Unit::Ohm, (0.0, 20_000.0), "resistance of that choke; needed with `choke_h`"),
    Field::of("through", Form::Text, "reference of the resistor that feeds it"),
    Field::number("ohm", Unit::Ohm, (0.0, 10_000_000.0), "resistance that feeds it"),
];
