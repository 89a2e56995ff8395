//! Whole marks: capacitors, resistors, offers in one line.

use super::super::*;
use super::close;
use crate::units::{Ampere, Celsius, Farad, Hertz, Hour, Millimetre, Ohm, Volt, Watt};

/// Sections in µF, volts, vac, tolerance in percent.
type Mark<'a> = (&'a str, &'a [f64], Option<f64>, Option<f64>, Option<f64>);

#[test]
fn marks_of_capacitors() {
    let table: &[Mark] = &[
        ("20 MFD 450 WV", &[20.0], Some(450.0), None, None),
        ("20MFD450WV", &[20.0], Some(450.0), None, None),
        ("20 M.F.D. 450 W.V.", &[20.0], Some(450.0), None, None),
        ("20uF/450", &[20.0], Some(450.0), None, None),
        ("20/450", &[20.0], Some(450.0), None, None),
        ("20-20/450", &[20.0, 20.0], Some(450.0), None, None),
        ("20-20 MFD 450V", &[20.0, 20.0], Some(450.0), None, None),
        ("32+32 350VW", &[32.0, 32.0], Some(350.0), None, None),
        ("32uF+32uF 350V", &[32.0, 32.0], Some(350.0), None, None),
        ("8x8 500V", &[8.0, 8.0], Some(500.0), None, None),
        ("8 × 8 500V", &[8.0, 8.0], Some(500.0), None, None),
        ("40/20/20 @ 300", &[40.0, 20.0, 20.0], Some(300.0), None, None),
        ("40/20/20 300V", &[40.0, 20.0, 20.0], Some(300.0), None, None),
        (".02/600", &[0.02], Some(600.0), None, None),
        ("0.02 mfd 600 volt", &[0.02], Some(600.0), None, None),
        (".05-400", &[0.05], Some(400.0), None, None),
        (".1 400", &[0.1], Some(400.0), None, None),
        ("104K 250", &[0.1], Some(250.0), None, Some(10.0)),
        ("473 400V", &[0.047], Some(400.0), None, None),
        ("2A104J", &[0.1], Some(100.0), None, Some(5.0)),
        ("25/25", &[25.0], Some(25.0), None, None),
        ("16 MFD 450/525 surge", &[16.0], Some(450.0), None, None),
        ("16uF 450V 525PV", &[16.0], Some(450.0), None, None),
        ("16uF 450V (525V peak)", &[16.0], Some(450.0), None, None),
        ("0.1uF 250~", &[0.1], None, Some(250.0), None),
        ("0.1uF 275VAC X2", &[0.1], None, Some(275.0), None),
        ("X2 0.1uF 275V~", &[0.1], None, Some(275.0), None),
        ("0.1 µF 630VDC/250VAC 10%", &[0.1], Some(630.0), Some(250.0), Some(10.0)),
        ("22 µF ±20% 450V", &[22.0], Some(450.0), None, Some(20.0)),
        ("40-60/450", &[40.0, 60.0], Some(450.0), None, None),
        ("300 pF 500V", &[0.0003], Some(500.0), None, None),
        ("2,2/400", &[2.2], Some(400.0), None, None),
        ("1 µF 1kV", &[1.0], Some(1000.0), None, None),
        ("4700p", &[0.0047], None, None, None),
        ("450V 16uF", &[16.0], Some(450.0), None, None),
        ("2.2M 400V", &[2.2], Some(400.0), None, None),
        ("8 MF 450 D.C.", &[8.0], Some(450.0), None, None),
        ("20. MFD 450 V.", &[20.0], Some(450.0), None, None),
    ];
    for (text, sections, volts, vac, percent) in table {
        let mark = capacitor_mark(text, Bare::Refuse).unwrap_or_else(|e| panic!("{text}: {e}"));
        let read: Vec<f64> = mark.sections.iter().map(|f| f.micro()).collect();
        assert_eq!(read.len(), sections.len(), "{text}: {read:?}");
        assert!(read.iter().zip(*sections).all(|(a, b)| close(*a, *b)), "{text}: {read:?}");
        assert_eq!(mark.volts.map(Volt::get), *volts, "{text}");
        assert_eq!(mark.vac.map(Volt::get), *vac, "{text}");
        assert_eq!(mark.tolerance, percent.map(Tolerance::symmetric), "{text}");
        assert_eq!(mark.rest, "", "{text}");
    }
}

