//! The chassis sheet: what is read, what is taken for what is missing, and its faults.

use super::*;
use crate::model::chassis::{Chassis, Circuit, Feed, Iron, Polarity, RectifierKind, SupplyKind};

/// The smallest sheet that is accepted.
const LEAST: &str = "[chassis]\nname = \"x\"\n";

fn chassis(text: &str) -> Chassis {
    job_of(text, "parts.csv", PARTS.as_bytes()).unwrap_or_else(|faults| panic!("{faults}")).value.chassis
}

fn fault_of(text: &str) -> Fault {
    let faults = job_of(text, "parts.csv", PARTS.as_bytes()).map(|_| ()).unwrap_err();
    assert_eq!(faults.len(), 1, "{faults}");
    faults.iter().next().unwrap().clone()
}

#[test]
fn the_whole_sheet_is_read() {
    let chassis = chassis(CHASSIS);
    assert_eq!(
        (chassis.name.as_str(), chassis.year, chassis.supply),
        ("Parish hall amplifier", Some(1956), SupplyKind::Transformer)
    );
    assert_eq!(chassis.inspected, Some(jiff::civil::date(2026, 11, 20)));
    assert_eq!(chassis.ceiling.unwrap().text(2), "350.00");
    assert_eq!(chassis.iron.mains_transformer, Some(Iron::Ok));
    assert_eq!(chassis.assumed, Vec::<String>::new());
    let supply = &chassis.supplies[0];
    assert_eq!(
        (supply.circuit, supply.rectifier, supply.polarity),
        (Circuit::CentreTap, RectifierKind::ValveIndirect, Polarity::Positive)
    );
    assert!(near(supply.winding.unwrap().get(), 350.0) && near(supply.source.unwrap().get(), 110.0));
    assert!(near(supply.max_first.unwrap().micro(), 60.0) && near(supply.warm_up_max.unwrap().get(), 455.0));
    assert!(supply.return_to.is_chassis());
    let [one, two, three] = supply.nodes.as_slice() else { panic!("three nodes") };
    assert_eq!((one.name.as_str(), &one.feed), ("HT1", &Feed::Direct));
    assert!(near(one.load.unwrap().get(), 0.092) && near(one.load_ohm.unwrap().get(), 220_000.0));
    assert!(matches!(&two.feed, Feed::Choke { henry, ohm } if near(henry.get(), 10.0) && near(ohm.get(), 180.0)));
    assert_eq!(three.feed, Feed::Through("R30".into()));
    assert_eq!((two.measured, two.sheet, two.load_ohm), (None, None, None));
}

#[test]
fn what_is_missing_is_taken_and_said() {
    let chassis = chassis(&format!("bare = \"uF\"\n{LEAST}"));
    assert_eq!(chassis.supply, SupplyKind::Unknown);
    assert_eq!((chassis.mains.hz, chassis.mains.tapping, chassis.year), (None, None, None));
    assert_eq!(
        chassis.assumed,
        [
            "air inside the cabinet not given: 45 °C taken",
            "hours of use not given: 300 a year taken",
            "life wanted of new parts not given: 15 years taken",
            "mains voltage not measured: winding voltages taken as they stand under load and 10 % more for every no-load figure",
            "mains frequency not given: 50 Hz taken",
            "mains lead not given: treated as not earthed",
            "kind of supply not given: treated as live",
            "owner's wish not given: a working set taken",
            "policy not given: suspect kinds taken",
            "year not given: nothing is judged by the chassis's age",
        ]
    );
}

#[test]
fn tapping_without_measured_mains_is_said_with_its_voltage() {
    let text = format!("{LEAST}[mains]\ntapping_v = 240\n[[ht]]\ncircuit = \"bridge\"\n[[ht.node]]\nname = \"HT1\"\n");
    let chassis = chassis(&text);
    for says in [
        "mains voltage not measured: 240 V of the tapping taken under load and 10 % more for every no-load figure",
        "rectifier of HT not known: treated as silicon",
        "polarity of HT not given: positive taken",
    ] {
        assert!(chassis.assumed.iter().any(|a| a == says), "{says}: {:?}", chassis.assumed);
    }
    assert_eq!((chassis.supplies[0].name.as_str(), chassis.supplies[0].rectifier), ("HT", RectifierKind::Unknown));
}

