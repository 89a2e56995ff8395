//! Parts lists read cell by cell, and their faults.

use super::*;
use crate::input::fault::Faults;
use crate::model::kind::{MainsClass, Place, Sight, Style, Wish};
use crate::model::part::{Reading, Value};

fn read(text: &str) -> (Vec<Part>, Sink) {
    let mut sink = Sink::default();
    let list = read_parts("parts.csv", text.as_bytes(), Bare::Refuse, &mut sink);
    (list.parts, sink)
}

fn one(columns: &str, cells: &str) -> Part {
    let (mut parts, sink) = read(&format!("ref,part,marked,{columns}\n{cells}\n"));
    assert!(sink.faults.is_empty(), "{}", sink.faults);
    parts.remove(0)
}

fn faults(columns: &str, cells: &str) -> Faults {
    read(&format!("ref,part,marked,{columns}\n{cells}\n")).1.faults
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-9 * b.abs()
}

#[test]
fn marks_by_kind() {
    let can = one("can", "C31a,electrolytic,20 MFD 450 WV,A");
    assert!(near(can.farad().unwrap().micro(), 20.0));
    assert!(near(can.rating.volts.unwrap().get(), 450.0));
    let paper = one("note", "C5,paper,.02/600,");
    assert!(near(paper.farad().unwrap().micro(), 0.02) && near(paper.rating.volts.unwrap().get(), 600.0));
    let suppressor = one("note", "C1,suppressor,0.1uF 275V~ X2,");
    assert_eq!(suppressor.rating.class, Some(MainsClass::X2));
    assert!(near(suppressor.rating.vac.unwrap().get(), 275.0));
    let resistor = one("note", "R3,carbon-composition,220K 1/2W 10%,");
    assert!(near(resistor.ohm().unwrap().get(), 220_000.0));
    assert!(near(resistor.rating.watts.unwrap().get(), 0.5));
    assert!(near(resistor.rating.tolerance.unwrap().plus_percent, 10.0));
    assert_eq!(one("note", "V1,valve,KT66,").value, Some(Value::Designation("KT66".into())));
    assert_eq!(one("note", "F1,fuse,T1A,").designation(), Some("T1A"));
}

#[test]
fn what_is_not_known_stays_none() {
    let part = one("rated_v,place,plus,sight,in_circuit,reads", "C9,electrolytic,?,-,n/a,,,?,");
    assert_eq!((part.value, part.rating.volts, part.place, part.plus), (None, None, None, None));
    assert!(part.found.sight.is_empty() && part.found.in_circuit.is_none() && part.found.reads.is_none());
    assert_eq!(part.marked, "?");
}

#[test]
fn readings_sight_and_space() {
    let part = one(
        "place,plus,minus,reads,in_circuit,esr_ohm,esr_hz,leakage_ma,leakage_v,leakage_min,sight,style,max_diameter_mm,heat_c",
        "C2,electrolytic,32uF 450V,Smoothing,ht2,ch,14.1uF,no,2.1,100k,3.2,400,10,wax run + bulged,axial radial,1in,60",
    );
    assert_eq!(part.place, Some(Place::Smoothing));
    assert_eq!(part.plus.as_ref().unwrap().as_str(), "HT2");
    assert!(part.minus.as_ref().unwrap().is_chassis());
    assert!(matches!(part.found.reads, Some(Reading::Farad(f)) if near(f.micro(), 14.1)));
    assert_eq!(part.found.in_circuit, Some(false));
    let esr = part.found.esr.unwrap();
    assert!(near(esr.ohm.get(), 2.1) && near(esr.at.unwrap().get(), 100_000.0));
    let leakage = part.found.leakage.unwrap();
    assert!(near(leakage.current.milli(), 3.2) && near(leakage.after.unwrap().get(), 600.0));
    assert_eq!(part.found.sight, [Sight::WaxRun, Sight::Bulged]);
    assert_eq!(part.space.styles, [Style::Axial, Style::Radial]);
    assert!(near(part.space.diameter.unwrap().get(), 25.4));
}

#[test]
fn readings_by_kind() {
    assert_eq!(one("reads", "F1,fuse,T1A,open").found.reads, Some(Reading::Open));
    assert_eq!(one("reads", "C1,paper,.1/400,S/C").found.reads, Some(Reading::Short));
    assert!(matches!(one("reads", "R1,wirewound,250,287R").found.reads, Some(Reading::Ohm(r)) if near(r.get(), 287.0)));
}

#[test]
fn the_sign_of_bias_and_working_voltage_is_not_used() {
    for sign in ["", "-"] {
        let part = one("bias_v,working_v,grid_v", &format!("C7,paper,.1/400,{sign}46,{sign}46,-0.5"));
        assert!(near(part.found.bias.unwrap().get(), 46.0) && near(part.found.working.unwrap().get(), 46.0));
        assert!(near(part.found.grid.unwrap().get(), -0.5));
    }
}

#[test]
fn demands_and_wishes() {
    let part = one("accept,accept_v,accept_class,wish", "C1,electrolytic,20uF,18uF..33uF,500,,Restuff");
    let (low, high) = part.accept.farad.unwrap();
    assert!(near(low.micro(), 18.0) && near(high.micro(), 33.0) && near(part.accept.volts.unwrap().get(), 500.0));
    assert_eq!(part.wish, Some(Wish::Restuff));
    let part = one("accept,accept_class", "C4,suppressor,4700pF,4.7nF,y2");
    assert_eq!(part.accept.class, Some(MainsClass::Y2));
    assert_eq!(one("accept", "V3,valve,GZ34,5AR4").accept.designation.as_deref(), Some("5AR4"));
}

