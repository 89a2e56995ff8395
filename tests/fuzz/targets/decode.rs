//! `decode` on any text: every reading is finite, and a text without a reading says why.
#![no_main]

use capjob::documents::decoded::{DecodeDocument, blocks};
use capjob::export::json;
use capjob::marking::{date_code, decode, refused};
use capjob_fuzz::{screen, shown};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    if text.len() > 200 {
        return;
    }
    for year in [None, Some(1900), Some(1956), Some(2100), Some(u16::MAX)] {
        let readings = decode(text, year);
        for reading in &readings {
            if let Some(value) = reading.value {
                assert!(value.si().is_finite());
                let _ = (value.series(), value.nearest_e24().map(|v| v.si()));
                assert!(value.nearest_e24().is_none_or(|v| v.si().is_finite()), "{text:?}");
            } else {
                assert!(reading.week.is_some() != reading.month.is_some() && !reading.years.is_empty());
            }
            assert!(reading.years.is_sorted());
        }
        let why = refused(text);
        assert!(!readings.is_empty() || !why.is_empty());
        let document = json::write(&DecodeDocument::new(text, &readings, &why)).expect("JSON");
        let _: serde_json::Value = serde_json::from_str(&document).expect("what is written is JSON");
        shown(&screen(&blocks(text, &readings, &why)));
    }
    if let Ok(code) = date_code(text, None) {
        assert!((1..=53).contains(&code.week) && code.years.iter().all(|y| (1940..2040).contains(y)));
    }
});