// 60 ohm of winding and 9 ohm of primary at 350 V from 240 V: 60 + 9 · (350/240)² = 79.140625 ohm.
#[test]
fn the_source_is_reckoned_from_winding_and_primary() {
    let text = CHASSIS.replace("source_ohm = 110", "winding_ohm = 60\nprimary_ohm = 9");
    assert!(near(chassis(&text).supplies[0].source.unwrap().get(), 79.140_625));
}

#[test]
fn the_sign_of_a_negative_supply_is_not_used() {
    for sign in ["", "-"] {
        let text = CHASSIS
            .replace("polarity = \"positive\"", "polarity = \"negative\"")
            .replace("measured_v = 410", &format!("measured_v = {sign}46"));
        assert!(near(chassis(&text).supplies[0].nodes[0].measured.unwrap().get(), 46.0));
    }
}

/// Each change of the sheet gives one fault of this kind at this line and column.
#[test]
fn faults_have_their_place() {
    for (from, to, kind, line, column) in [
        ("tapping_v", "taping_v", FaultKind::UnknownKey, 21, 1),
        ("[mains]", "[main]", FaultKind::UnknownKey, 20, 2),
        ("year = 1956", "year = \"1956\"", FaultKind::WrongType, 4, 8),
        ("year = 1956", "year = 1956.5", FaultKind::NotAQuantity, 4, 8),
        ("year = 1956", "year = 56", FaultKind::OutOfBounds, 4, 8),
        ("hz = 50", "hz = nan", FaultKind::OutOfBounds, 23, 6),
        ("\"three-core\"", "\"three-cor\"", FaultKind::UnknownWord, 24, 9),
        ("2026-11-20", "\"2026-02-30\"", FaultKind::Date, 8, 13),
        ("2026-11-20", "2026-11-20T10:00:00", FaultKind::Date, 8, 13),
        ("\"350.00\"", "350.00", FaultKind::WrongType, 10, 11),
        ("\"350.00\"", "\"£350\"", FaultKind::Money, 10, 11),
        ("name = \"HT2\"", "name = \"ht1\"", FaultKind::Duplicate, 43, 8),
        ("name = \"HT2\"", "name = \"CH\"", FaultKind::Contradiction, 43, 8),
        ("choke_ohm = 180\n", "", FaultKind::MissingField, 44, 11),
        ("choke_h = 10\nchoke_ohm = 180\n", "", FaultKind::MissingField, 43, 8),
        ("choke_ohm = 180\n", "choke_ohm = 180\nohm = 5\n", FaultKind::Contradiction, 46, 7),
        ("\"R30\"", "\"R99\"", FaultKind::UnknownName, 49, 11),
        ("\"R30\"", "\"C1\"", FaultKind::UnknownName, 49, 11),
        ("circuit = \"centre-tap\"\n", "", FaultKind::MissingField, 25, 1),
        ("perveance = 0.0012", "series = \"C1\"", FaultKind::Contradiction, 32, 10),
        ("measured_v = 410", "measured_v = -410", FaultKind::Contradiction, 40, 14),
        ("source_ohm = 110", "source_ohm = 110\nwinding_ohm = 10", FaultKind::Contradiction, 30, 15),
        ("source_ohm = 110", "primary_ohm = 10", FaultKind::MissingField, 29, 15),
        ("source_ohm = 110", "diode = { is_a = 1e-9, n = 1.8 }", FaultKind::MissingField, 29, 1),
        ("[iron]", "[iron", FaultKind::Grammar, 12, 6),
        ("bare = \"uF\"", "bare = \"nF\"", FaultKind::UnknownWord, 1, 8),
    ] {
        assert!(CHASSIS.contains(from), "{from}");
        let fault = fault_of(&CHASSIS.replacen(from, to, 1));
        assert_eq!((fault.kind, fault.line, fault.column), (kind, line, column), "{to}: {fault}");
    }
}