#[test]
fn voltages_of_each_section() {
    for text in ["40/450 + 20/25", "40uF 450V + 20uF 25V", "40uF 450V, 20uF 25V", "40/450 20/25", "40/450, 20/25"] {
        let mark = capacitor_mark(text, Bare::Refuse).unwrap_or_else(|e| panic!("{text}: {e}"));
        assert_eq!(mark.sections, [Farad::new(40e-6), Farad::new(20e-6)], "{text}");
        assert_eq!(mark.section_volts, [Some(Volt::new(450.0)), Some(Volt::new(25.0))], "{text}");
        assert_eq!(mark.volts, None, "{text}");
    }
    let mark = capacitor_mark("40/20/20 @ 450/450/25", Bare::Refuse).expect("voltages in the order of the values");
    assert_eq!(mark.section_volts.iter().flatten().map(|v| v.get()).collect::<Vec<_>>(), [450.0, 450.0, 25.0]);
    let mark = capacitor_mark("40-40/450 20/25", Bare::Refuse).expect("two sections at 450 V, one at 25 V");
    assert_eq!(mark.section_volts.iter().flatten().map(|v| v.get()).collect::<Vec<_>>(), [450.0, 450.0, 25.0]);
}

#[test]
fn what_a_capacitor_also_says() {
    let mark = capacitor_mark("4n7 X1Y2 250V~ TUBULAR", Bare::Refuse).expect("a mains part");
    assert_eq!(mark.classes, [ClassMark::X1, ClassMark::Y2]);
    assert_eq!(mark.rest, "TUBULAR");
}

#[test]
fn marks_that_are_refused() {
    for text in [
        "40-60",
        "40-60 MFD",
        "40/20/20",
        "8/8",
        "2x16 450V",
        "4 700",
        "20-450",
        "20",
        "450V",
        "WV",
        "",
        "16uF 450V 30",
        "1,000 pF",
        "4.7 F",
        "20 MFD 450V 350V",
        "-20uF",
        "0uF",
        "1e400",
        "NaN",
        "inf uF",
        "20uF 0V",
        "9999999999",
        "16 x",
        "20 QFD 450V",
    ] {
        let read = capacitor_mark(text, Bare::Refuse);
        assert!(read.is_err(), "{text}: {read:?}");
    }
}

#[test]
fn marks_of_resistors() {
    for (text, ohm, watts, percent, volts, rest) in [
        ("220K 1/2W 10%", 220e3, Some(0.5), Some(10.0), None, ""),
        ("470 ohms 5W WW", 470.0, Some(5.0), None, None, "WW"),
        ("4k7 1W", 4700.0, Some(1.0), None, None, ""),
        ("100K 1/2W", 100e3, Some(0.5), None, None, ""),
        ("100K ½W", 100e3, Some(0.5), None, None, ""),
        ("100K ½", 100e3, Some(0.5), None, None, ""),
        ("100K 1/2", 100e3, Some(0.5), None, None, ""),
        ("47R 1½W", 47.0, Some(1.5), None, None, ""),
        ("4K7/2W", 4700.0, Some(2.0), None, None, ""),
        ("1M 5% 0.25W 250V", 1e6, Some(0.25), Some(5.0), Some(250.0), ""),
        ("yel-vio-org-sil", 47e3, None, Some(10.0), None, ""),
        ("yel-vio-org-sil 1W", 47e3, Some(1.0), Some(10.0), None, ""),
        ("yellow violet orange 1W", 47e3, Some(1.0), Some(20.0), None, ""),
        ("220000 1W", 220e3, Some(1.0), None, None, ""),
        ("10K 10W", 10e3, Some(10.0), None, None, ""),
        ("22K J", 22e3, None, Some(5.0), None, ""),
    ] {
        let mark = resistor_mark(text).unwrap_or_else(|e| panic!("{text}: {e}"));
        assert!(close(mark.ohm.get(), ohm), "{text}: {:?}", mark.ohm);
        assert_eq!(mark.watts.map(Watt::get), watts, "{text}");
        assert_eq!(mark.tolerance, percent.map(Tolerance::symmetric), "{text}");
        assert_eq!(mark.volts.map(Volt::get), volts, "{text}");
        assert_eq!(mark.rest, rest, "{text}");
    }
    for text in ["", "1W", "100K1/2W", "red", "red red", "100K 220K", "4E7", "-100K", "100K 5W 3W", "1,000", "bow"] {
        assert!(resistor_mark(text).is_err(), "{text}: {:?}", resistor_mark(text));
    }
}

