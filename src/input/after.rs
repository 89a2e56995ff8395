//! `after.csv`: readings after the work.

use super::bounds::AFTER;
use super::escape::quoted;
use super::fault::{FaultKind, Faults};
use super::job::{NamedBytes, Noted};
use super::marks::accepted;
use super::rows::{Sink, read_rows};
use super::table::{Columns, Row};
use super::unit::plain_number;
use crate::model::chassis::Job;
use crate::model::part::{NodeName, Reading};
use crate::units::parse::{self, Bare, CurrentUnit, nearest};
use crate::units::{Ampere, Ohm, Volt, Watt};

/// What was read after the work.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum AfterPoint {
    /// The mains while the readings were taken.
    Mains,
    /// Voltage of a node, `HT1`.
    Node(NodeName),
    /// Ripple voltage at a node, `ripple:HT1`.
    Ripple(NodeName),
    /// Bias voltage.
    Bias,
    /// DC on the grid that this capacitor feeds, `grid:C7`.
    Grid(String),
    /// Output power.
    Power,
    /// Hum.
    Hum,
    /// Touch current with the plug one way (1) and the other (2).
    Touch(u8),
    /// Insulation, cold.
    Cold,
    /// A part's own quantity, `reads:C7`.
    Reads(String),
    /// Whether a part's work is done, `done:FS1`.
    Done(String),
}

/// The figure of a reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum AfterFigure {
    /// Voltage, with its sign.
    Volt(Volt),
    /// Current.
    Ampere(Ampere),
    /// Power.
    Watt(Watt),
    /// Insulation.
    Ohm(Ohm),
    /// A part's own quantity, open or short.
    Part(Reading),
    /// Done.
    Yes,
    /// Not done.
    No,
    /// Not measured: the cell is blank.
    NotTaken,
}

/// One line of `after.csv`.
#[derive(Debug, Clone, PartialEq)]
pub struct AfterReading {
    /// What was read.
    pub point: AfterPoint,
    /// What it showed.
    pub figure: AfterFigure,
    /// Remark.
    pub note: Option<String>,
    /// Line of the file.
    pub line: usize,
}

/// Reads the readings after the work, in the order of the file.
///
/// # Errors
/// Every fault of the file.
pub fn read_after(file: NamedBytes<'_>) -> Result<Noted<Vec<AfterReading>>, Faults> {
    read(file, None)
}

/// Reads the readings after the work on a job: a node or part that the job does not have is a fault too.
///
/// # Errors
/// Every fault of the file.
pub fn read_after_of(file: NamedBytes<'_>, job: &Job) -> Result<Noted<Vec<AfterReading>>, Faults> {
    read(file, Some(job))
}

fn read(file: NamedBytes<'_>, job: Option<&Job>) -> Result<Noted<Vec<AfterReading>>, Faults> {
    let mut sink = Sink::default();
    let mut seen: Vec<(AfterPoint, usize)> = Vec::new();
    let (readings, _) = read_rows(file.name, file.bytes, Columns::plain(AFTER), &mut sink, |row| {
        let point = point(row)?;
        if let Some((_, line)) = seen.iter().find(|(other, _)| *other == point) {
            let message = format!("what {} stands already on line {line}", quoted(&row.as_written("what")));
            row.fault("what", FaultKind::Duplicate, message, "leave one of the two lines".to_owned());
        }
        seen.push((point.clone(), row.line));
        if let Some(job) = job {
            known(row, &point, job);
        }
        let figure = figure(row, &point);
        Some(AfterReading { point, figure: figure?, note: row.text("note"), line: row.line })
    });
    sink.faults.or(Some(readings)).map(|value| Noted { value, notes: sink.notes })
}

