//! Readings after the work, from the text of their file to what is checked.

use capjob::input::{AfterFigure, AfterPoint, AfterReading, NamedBytes, read_after};
use capjob::model::part::Reading;
use capjob::verify::{AfterRow, Read, Unit, What};

/// Readings from the text of their file.
pub(crate) fn rows(text: &[u8]) -> Vec<AfterRow> {
    let read = read_after(NamedBytes { name: "after.csv", bytes: text }).map_err(|f| f.to_string()).expect("readings");
    read.value.iter().map(row).collect()
}

fn row(reading: &AfterReading) -> AfterRow {
    let what = match &reading.point {
        AfterPoint::Mains => What::Mains,
        AfterPoint::Node(node) => What::Node(node.clone()),
        AfterPoint::Ripple(node) => What::Ripple(node.clone()),
        AfterPoint::Bias => What::Bias,
        AfterPoint::Grid(part) => What::Grid(part.clone()),
        AfterPoint::Power => What::Power,
        AfterPoint::Hum => What::Hum,
        AfterPoint::Touch(way) => What::Touch(*way),
        AfterPoint::Cold => What::Cold,
        AfterPoint::Reads(part) => What::Reads(part.clone()),
        AfterPoint::Done(part) => What::Done(part.clone()),
    };
    let read = match reading.figure {
        AfterFigure::Volt(v) => Read::Figure(v.get(), Unit::Volt),
        AfterFigure::Ampere(a) => Read::Figure(a.get(), Unit::Ampere),
        AfterFigure::Watt(w) => Read::Figure(w.get(), Unit::Watt),
        AfterFigure::Ohm(r) | AfterFigure::Part(Reading::Ohm(r)) => Read::Figure(r.get(), Unit::Ohm),
        AfterFigure::Part(Reading::Farad(f)) => Read::Figure(f.get(), Unit::Farad),
        AfterFigure::Part(Reading::Open) => Read::Open,
        AfterFigure::Part(Reading::Short) => Read::Short,
        AfterFigure::Yes => Read::Yes,
        AfterFigure::No => Read::No,
        AfterFigure::NotTaken => Read::NotTaken,
    };
    AfterRow { what, read, note: reading.note.clone() }
}
