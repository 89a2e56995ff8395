//! The published and derived figures on value marks and date codes: every row of topic 4 of
//! `tests/data/checks.csv`, each to the tolerance of its row. The sources stand in the rows.
#![expect(
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test fails by panicking, also in its helper functions"
)]

use capjob::marking::{Decoded, DecodedKind, DecodedValue, Series, date_code, decode};
use capjob::units::parse::Tolerance;
use capjob::units::{Farad, Ohm};

/// One row of the table.
#[derive(Debug)]
struct Row {
    id: String,
    input: String,
    expected: String,
    tolerance: String,
}

/// The rows of topic 4.
fn rows() -> Vec<Row> {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/checks.csv");
    let mut reader = csv::Reader::from_path(path).expect("the table of checks");
    let field = |record: &csv::StringRecord, at: usize| record.get(at).expect("a full row").to_owned();
    reader
        .records()
        .map(|record| record.expect("a readable row"))
        .filter(|record| record.get(0).is_some_and(|id| id.starts_with("4.")))
        .map(|r| Row { id: field(&r, 0), input: field(&r, 2), expected: field(&r, 3), tolerance: field(&r, 5) })
        .collect()
}

/// Checks a figure to the tolerance of its row.
fn check(row: &Row, found: f64) {
    let expected: f64 = row.expected.parse().expect("a figure");
    let allowed = match row.tolerance.split_once(' ') {
        Some(("rel", part)) => part.parse::<f64>().expect("a tolerance") * expected.abs(),
        Some(("abs", part)) => part.parse::<f64>().expect("a tolerance"),
        // Exact means the same decimal figure; the last bits of binary fractions may differ.
        _ => 1e-12 * expected.abs(),
    };
    assert!((found - expected).abs() <= allowed, "{}: found {found}, expected {expected}", row.id);
}

/// The reading of a kind.
fn reading(text: &str, kind: DecodedKind) -> Decoded {
    let all = decode(text, None);
    all.iter().find(|d| d.kind == kind).unwrap_or_else(|| panic!("{text}: no {kind} in {all:?}")).clone()
}

/// The figure of a reading of a kind.
fn figure(text: &str, kind: DecodedKind) -> f64 {
    reading(text, kind).value.expect("a value").si()
}

/// Member `i` of a series, 1 to 10.
fn member(series: Series, i: usize) -> f64 {
    f64::from(series.hundredths()[i]) / 100.0
}

/// 4.01: what the series hold.
fn series(row: &Row) {
    match row.id.as_str() {
        "4.01-a" => {
            let differs: Vec<String> = Series::E24
                .hundredths()
                .into_iter()
                .zip(0..24)
                .filter(|(value, i)| format!("{:.1}", 10_f64.powf(f64::from(*i) / 24.0)) != tenths(*value))
                .map(|(value, _)| tenths(value))
                .collect();
            assert_eq!(differs.join(" "), row.expected, "{}", row.id);
        }
        "4.01-b" => check(row, member(Series::E192, 185)),
        "4.01-E96-1" => check(row, member(Series::E96, 1)),
        "4.01-E96-48" => check(row, member(Series::E96, 48)),
        "4.01-E96-92" => check(row, member(Series::E96, 92)),
        "4.01-E48-7" => check(row, member(Series::E48, 7)),
        other => panic!("no check for {other}"),
    }
}

/// A value in hundredths with one decimal.
fn tenths(hundredths: u32) -> String {
    format!("{:.1}", f64::from(hundredths) / 100.0)
}

/// 4.02: the nearest preferred value.
fn preferred(row: &Row) {
    match row.id.as_str() {
        "4.02-a" => check(row, Series::E12.at_or_above_farad(Farad::new(50e-6)).micro()),
        "4.02-b" => check(row, Series::E6.nearest_farad(Farad::new(16e-6)).micro()),
        "4.02-c" => check(row, Series::E24.nearest_ohm(Ohm::new(250e3)).get() / 1e3),
        other => panic!("no check for {other}"),
    }
}

/// 4.04: colour bands, `4700 +-10 %`.
fn colours(row: &Row) {
    let words = row.input.split('(').next().expect("colours").trim();
    let found = reading(words, DecodedKind::ResistorColours);
    let (ohm, percent) = row.expected.split_once(" +-").expect("a value and a tolerance");
    let percent = percent.trim_end_matches(" %").parse().expect("a percentage");
    assert_eq!(found.tolerance, Some(Tolerance::symmetric(percent)), "{}", row.id);
    let row = Row { expected: ohm.to_owned(), input: String::new(), id: row.id.clone(), tolerance: "exact".into() };
    check(&row, found.value.expect("a resistance").si());
}

/// 4.05 and 4.07: codes, with the expected reading typed out as the row words it.
fn code(row: &Row) {
    let mark = row.input.trim_start_matches("mark=");
    let mut said: Vec<String> = Vec::new();
    for found in decode(mark, None) {
        match (found.kind, found.value) {
            (DecodedKind::VoltCode, Some(DecodedValue::Volt(volts))) => said.push(format!("{} Vdc", volts.get())),
            (DecodedKind::CapacitorCode, Some(DecodedValue::Farad(farad))) => {
                let pf = farad.get() * 1e12;
                let (scale, unit) = if pf >= 999_999.0 {
                    (1e6, "uF")
                } else if pf >= 999.0 {
                    (1e3, "nF")
                } else {
                    (1.0, "pF")
                };
                said.push(format!("{} {unit}", (pf / scale * 1e6).round() / 1e6));
                said.extend(found.tolerance.map(|t| {
                    if t == Tolerance::symmetric(t.plus_percent) {
                        format!("+-{} %", t.plus_percent)
                    } else {
                        format!("-{}/+{} %", t.minus_percent, t.plus_percent)
                    }
                }));
            }
            _ => {}
        }
    }
    let said = said.join(if mark.starts_with('2') && mark.len() > 3 { ", " } else { " " });
    assert_eq!(said, row.expected, "{}", row.id);
}

/// 4.08: source-date codes.
fn date(row: &Row) {
    let text = row.input.split([' ']).next().expect("a code");
    let set_year = row.input.split_once("equipment made ").map(|(_, year)| year.parse().expect("a year"));
    let said = match date_code(text, set_year) {
        Ok(code) => {
            let years: Vec<String> = code.years.iter().map(u16::to_string).collect();
            format!("week {} of {}", code.week, years.join("|"))
        }
        Err(capjob::marking::DateCodeError::Week { week }) if week > 53 => "invalid: week > 53".to_owned(),
        Err(fault) => panic!("{}: {fault}", row.id),
    };
    assert_eq!(said, row.expected, "{}", row.id);
}

#[test]
fn every_row_of_topic_4() {
    let rows = rows();
    // Counted by hand in the table: 6 + 3 + 8 + 6 + 6 + 5 + 3 + 4.
    assert_eq!(rows.len(), 41);
    for row in &rows {
        let mark = row.input.trim_start_matches("mark=");
        match row.id.get(..4).expect("an id") {
            "4.01" => series(row),
            "4.02" => preferred(row),
            "4.03" => {
                let ohms = ["4K7", "R47", "1M5", "47R"].contains(&mark);
                let kind = if ohms { DecodedKind::ResistorValue } else { DecodedKind::CapacitorValue };
                check(row, figure(mark, kind));
            }
            "4.04" => colours(row),
            "4.05" | "4.07" => code(row),
            "4.06" => check(row, figure(mark, DecodedKind::CapacitorValue)),
            "4.08" => date(row),
            other => panic!("no check for topic {other}"),
        }
    }
}