/// What a line is about.
fn point(row: &mut Row<'_>) -> Option<AfterPoint> {
    let text = row.needed_text("what")?;
    let (head, tail) = text.split_once(':').map_or((text.as_str(), None), |(head, tail)| (head, Some(tail.trim())));
    let point = match (head.trim().to_lowercase().as_str(), tail) {
        ("ripple", Some(node)) if !node.is_empty() => AfterPoint::Ripple(NodeName::new(node)),
        ("grid", Some(reference)) if !reference.is_empty() => AfterPoint::Grid(reference.to_owned()),
        ("reads", Some(reference)) if !reference.is_empty() => AfterPoint::Reads(reference.to_owned()),
        ("done", Some(reference)) if !reference.is_empty() => AfterPoint::Done(reference.to_owned()),
        ("touch", Some("1")) => AfterPoint::Touch(1),
        ("touch", Some("2")) => AfterPoint::Touch(2),
        ("mains", None) => AfterPoint::Mains,
        ("bias", None) => AfterPoint::Bias,
        ("power", None) => AfterPoint::Power,
        ("hum", None) => AfterPoint::Hum,
        ("cold", None) => AfterPoint::Cold,
        (head, None) if !matches!(head, "ripple" | "grid" | "reads" | "touch" | "done") => {
            AfterPoint::Node(NodeName::new(&text))
        }
        _ => return unknown_point(row, &text),
    };
    Some(point)
}

/// Whether the job has the node or part that a line is about; a fault with the nearest one where it has not.
fn known(row: &mut Row<'_>, point: &AfterPoint, job: &Job) {
    let (kind, name, names): (_, &str, Vec<&str>) = match point {
        AfterPoint::Node(node) | AfterPoint::Ripple(node) => {
            let of_supplies = job.chassis.supplies.iter().flat_map(|s| s.nodes.iter().map(|n| n.name.as_str()));
            let of_parts = job.parts.iter().flat_map(|p| [&p.plus, &p.minus]).flatten().map(NodeName::as_str);
            ("node", node.as_str(), of_supplies.chain(of_parts).collect())
        }
        AfterPoint::Grid(part) | AfterPoint::Reads(part) | AfterPoint::Done(part) => {
            ("part", part, job.parts.iter().map(|p| p.reference.as_str()).collect())
        }
        _ => return,
    };
    if !names.contains(&name) {
        let message = format!("{} names no {kind} of this job", quoted(name));
        let help = match nearest(name, &names) {
            Some(near) => format!("the nearest known is '{near}'"),
            None => format!("write a {kind} of parts.csv or chassis.toml"),
        };
        row.fault("what", FaultKind::UnknownName, message, help);
    }
}

fn unknown_point(row: &mut Row<'_>, text: &str) -> Option<AfterPoint> {
    let message = format!("what {} is not known", quoted(text));
    let help = "write a node's name, mains, ripple:NODE, bias, grid:REF, power, hum, touch:1, touch:2, cold, reads:REF or \
                done:REF";
    row.fault("what", FaultKind::UnknownWord, message, help.to_owned());
    None
}

/// The reading in its unit; a bare number has the unit of its column `unit`, else that of its kind.
fn figure(row: &mut Row<'_>, point: &AfterPoint) -> Option<AfterFigure> {
    if row.text("read").is_none() {
        return Some(AfterFigure::NotTaken);
    }
    if let AfterPoint::Done(_) = point {
        return row.yes_no("read").map(|done| if done { AfterFigure::Yes } else { AfterFigure::No });
    }
    let read = row.quantity("read")?;
    let unit = row.text("unit").unwrap_or_default();
    let bare = plain_number(&read).is_some();
    let text = if bare { format!("{read} {unit}") } else { read };
    let text = text.trim();
    match point {
        AfterPoint::Hum if bare && unit.is_empty() => needs_unit(row, text, "mV or V"),
        AfterPoint::Mains
        | AfterPoint::Node(_)
        | AfterPoint::Ripple(_)
        | AfterPoint::Bias
        | AfterPoint::Grid(_)
        | AfterPoint::Hum => volt(row, text),
        // Output and touch current are often read as a voltage, across the load or the test network.
        AfterPoint::Power | AfterPoint::Touch(_) if text.ends_with('V') => volt(row, text),
        AfterPoint::Power => accepted(row, "read", parse::watt(text)).map(AfterFigure::Watt),
        AfterPoint::Touch(_) => {
            accepted(row, "read", parse::current(text, CurrentUnit::Milliampere)).map(AfterFigure::Ampere)
        }
        AfterPoint::Cold if bare && unit.is_empty() => needs_unit(row, text, "M or k"),
        AfterPoint::Cold => accepted(row, "read", parse::resistance(text)).map(|marked| AfterFigure::Ohm(marked.ohm)),
        AfterPoint::Reads(_) if bare && unit.is_empty() => needs_unit(row, text, "uF, nF, pF, ohm, k or M"),
        AfterPoint::Reads(_) | AfterPoint::Done(_) => own_quantity(row, text).map(AfterFigure::Part),
    }
}

