//! Printing and reading are inverse; no text makes a reader panic.

use proptest::prelude::*;

use super::super::*;
use crate::units::{Ampere, Celsius, Farad, Henry, Hertz, Hour, Joule, Millimetre, Ohm, Second, Volt, Watt};

proptest! {
    // What is printed is read back to the three digits printed: print, read, print again.
    #[test]
    fn print_and_read_are_inverse(digits in 1_u32..1000, power in -12_i32..5) {
        let value = f64::from(digits) * 10_f64.powi(power);
        macro_rules! inverse {
            ($made:expr, $read:expr) => {{
                let text = $made.to_string();
                match $read(text.as_str()) {
                    Ok(read) => {
                        prop_assert_eq!(read.to_string(), text.clone());
                        let error = (read.get() - $made.get()).abs();
                        prop_assert!(error <= 1e-9 * $made.get().abs(), "{} {:?}", text, read);
                    }
                    Err(fault) => prop_assert!(false, "{}: {}", text, fault),
                }
            }};
        }
        if (1e-12..=0.999).contains(&value) {
            inverse!(Farad::new(value), |t| capacitance(t, Bare::Refuse).map(|c| c.farad));
        }
        // Each is printed with three digits from its smallest printed unit upwards.
        let steps = |least: f64| value >= least * 0.999;
        if steps(1.0) {
            inverse!(Ohm::new(value), |t| resistance(t).map(|r| r.ohm));
            inverse!(Hertz::new(value), hertz);
            inverse!(Celsius::new(value.min(499.0)), celsius);
            inverse!(Celsius::new(-value.min(99.0)), celsius);
            inverse!(Millimetre::new(value.min(9990.0)), millimetre);
            inverse!(Hour::new(value.min(999_000.0)), hour);
            inverse!(Volt::new(value.min(99_900.0)), volt);
            inverse!(Volt::new(-value.min(99_900.0)), volt);
        }
        if steps(1e-6) {
            inverse!(Ampere::new(value.min(999.0)), |t| current(t, CurrentUnit::Ampere));
            inverse!(Volt::new(value.min(99.0)), volt);
        }
        if steps(1e-3) {
            inverse!(Henry::new(value.min(9990.0)), henry);
            inverse!(Watt::new(value.min(9990.0)), watt);
            inverse!(Joule::new(value.min(999_000.0)), joule);
            inverse!(Second::new(value), second);
        }
    }

    #[test]
    fn tolerances_print_and_read(minus in 0_u32..100, plus in 0_u32..200) {
        let made = Tolerance { minus_percent: f64::from(minus), plus_percent: f64::from(plus) };
        prop_assert_eq!(tolerance(&made.to_string()), Ok(made));
    }

    // No text makes a reader panic, and none reads anything that is not finite.
    #[test]
    fn nothing_panics(text in r"([0-9.,/+\-xX@%~VAWKMRuµnpFCkm ½Ω°\p{L}]|MFD| surge|\PC){0,24}") {
        for bare in [Bare::Refuse, Bare::Microfarad, Bare::Picofarad] {
            if let Ok(mark) = capacitor_mark(&text, bare) {
                prop_assert!(!mark.sections.is_empty());
                prop_assert!(mark.sections.iter().all(|f| f.is_finite() && *f > Farad::ZERO));
            }
            let _ = (capacitance(&text, bare), capacitance_range(&text, bare));
            let _ = offer_text(&text, OfferKind::Capacitor, bare);
        }
        let _ = (resistor_mark(&text), resistance_range(&text), offer_text(&text, OfferKind::Resistor, Bare::Refuse));
        let _ = (volt(&text), volt_ac(&text), rating(&text), current(&text, CurrentUnit::Ampere), watt(&text));
        let _ = (hertz(&text), celsius(&text), millimetre(&text), tolerance(&text), ratio_list(&text), hour(&text));
        let _ = (henry(&text), joule(&text), second(&text), percent(&text), number(&text));
        let _ = nearest(&text, &["film", "paper"]);
    }
}
