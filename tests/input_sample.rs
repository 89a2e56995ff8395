//! The sample shop and its jobs are read without a fault, in the dialects that spreadsheets write.
#![expect(clippy::expect_used, clippy::panic, reason = "a test fails by panicking, also in its helper functions")]

use std::fs;
use std::path::{Path, PathBuf};

use capjob::input::{Catalog, NamedBytes, ShopFiles, read_job, read_shop};
use capjob::model::shop::{Offer, Shop};
use capjob::rules::RULES;

fn sample() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("catalog-sample")
}

fn bytes(path: &str) -> Vec<u8> {
    fs::read(sample().join(path)).expect("a file of the sample")
}

fn names(folder: &str) -> Vec<String> {
    let entries = fs::read_dir(sample().join(folder)).expect("a folder of the sample");
    let mut names: Vec<String> =
        entries.flatten().map(|entry| entry.file_name().to_string_lossy().into_owned()).collect();
    names.sort();
    names
}

fn shop() -> Shop {
    let files: Vec<Vec<u8>> =
        ["shop.toml", "suppliers.csv", "shelf.csv", "equivalents.csv", "rectifiers.csv"].map(bytes).into();
    let named = |at: usize, name| NamedBytes { name, bytes: files.get(at).map_or(&[], Vec::as_slice) };
    let keys: Vec<&str> = RULES.iter().flat_map(|rule| rule.meta().thresholds).map(|threshold| threshold.key).collect();
    let read = read_shop(&ShopFiles {
        settings: named(0, "shop.toml"),
        suppliers: named(1, "suppliers.csv"),
        shelf: Some(named(2, "shelf.csv")),
        equivalents: Some(named(3, "equivalents.csv")),
        rectifiers: Some(named(4, "rectifiers.csv")),
        margin_keys: &keys,
    });
    let read = read.unwrap_or_else(|faults| panic!("{faults}"));
    assert_eq!(read.notes, Vec::<String>::new());
    read.value.shop
}

fn offers(file: &str, bytes: &[u8], shop: &Shop) -> Vec<Offer> {
    let mut catalog = Catalog::open(file, bytes, &shop.suppliers, None).unwrap_or_else(|faults| panic!("{faults}"));
    let offers = catalog.by_ref().collect();
    assert!(catalog.set_aside().is_empty(), "{}", catalog.set_aside());
    offers
}

#[test]
fn the_sample_shop_and_its_jobs_have_no_fault() {
    let shop = shop();
    assert!(!shop.suppliers.is_empty() && !shop.shelf.is_empty());
    for job in names("jobs") {
        let (chassis, parts) = (bytes(&format!("jobs/{job}/chassis.toml")), bytes(&format!("jobs/{job}/parts.csv")));
        let named = |name, bytes| NamedBytes { name, bytes };
        let read = read_job(&job, named("chassis.toml", &chassis), named("parts.csv", &parts));
        let read = read.unwrap_or_else(|faults| panic!("{job}: {faults}"));
        assert!(!read.value.parts.is_empty(), "{job}");
    }
    let lines: usize = names("catalog").iter().map(|n| offers(n, &bytes(&format!("catalog/{n}")), &shop).len()).sum();
    assert!(lines >= 400, "{lines}");
}

/// A sample catalog as UTF-16 with tabs, and with CR LF and a mark, gives the same offers.
#[test]
fn catalogs_give_the_same_offers_in_other_encodings() {
    let shop = shop();
    for name in names("catalog") {
        let text = String::from_utf8(bytes(&format!("catalog/{name}"))).expect("the sample is UTF-8");
        let expected = offers(&name, text.as_bytes(), &shop);
        let crlf = text.replace('\n', "\r\n");
        let wide: Vec<u8> =
            std::iter::once(0xfeff).chain(crlf.encode_utf16()).flat_map(|unit: u16| unit.to_le_bytes()).collect();
        for other in [[b"\xef\xbb\xbf", crlf.as_bytes()].concat(), wide] {
            assert_eq!(offers(&name, &other, &shop), expected, "{name}");
        }
    }
}
