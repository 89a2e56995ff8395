//! Single quantities in every accepted spelling.

use super::super::*;
use super::close;
use crate::units::{Farad, Ohm, Volt};

const UF: f64 = 1e-6;
const NF: f64 = 1e-9;
const PF: f64 = 1e-12;

#[test]
fn capacitances_as_people_write_them() {
    for (text, farad) in [
        ("22uF", 22.0 * UF),
        ("22 µF", 22.0 * UF),
        ("22 \u{3BC}F", 22.0 * UF),
        ("22\u{A0}µF", 22.0 * UF),
        ("20 MFD", 20.0 * UF),
        ("8 MF", 8.0 * UF),
        ("8 mF", 8.0 * UF),
        ("5µ", 5.0 * UF),
        (".02", 0.02 * UF),
        ("0.02 mfd", 0.02 * UF),
        (".0005 MF", 500.0 * PF),
        (".9", 0.9 * UF),
        ("M47", 0.47 * UF),
        ("u47", 0.47 * UF),
        ("µ47", 0.47 * UF),
        ("4u7", 4.7 * UF),
        ("4µ7", 4.7 * UF),
        ("2,2uF", 2.2 * UF),
        ("4n7", 4.7 * NF),
        ("4N7", 4.7 * NF),
        ("n47", 0.47 * NF),
        ("47n", 47.0 * NF),
        ("47 nF", 47.0 * NF),
        ("2p2", 2.2 * PF),
        ("4700p", 4700.0 * PF),
        ("100 MMFD", 100.0 * PF),
        ("100 mmfd", 100.0 * PF),
        ("50 MMF", 50.0 * PF),
        ("220 µµF", 220.0 * PF),
        ("250 uuF", 250.0 * PF),
        ("473", 47.0 * NF),
        ("104", 100.0 * NF),
        ("1000000 µF", 1.0),
        ("0,047 µF", 0.047 * UF),
    ] {
        let read = capacitance(text, Bare::Refuse).unwrap_or_else(|e| panic!("{text}: {e}"));
        assert!(close(read.farad.get(), farad), "{text}: {:?}", read.farad);
        assert_eq!(read.tolerance, None, "{text}");
    }
}

#[test]
fn bare_values_follow_the_sheet() {
    use Bare::{Microfarad, Picofarad, Refuse};
    for (text, bare, farad) in [
        ("20", Microfarad, 20.0 * UF),
        ("300", Picofarad, 300.0 * PF),
        ("2k2", Picofarad, 2200.0 * PF),
        (".1", Picofarad, 0.1 * UF),
        ("500", Microfarad, 500.0 * UF),
        ("4K7", Picofarad, 4.7 * NF),
    ] {
        let read = capacitance(text, bare).unwrap_or_else(|e| panic!("{text}: {e}"));
        assert!(close(read.farad.get(), farad), "{text}: {:?}", read.farad);
    }
    for (text, bare) in [
        ("20", Refuse),
        ("1", Refuse),
        ("300", Refuse),
        ("2k2", Refuse),
        ("2k2", Microfarad),
        // Two readings each: the code and the number in the sheet's unit.
        ("473", Picofarad),
        ("473", Microfarad),
        // 22 pF by the code, 220 pF by the eye.
        ("220K", Refuse),
        ("10K", Picofarad),
    ] {
        assert!(capacitance(text, bare).is_err(), "{text} {bare:?}");
    }
}

#[test]
fn tolerances_behind_a_capacitance() {
    for (text, farad, minus, plus) in [
        ("473K", 47.0 * NF, 10.0, 10.0),
        ("104K", 100.0 * NF, 10.0, 10.0),
        ("682J", 6.8 * NF, 5.0, 5.0),
        ("105K", 1.0 * UF, 10.0, 10.0),
        ("103Z", 10.0 * NF, 20.0, 80.0),
        ("0.1uF K", 0.1 * UF, 10.0, 10.0),
        ("47nJ", 47.0 * NF, 5.0, 5.0),
        ("4n7K", 4.7 * NF, 10.0, 10.0),
        (".1M", 0.1 * UF, 20.0, 20.0),
        ("22uF 20%", 22.0 * UF, 20.0, 20.0),
        ("22 µF ±20%", 22.0 * UF, 20.0, 20.0),
        ("32uF -20/+50%", 32.0 * UF, 20.0, 50.0),
        ("32uF +50-10%", 32.0 * UF, 10.0, 50.0),
    ] {
        let read = capacitance(text, Bare::Refuse).unwrap_or_else(|e| panic!("{text}: {e}"));
        assert!(close(read.farad.get(), farad), "{text}");
        assert_eq!(read.tolerance, Some(Tolerance { minus_percent: minus, plus_percent: plus }), "{text}");
    }
}