fn volt(row: &mut Row<'_>, text: &str) -> Option<AfterFigure> {
    accepted(row, "read", parse::volt(text)).map(AfterFigure::Volt)
}

fn needs_unit(row: &mut Row<'_>, text: &str, units: &str) -> Option<AfterFigure> {
    let message = format!("read {} has no unit", quoted(text));
    row.fault("unit", FaultKind::EmptyCell, message, format!("write {units} in the column 'unit'"));
    None
}

/// A capacitance or a resistance, told apart by the unit.
fn own_quantity(row: &mut Row<'_>, text: &str) -> Option<Reading> {
    match text.to_lowercase().as_str() {
        "open" | "o/c" => return Some(Reading::Open),
        "short" | "s/c" => return Some(Reading::Short),
        _ => {}
    }
    if let Ok(marked) = parse::resistance(text) {
        return Some(Reading::Ohm(marked.ohm));
    }
    accepted(row, "read", parse::capacitance(text, Bare::Refuse)).map(|marked| Reading::Farad(marked.farad))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<Noted<Vec<AfterReading>>, Faults> {
        read_after(NamedBytes { name: "after.csv", bytes: text.as_bytes() })
    }

    #[test]
    fn every_point_is_read() {
        let text = "what,read,unit,note\nHT1,412,V,warm\nripple:HT1,4.2,,\nbias,-46,V,\ngrid:C7,25,mV,\npower,14,W,\n\
                    hum,3,mV,\ntouch:1,0.21,mA,\ntouch:2,90uA,,\ncold,94,M,\nreads:C7,0.047,uF,\nreads:R3,270k,,\nreads:C9,open,,\n";
        let readings = read(text).unwrap().value;
        assert_eq!(readings.len(), 12);
        let figure = |i: usize| readings[i].figure;
        assert_eq!(figure(0), AfterFigure::Volt(Volt::new(412.0)));
        assert_eq!(figure(2), AfterFigure::Volt(Volt::new(-46.0)));
        assert_eq!(readings[3].point, AfterPoint::Grid("C7".into()));
        assert_eq!(figure(11), AfterFigure::Part(Reading::Open));
        assert!(matches!(figure(8), AfterFigure::Ohm(ohm) if (ohm.get() - 94e6).abs() < 1.0));
        assert!(matches!(figure(9), AfterFigure::Part(Reading::Farad(f)) if (f.micro() - 0.047).abs() < 1e-9));
        assert!(matches!(figure(10), AfterFigure::Part(Reading::Ohm(ohm)) if (ohm.get() - 270e3).abs() < 1e-6));
    }

    #[test]
    fn output_and_touch_may_be_read_in_volts() {
        let readings = read("what,read,unit\nmains,247,V\npower,7.6,V\ntouch:1,0.90,V\n").unwrap().value;
        let figures: Vec<AfterFigure> = readings.iter().map(|r| r.figure).collect();
        assert_eq!(readings[0].point, AfterPoint::Mains);
        assert_eq!(figures, [247.0, 7.6, 0.9].map(|v| AfterFigure::Volt(Volt::new(v))));
    }

    #[test]
    fn a_unit_that_cannot_be_known_is_asked_for() {
        let faults =
            read("what,read,unit\nhum,3,\ncold,94,\nreads:C7,47,\nripple:,3,\nHT1,,V\nHT2,1,V\nHT2,2,V\n").unwrap_err();
        let lines: Vec<usize> = faults.iter().map(|fault| fault.line).collect();
        assert_eq!(lines, [2, 3, 4, 5, 8], "{faults}");
    }
}