#[test]
fn a_column_of_its_own_wins_over_the_mark_with_a_note() {
    let (parts, sink) = read("ref,part,marked,rated_v\nC1,electrolytic,20uF 350V,450\n");
    assert!(near(parts[0].rating.volts.unwrap().get(), 450.0));
    assert_eq!(sink.notes, ["parts.csv:2: rated_v 450 V taken, not the marked 350 V"]);
}

#[test]
fn row_order_does_not_matter() {
    let lines = ["R10,film,1uF", "C2,film,2uF", "C10,film,3uF", "C31b,film,4uF", "C31a,film,5uF"];
    let order = |lines: &[&str]| {
        let (parts, _) = read(&format!("ref,part,marked\n{}\n", lines.join("\n")));
        parts.into_iter().map(|part| Part { line: 0, ..part }).collect::<Vec<_>>()
    };
    let mut turned = lines;
    turned.reverse();
    assert_eq!(order(&lines), order(&turned));
    let refs: Vec<String> = order(&lines).into_iter().map(|part| part.reference).collect();
    assert_eq!(refs, ["C2", "C10", "C31a", "C31b", "R10"]);
}

/// Slips of the unit, each with the column where it must be found.
#[test]
fn slips_of_the_unit_are_faults() {
    for (columns, cell, kind) in [
        ("esr_ohm", "0.002", FaultKind::OutOfBounds),
        ("leakage_ma", "3200", FaultKind::OutOfBounds),
        ("rated_v", "450000", FaultKind::OutOfBounds),
        ("rated_v", "0.45", FaultKind::OutOfBounds),
        ("fitted", "88", FaultKind::OutOfBounds),
        ("fitted", "1988.5", FaultKind::NotAQuantity),
        ("heat_c", "600", FaultKind::OutOfBounds),
        ("reads", "4.7F", FaultKind::NotAQuantity),
        ("reads", "0.5F", FaultKind::OutOfBounds),
        ("leakage_ma", "many", FaultKind::NotAQuantity),
        ("place", "resevoir", FaultKind::UnknownWord),
        ("in_circuit", "perhaps", FaultKind::UnknownWord),
        ("rated_v", "\"4,5\"", FaultKind::DecimalMark),
    ] {
        let found = faults(columns, &format!("C1,electrolytic,22uF,{cell}"));
        let kinds: Vec<(FaultKind, usize, usize)> = found.iter().map(|f| (f.kind, f.line, f.column)).collect();
        assert_eq!(kinds, [(kind, 2, 22)], "{columns} {cell}: {found}");
    }
    assert_eq!(faults("note", "C1,electrolytic,4.7 F,").iter().next().unwrap().kind, FaultKind::NotAQuantity);
}

#[test]
fn every_fault_of_every_line_is_found_in_one_run() {
    let text = "ref,part,marked,place,esr_ohm\nC1,papre,.1/400,coupling,\n,paper,.1/400,copling,0.001\nC1,paper,40,,\nC2,,.1,,\n";
    let (parts, sink) = read(text);
    let found: Vec<(usize, FaultKind)> = sink.faults.iter().map(|f| (f.line, f.kind)).collect();
    assert_eq!(
        found,
        [
            (2, FaultKind::UnknownWord),
            (3, FaultKind::EmptyCell),
            (3, FaultKind::OutOfBounds),
            (3, FaultKind::UnknownWord),
            (4, FaultKind::NotAQuantity),
            (4, FaultKind::Duplicate),
            (5, FaultKind::EmptyCell),
        ]
    );
    assert!(parts.is_empty());
    let shown = sink.faults.to_string();
    assert!(shown.contains("ref 'C1' stands already on line 2"), "{shown}");
    assert!(
        shown.contains("the nearest known is 'paper'") && shown.contains("the nearest known is 'coupling'"),
        "{shown}"
    );
}

#[test]
fn sections_on_one_line_are_refused() {
    let found = faults("note", "C31,electrolytic,32+32uF 350V,");
    assert!(found.to_string().contains("2 sections on one line"), "{found}");
}

#[test]
fn a_misspelt_kind_is_one_fault() {
    let found = faults("reads", "C1,electrolitic,22uF 350V,38uF");
    assert_eq!(found.len(), 1, "{found}");
    assert!(found.to_string().contains("'electrolytic'"), "{found}");
}

#[test]
fn what_a_tester_says_is_no_reading() {
    let found = faults("reads", "V1,valve,EL41,low").to_string();
    assert!(found.contains("reads 'low': of a valve this column takes ohms, open or short"), "{found}");
    assert!(found.contains("'note'"), "{found}");
    let found = faults("note", "R1,carbon-composition,22uF 350V,").to_string();
    assert!(found.contains("is a capacitor's, and the part is a carbon-composition"), "{found}");
}

// Continental makers part thousands by a point: 5000 pF, not 5 pF, on a paper capacitor.
#[test]
fn a_point_that_may_part_thousands_is_asked_about() {
    for (marked, help) in [("5.000pF", "5000pF, or 5pF"), ("20.000 pF 400V", "20000pF, or 20pF")] {
        let found = faults("note", &format!("C5,paper,{marked},")).to_string();
        assert!(found.contains(help), "{found}");
    }
    for (marked, pico) in [("4.75pF", 4.75), ("0.500pF", 0.5), ("1000.5pF", 1000.5), ("5000pF", 5000.0)] {
        let farad = one("note", &format!("C5,ceramic,{marked},")).farad().unwrap();
        assert!(near(farad.get(), pico * 1e-12), "{marked}");
    }
    let found = faults("note", "C3,electrolytic,25uF -25V,");
    assert!(found.to_string().contains("'-25V' not understood"), "{found}");
    assert!(near(one("note", "C3,electrolytic,25uF-25V,").rating.volts.unwrap().get(), 25.0));
}