#[test]
fn offers_in_one_line() {
    let text = "22uF 450V 105C axial 160mA@120 2000h 18x36 20%";
    let offer = offer_text(text, OfferKind::Capacitor, Bare::Refuse).expect(text);
    let wanted = OfferText {
        farads: vec![Farad::from_micro(22.0)],
        volts: Some(Volt::new(450.0)),
        section_volts: vec![Some(Volt::new(450.0))],
        temp: Some(Celsius::new(105.0)),
        ripple: Some(Ampere::from_milli(160.0)),
        ripple_hz: Some(Hertz::new(120.0)),
        life: Some(Hour::new(2000.0)),
        style: Some("axial"),
        diameter: Some(Millimetre::new(18.0)),
        length: Some(Millimetre::new(36.0)),
        tolerance: Some(Tolerance::symmetric(20.0)),
        ..OfferText::default()
    };
    assert!(close(offer.farads[0].get(), 22e-6) && close(offer.ripple.expect("ripple").get(), 0.16));
    assert_eq!(OfferText { farads: wanted.farads.clone(), ripple: wanted.ripple, ..offer }, wanted);

    let film = offer_text("0.1uF 275VAC X2 radial 18x11mm", OfferKind::Capacitor, Bare::Refuse).expect("film");
    assert_eq!((film.vac, film.classes, film.volts), (Some(Volt::new(275.0)), vec![ClassMark::X2], None));
    assert_eq!(film.style, Some("radial"));
    let big = offer_text("47uF 400V snap-in 0.4A 100kHz -40/+105C", OfferKind::Capacitor, Bare::Refuse).expect("big");
    assert_eq!(
        (big.style, big.temp, big.ripple_hz),
        (Some("snap-in"), Some(Celsius::new(105.0)), Some(Hertz::new(1e5)))
    );
    let can = offer_text("32uF+32uF 450V can", OfferKind::Capacitor, Bare::Refuse).expect("can");
    assert_eq!((can.farads.len(), can.style), (2, Some("can")));
    let resistor = offer_text("470k 1W 5% 500V axial 3.5x10", OfferKind::Resistor, Bare::Refuse).expect("resistor");
    assert_eq!((resistor.ohm, resistor.watts), (Some(Ohm::new(470e3)), Some(Watt::new(1.0))));
    assert_eq!((resistor.volts, resistor.diameter), (Some(Volt::new(500.0)), Some(Millimetre::new(3.5))));
    let lettered =
        offer_text("22uF 450V D16 L25 LS7.5 2000h@105C 105C", OfferKind::Capacitor, Bare::Refuse).expect("size");
    assert_eq!((lettered.diameter, lettered.length), (Some(Millimetre::new(16.0)), Some(Millimetre::new(25.0))));
    assert_eq!((lettered.rest.as_str(), lettered.life), ("LS7.5", Some(Hour::new(2000.0))));
    for text in ["", "450V", "22uF 450V 105C 85C", "axial"] {
        assert!(offer_text(text, OfferKind::Capacitor, Bare::Refuse).is_err(), "{text}");
    }
}
