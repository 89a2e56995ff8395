//! Every reader of quantities on any text: nothing panics, what is read is finite, and what is
//! printed is read back as the same.
#![no_main]

use std::fmt::{Debug, Display};

use capjob::units::parse::{
    Bare, CurrentUnit, OfferKind, QuantityError, capacitance, capacitance_range, capacitor_mark, celsius, current,
    henry, hertz, hour, joule, millimetre, nearest, number, offer_text, percent, rating, ratio_list, resistance,
    resistance_range, resistor_mark, second, tolerance, volt, volt_ac, watt,
};
use capjob::units::{Farad, Ohm};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    if text.len() > 200 {
        return;
    }
    let bares = [Bare::Refuse, Bare::Microfarad, Bare::Picofarad];
    for bare in bares {
        inverse(text, |t| capacitance(t, bare).map(|c| c.farad));
        if let Ok((low, high)) = told(text, capacitance_range(text, bare)) {
            assert!(Farad::ZERO <= low && low <= high && high.is_finite());
        }
        if let Ok(mark) = told(text, capacitor_mark(text, bare)) {
            assert!(!mark.sections.is_empty() && mark.sections.len() == mark.section_volts.len());
            assert!(mark.sections.iter().all(|f| f.is_finite() && *f > Farad::ZERO));
            assert!(mark.volts.is_none_or(|v| v.is_finite()) && mark.vac.is_none_or(|v| v.is_finite()));
        }
        if let Ok(offer) = told(text, offer_text(text, OfferKind::Capacitor, bare)) {
            assert!(offer.farads.iter().all(|f| f.is_finite() && *f > Farad::ZERO));
        }
    }
    inverse(text, |t| resistance(t).map(|r| r.ohm));
    if let Ok((low, high)) = told(text, resistance_range(text)) {
        assert!(Ohm::ZERO <= low && low <= high && high.is_finite());
    }
    if let Ok(mark) = told(text, resistor_mark(text)) {
        assert!(mark.ohm.is_finite() && mark.watts.is_none_or(|w| w.is_finite()));
    }
    let _ = told(text, offer_text(text, OfferKind::Resistor, Bare::Refuse));
    let _ = told(text, rating(text));
    singles(text);
    let _ = nearest(text, &["film", "paper", "electrolytic"]);
});

fn singles(text: &str) {
    inverse(text, volt);
    inverse(text, volt_ac);
    for unit in [CurrentUnit::Ampere, CurrentUnit::Milliampere, CurrentUnit::Microampere] {
        inverse(text, |t| current(t, unit));
    }
    inverse(text, watt);
    inverse(text, hertz);
    inverse(text, celsius);
    inverse(text, millimetre);
    inverse(text, henry);
    inverse(text, joule);
    inverse(text, second);
    inverse(text, hour);
    inverse(text, tolerance);
    for plain in [told(text, percent(text)), told(text, number(text))].into_iter().flatten() {
        assert!(plain.is_finite());
    }
    for (key, value) in told(text, ratio_list(text)).unwrap_or_default() {
        assert!(key.is_finite() && value.is_finite());
    }
}

/// What is printed has three digits, so it is what is printed that must come back.
fn inverse<Q: Display + Debug>(text: &str, read: impl Fn(&str) -> Result<Q, QuantityError>) {
    let Ok(quantity) = told(text, read(text)) else { return };
    let printed = quantity.to_string();
    assert!(!printed.contains("not a number"), "{quantity:?}");
    match read(&printed) {
        Ok(again) => assert_eq!(again.to_string(), printed, "{text:?}: {quantity:?} then {again:?}"),
        // The least and the most accepted may be rounded beyond the bounds.
        Err(error) if error.to_string().contains("beyond all reason") => {}
        Err(error) => panic!("{text:?} prints as {printed:?}, which is not read: {error}"),
    }
}

/// A fault says what was read and how to mend it.
fn told<T>(text: &str, read: Result<T, QuantityError>) -> Result<T, QuantityError> {
    if let Err(error) = &read {
        assert_eq!(error.read, text);
        assert!(!error.to_string().is_empty() && !error.mend().is_empty());
    }
    read
}