#[test]
fn a_fault_between_cr_and_lf_stands_at_the_end_of_its_line() {
    let faults = job_of("[chassis]\r\n\"\r\nname = \"x\"\r\n", "parts.csv", PARTS.as_bytes()).unwrap_err();
    for fault in faults.iter() {
        assert_eq!((fault.line, fault.column, fault.text.as_str(), fault.caret), (2, 2, "\"", 1), "{fault}");
    }
}

#[test]
fn an_unknown_key_names_the_nearest() {
    let fault = fault_of(&CHASSIS.replace("tapping_v", "taping_v"));
    assert_eq!(fault.help.as_deref(), Some("the nearest known is 'tapping_v'"));
}

#[test]
fn faults_of_both_files_come_in_one_run() {
    let chassis = CHASSIS.replace("year = 1956", "year = 56").replace("\"R30\"", "\"R31x\"");
    let parts = PARTS.replace(",paper,", ",papre,");
    let faults = job_of(&chassis, "parts.csv", parts.as_bytes()).map(|_| ()).unwrap_err();
    let found: Vec<(&str, usize)> = faults.iter().map(|fault| (fault.file.as_str(), fault.line)).collect();
    assert_eq!(found, [("parts.csv", 6), ("chassis.toml", 4), ("chassis.toml", 49)]);
}

/// A parts list that cannot be read gives no second fault about its references.
#[test]
fn an_unreadable_parts_list_is_one_fault() {
    let faults = job_of(CHASSIS, "parts.csv", b"%PDF-1.7").map(|_| ()).unwrap_err();
    assert_eq!((faults.len(), faults.iter().next().unwrap().kind), (1, FaultKind::WrongKind));
}

proptest::proptest! {
    #[test]
    fn any_sheet_ends_without_a_panic(bytes in proptest::collection::vec(proptest::num::u8::ANY, 0..300), cut in 0_usize..900) {
        let half = CHASSIS.as_bytes().get(..cut).unwrap_or(CHASSIS.as_bytes());
        for text in [bytes.clone(), [half, &bytes].concat()] {
            let file = NamedBytes { name: "chassis.toml", bytes: &text };
            if let Err(faults) = read_job("x", file, NamedBytes { name: "parts.csv", bytes: PARTS.as_bytes() }) {
                let _ = faults.to_string();
            }
        }
    }
}

#[test]
fn a_set_without_a_choke_says_so() {
    let sheet = |choke: &str| format!("{LEAST}[iron]\nchoke = \"{choke}\"\n");
    assert_eq!(chassis(&sheet("none")).iron.choke, None);
    assert_eq!(chassis(&sheet("open")).iron.choke, Some(Iron::Open));
    assert!(fault_of(&sheet("nine")).message.contains("'nine'"));
}

#[test]
fn a_day_is_asked_for_in_its_form() {
    for day in ["28.11.2026", "28/11/2026", "2026/11/28"] {
        let fault = fault_of(&format!("{LEAST}inspected = {day}\n"));
        assert!(fault.message.contains(day) && fault.help.unwrap().contains("2026-11-20"), "{}", fault.message);
    }
    let fault = fault_of(&format!("{LEAST}year = 1953\ninspected = 1926-11-28\n"));
    assert!(fault.message.contains("before the set's year 1953"), "{}", fault.message);
}

#[test]
fn what_is_read_twice_is_wrong_once() {
    let fault = fault_of(&CHASSIS.replace("winding_v = 350", "winding_v = 350000"));
    assert_eq!(fault.field.as_deref(), Some("winding_v"));
}