#[test]
fn resistances_as_people_write_them() {
    for (text, ohm) in [
        ("4K7", 4700.0),
        ("4.7K", 4700.0),
        ("4k7", 4700.0),
        ("4,7k", 4700.0),
        ("220k", 220e3),
        ("220 k", 220e3),
        ("470R", 470.0),
        ("470 R", 470.0),
        ("470\u{3A9}", 470.0),
        ("470 \u{2126}", 470.0),
        ("470 ohm", 470.0),
        ("470 Ohms", 470.0),
        ("1M", 1e6),
        ("1 meg", 1e6),
        ("1 MEG", 1e6),
        ("1 megohm", 1e6),
        ("2M2", 2.2e6),
        ("2m2", 2.2e6),
        (".47M", 470e3),
        ("R47", 0.47),
        ("0R47", 0.47),
        ("47R", 47.0),
        ("220000", 220e3),
        ("500K", 500e3),
        ("22 kΩ", 22e3),
        ("94 Mohm", 94e6),
        ("250 mohm", 0.25),
        ("yel-vio-org-sil", 47e3),
        ("yellow violet red silver", 4700.0),
        ("0 R", 0.0),
        ("4.7 K ohms", 4700.0),
    ] {
        let read = resistance(text).unwrap_or_else(|e| panic!("{text}: {e}"));
        assert!(close(read.ohm.get(), ohm), "{text}: {:?}", read.ohm);
    }
    for (text, percent) in [("47K 10%", 10.0), ("4K7J", 5.0), ("100KK", 10.0), ("yel-vio-org-sil", 10.0)] {
        let read = resistance(text).expect(text);
        assert_eq!(read.tolerance, Some(Tolerance::symmetric(percent)), "{text}");
    }
}

#[test]
fn voltages() {
    for (text, volts) in [
        ("450", 450.0),
        ("450 WV", 450.0),
        ("450 VW", 450.0),
        ("450WVDC", 450.0),
        ("450 VDCW", 450.0),
        ("450 DCW", 450.0),
        ("450/525 surge", 450.0),
        ("350-0-350", 350.0),
        ("250-0-250V", 250.0),
        ("HT 285", 285.0),
        ("HT1 410", 410.0),
        ("B+ 285", 285.0),
        ("B+2 285V", 285.0),
        ("-46", -46.0),
        ("\u{2212}46 V", -46.0),
        ("+0.9", 0.9),
        ("1.5mV", 0.0015),
        ("1.2 kV", 1200.0),
        ("6,3", 6.3),
    ] {
        let read = volt(text).unwrap_or_else(|e| panic!("{text}: {e}"));
        assert!(close(read.get(), volts), "{text}: {read:?}");
    }
    for text in ["250~", "275VAC", "500 PV", "", "V", "1,200", "NaN", "1e9", "450 450", "450 W", "250/350"] {
        assert!(volt(text).is_err(), "{text}: {:?}", volt(text));
    }
    for (text, volts) in [("250~", 250.0), ("275 VAC", 275.0), ("275", 275.0), ("AC 250V", 250.0), ("250V AC", 250.0)] {
        assert_eq!(volt_ac(text).map(Volt::get), Ok(volts), "{text}");
    }
}

