//! Columns of `parts.csv` and `after.csv`.

use super::{Field, Form, Unit};

/// Columns of `parts.csv`.
pub(in crate::input) static PARTS: &[Field] = &[
    Field::of("ref", Form::Text, "reference, unique in the job").needed(),
    Field::of("part", Form::Word, "what it is").needed(),
    Field::of(
        "marked",
        Form::Mark,
        "value as marked, with voltage, tolerance, watts; designation of a valve, lamp, fuse",
    )
    .needed(),
    Field::number("rated_v", Unit::Volt, (1.0, 20_000.0), "DC rating; of a resistor its limiting voltage"),
    Field::number("rated_vac", Unit::VoltAc, (1.0, 10_000.0), "AC rating"),
    Field::number("watts", Unit::Watt, (0.01, 1_000.0), "power rating"),
    Field::of("tolerance", Form::List, "tolerance, `10%`, `-20/+50%` or a letter"),
    Field::of("class", Form::Word, "safety class for the mains"),
    Field::of("place", Form::Word, "place in the circuit"),
    Field::of("plus", Form::Text, "positive or first node; `CH` is the chassis"),
    Field::of("minus", Form::Text, "negative or second node"),
    Field::of("can", Form::Text, "letter of the can that this is a section of"),
    Field::of("pair", Form::Text, "letter of the group to be matched"),
    Field::number(
        "working_v",
        Unit::Volt,
        (-20_000.0, 20_000.0),
        "measured working voltage across the part; its sign is not used",
    ),
    Field::number(
        "highest_v",
        Unit::Volt,
        (-20_000.0, 20_000.0),
        "measured highest voltage across the part; its sign is not used",
    ),
    Field::number("fitted", Unit::Year, (1900.0, 2100.0), "year of a part that is not the chassis's own"),
    Field::of("reads", Form::Mark, "measured capacitance or resistance, or `open`, `short`"),
    Field::of("in_circuit", Form::YesNo, "whether both ends were connected; missing: yes"),
    Field::number("esr_ohm", Unit::Ohm, (0.005, 100_000.0), "measured series resistance"),
    Field::number(
        "esr_hz",
        Unit::Hertz,
        (10.0, 10_000_000.0),
        "its test frequency; without it the reading is not judged",
    ),
    Field::number("leakage_ma", Unit::Milliampere, (0.0, 500.0), "measured leakage"),
    Field::number("leakage_v", Unit::Volt, (1.0, 10_000.0), "voltage of the leakage test"),
    Field::number("leakage_min", Unit::Minute, (0.0, 1_440.0), "minutes under that voltage"),
    Field::number("grid_v", Unit::Volt, (-500.0, 1_000.0), "DC on the next grid, valve cold or removed"),
    Field::number("bias_v", Unit::Volt, (-500.0, 500.0), "working bias of that grid; its sign is not used"),
    Field::of("sight", Form::Word, "what is seen, several with `+`; missing: not looked at"),
    Field::number("heat_c", Unit::Celsius, (-20.0, 250.0), "temperature at the part"),
    Field::number("ripple_ma", Unit::Milliampere, (0.0, 20_000.0), "ripple current where it is known, rms"),
    Field::number("ripple_hz", Unit::Hertz, (10.0, 1_000_000.0), "its frequency; missing: the place's"),
    Field::of("style", Form::Word, "what may be fitted, several with `+`; missing: axial or radial"),
    Field::number("max_diameter_mm", Unit::Millimetre, (0.5, 300.0), "largest diameter that has room"),
    Field::number("max_length_mm", Unit::Millimetre, (1.0, 1_000.0), "largest length that has room"),
    Field::of(
        "accept",
        Form::Mark,
        "value or range that the technician demands, `18uF..33uF`; a designation for valves",
    ),
    Field::number("accept_v", Unit::Volt, (1.0, 20_000.0), "least voltage that the technician demands"),
    Field::of("accept_class", Form::Word, "safety class that the technician demands"),
    Field::of("wish", Form::Word, "what the technician wants done; missing: left to the rules"),
    Field::of("note", Form::Text, "remark"),
];

/// Columns of `after.csv`.
pub(in crate::input) static AFTER: &[Field] = &[
    Field::of(
        "what",
        Form::Text,
        "a node's name, `mains`, `ripple:NODE`, `bias`, `grid:REF`, `power`, `hum`, `touch:1`, `touch:2`, `cold`, `reads:REF` or `done:REF`",
    )
    .needed(),
    Field::of("read", Form::Mark, "the reading with its sign, in `unit` or with its unit; `open` or `short`; for `done:REF` yes or no; blank: not measured").needed(),
    Field::of("unit", Form::Word, "unit of the reading: V, mV, A, mA, uA, W, ohm, k, M, uF, nF, pF"),
    Field::of("note", Form::Text, "remark"),
];
