//! The plain readers against the full ones.

use super::*;
use crate::input::unit::Unit;
use crate::units::parse::{self, Bare, OfferKind, offer_text};
use proptest::prelude::*;

/// Texts that are numbers or nearly so.
fn number() -> impl Strategy<Value = String> {
    prop_oneof!["[0-9]{1,6}", "[0-9]{1,4}\\.[0-9]{1,5}", "[0-9.,eE+-]{1,8}", "\\.[0-9]{1,3}"]
}

fn text(units: &'static str) -> impl Strategy<Value = String> {
    (number(), units).prop_map(|(number, unit)| format!("{number}{unit}"))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn numbers(text in number()) {
        if let Some(value) = Decimal::read(text.as_bytes(), b'.').and_then(Decimal::value) {
            prop_assert_eq!(Unit::Volt.read(&text).unwrap().to_bits(), value.to_bits());
        }
    }

    #[test]
    fn capacitances(text in text("(uF|nF|pF|uf| uF|µF|n|F|)")) {
        if let Some(farad) = farad(text.as_bytes(), b'.').filter(|f| (1e-13..=0.2).contains(f)) {
            let full = offer_text(&text, OfferKind::Capacitor, Bare::Refuse).unwrap();
            prop_assert_eq!(full.farads.len(), 1);
            prop_assert_eq!(full.farads[0].get().to_bits(), farad.to_bits(), "{}", text);
            let rest = (full.volts, full.vac, full.tolerance, full.temp, full.style);
            prop_assert_eq!(rest, (None, None, None, None, None));
        }
    }

    #[test]
    fn resistances(text in text("(R|k|M|K|m|ohm|Ω|)")) {
        if let Some(ohm) = ohm(text.as_bytes(), b'.').filter(|r| (0.01..=1e10).contains(r)) {
            let full = offer_text(&text, OfferKind::Resistor, Bare::Refuse).unwrap();
            prop_assert_eq!(full.ohm.unwrap().get().to_bits(), ohm.to_bits(), "{}", text);
            prop_assert_eq!((full.volts, full.watts, full.tolerance), (None, None, None));
        }
    }

    #[test]
    fn tolerances(text in "(-[0-9]{1,3}/\\+[0-9]{1,3}|[0-9]{1,3}|[0-9]{1,2}\\.[0-9]|[±+-][0-9]{2})(%| %|)") {
        if let Some((below, above)) = tolerance(text.as_bytes(), b'.') {
            let full = parse::tolerance(&text).unwrap();
            prop_assert_eq!(full.minus_percent.to_bits(), below.to_bits());
            prop_assert_eq!(full.plus_percent.to_bits(), above.to_bits());
        }
    }

    #[test]
    fn amounts(text in number()) {
        if let Some(amount) = money(text.as_bytes(), b'.') {
            prop_assert_eq!(crate::input::table::money(&text).unwrap(), amount);
        }
    }

    #[test]
    fn price_lists(text in "([0-9]{1,3}[:=])?[0-9.]{1,5}([;|][0-9]{1,3}[:=][0-9]{1,2}(\\.[0-9]{1,3})?){0,3};?") {
        let mut read = Vec::new();
        if tiers(text.as_bytes(), b'.', &mut read) {
            prop_assert_eq!(crate::input::prices::list(&text).unwrap(), read);
        }
    }

    #[test]
    fn factor_lists(text in "[0-9]{1,3}k?:[0-9]{1,2}(\\.[0-9]{1,2})?(;[0-9]{1,4}[kK]?:[0-9](\\.[0-9])?){0,3};?") {
        let mut read = Vec::new();
        if factors(text.as_bytes(), b'.', &mut read) {
            prop_assert_eq!(parse::ratio_list(&text).unwrap(), read);
        }
    }
}

#[test]
fn what_is_plain_is_read() {
    assert_eq!(farad(b"0.047uF", b'.'), Some(0.047e-6));
    assert_eq!(farad(b"2,2nF", b','), Some(2.2e-9));
    assert_eq!(ohm(b"4.7k", b'.'), Some(4700.0));
    assert_eq!(tolerance(b"-10/+50%", b'.'), Some((10.0, 50.0)));
    let mut read = Vec::new();
    assert!(tiers(b"1:0,42;10:0,36", b',', &mut read) && read.len() == 2);
    assert_eq!(quantity(b"0"), None);
}