#[test]
fn other_columns() {
    for (text, amperes) in [("3.2mA", 0.0032), ("110uA", 110e-6), ("160", 0.16), ("1.6 A", 1.6), ("3,2 mA", 0.0032)] {
        assert!(close(current(text, CurrentUnit::Milliampere).expect(text).get(), amperes), "{text}");
    }
    assert!(close(current("30", CurrentUnit::Microampere).expect("30").get(), 30e-6));
    for (text, watts) in [("1/2W", 0.5), ("½", 0.5), ("½W", 0.5), ("1½ W", 1.5), ("5", 5.0), ("500mW", 0.5)] {
        assert!(close(watt(text).expect(text).get(), watts), "{text}");
    }
    for (text, hz) in [("100k", 1e5), ("120", 120.0), ("1k", 1e3), ("50~", 50.0), ("60 c/s", 60.0), ("60c", 60.0)] {
        assert!(close(hertz(text).expect(text).get(), hz), "{text}");
    }
    for (text, c) in [("85", 85.0), ("105C", 105.0), ("105°C", 105.0), ("-40 °C", -40.0)] {
        assert!(close(celsius(text).expect(text).get(), c), "{text}");
    }
    for (text, mm) in [
        ("18", 18.0),
        ("19mm", 19.0),
        ("1in", 25.4),
        ("1-1/4in", 31.75),
        ("1 1/4 in", 31.75),
        ("3/4\"", 19.05),
        ("1¼in", 31.75),
    ] {
        assert!(close(millimetre(text).expect(text).get(), mm), "{text}");
    }
    for (text, minus, plus) in [
        ("10", 10.0, 10.0),
        ("10%", 10.0, 10.0),
        ("+-20%", 20.0, 20.0),
        ("±20", 20.0, 20.0),
        ("+/-20 %", 20.0, 20.0),
        ("-20/+80", 20.0, 80.0),
        ("+80-20%", 20.0, 80.0),
        ("K", 10.0, 10.0),
        ("j", 5.0, 5.0),
        ("M", 20.0, 20.0),
        ("Z", 20.0, 80.0),
    ] {
        assert_eq!(tolerance(text), Ok(Tolerance { minus_percent: minus, plus_percent: plus }), "{text}");
    }
    assert_eq!(ratio_list("50:0.8;100:1;1k:1.3"), Ok(vec![(50.0, 0.8), (100.0, 1.0), (1000.0, 1.3)]));
    for text in ["", "50", "100:1;50:0.8", "50:x", "0:1", "50:0"] {
        assert!(ratio_list(text).is_err(), "{text}");
    }
}

#[test]
fn ranges() {
    let uf = |a: f64, b: f64| (Farad::from_micro(a), Farad::from_micro(b));
    for (text, wanted) in [
        ("18uF..33uF", uf(18.0, 33.0)),
        ("18..33uF", uf(18.0, 33.0)),
        ("18 .. 33 µF", uf(18.0, 33.0)),
        ("22uF", uf(22.0, 22.0)),
    ] {
        let (low, high) = capacitance_range(text, Bare::Refuse).unwrap_or_else(|e| panic!("{text}: {e}"));
        assert!(close(low.get(), wanted.0.get()) && close(high.get(), wanted.1.get()), "{text}: {low:?} {high:?}");
    }
    assert_eq!(resistance_range("180..270k"), Ok((Ohm::new(180e3), Ohm::new(270e3))));
    assert_eq!(resistance_range("180R..1k"), Ok((Ohm::new(180.0), Ohm::new(1e3))));
    // The fault quotes the range, not the end of it that cannot be read.
    for text in ["33uF..18uF", "..", "18uF..", "..33uF", "x..33uF"] {
        assert_eq!(capacitance_range(text, Bare::Refuse).expect_err("no range").read, text);
        assert_eq!(resistance_range(text).expect_err("no range").read, text);
    }
}

#[test]
fn faults_say_how_to_mend() {
    let fault = capacitance("20", Bare::Refuse).expect_err("bare");
    assert_eq!(fault.to_string(), "capacitance: '20' has no unit, and pF or µF is not stated for the sheet");
    assert_eq!(fault.mend(), "write 20uF or 20pF, or set `bare` for the sheet");
    assert_eq!(fault.read, "20");
    let fault = capacitance("4.7 F", Bare::Refuse).expect_err("absurd");
    assert_eq!(fault.to_string(), "capacitance: beyond all reason; the range is 0.1 pF to 1 F");
    let fault = resistance("47q").expect_err("unit");
    assert_eq!(fault.to_string(), "resistance: unit 'q' not known");
}
