//! The shop's settings and lists.

use super::*;
use crate::model::shop::{LabourRate, WordSet};
use crate::money::{Currency, Percent};

pub(super) const SETTINGS: &str = r#"currency = "GBP"
markup_percent = 20
tax_percent = 17.5
bench_fee = "25.00"
bench_fee_credited = true
valid_days = 30
words = "us"
[exchange]
EUR = "0.86"
[labour]
rate_per_hour = "42.00"
[labour.minutes]
electrolytic = 12
can = 45.5
[labour.money]
lead = "15.00"
[margins]
esr = 2
"age.years" = 30
[margins.paper]
year = 1970
[spares]
film = 1
over_ten_percent = 10
[choose]
max_suppliers = 2
snap_in = true
[columns."main*.csv"]
"Order code" = "number"
"Capacitance (uF)" = "value"
"Voltage [V]" = "rated_v"
"Ripple (A)" = "ripple_ma"
"#;
pub(super) const SUPPLIERS: &str = "supplier,currency,carriage,free_over,minimum_order,small_order_fee,lead_days\n\
    Tarrowby,GBP,3.95,40,,,3\nSandvarp,EUR,6.50,,10,2.50,7\n";

const KEYS: &[&str] = &["esr", "age.years", "paper.year"];

fn files<'a>(settings: &'a str, suppliers: &'a str) -> ShopFiles<'a> {
    ShopFiles {
        settings: NamedBytes { name: "shop.toml", bytes: settings.as_bytes() },
        suppliers: NamedBytes { name: "suppliers.csv", bytes: suppliers.as_bytes() },
        shelf: None,
        equivalents: None,
        rectifiers: None,
        margin_keys: KEYS,
    }
}

pub(super) fn shop() -> ShopRead {
    read_shop(&files(SETTINGS, SUPPLIERS)).unwrap_or_else(|faults| panic!("{faults}")).value
}

#[test]
fn settings_are_read() {
    let read = shop();
    let shop = &read.shop;
    assert_eq!(shop.currency, Currency::new("GBP").unwrap());
    assert_eq!(shop.rate(&Currency::new("EUR").unwrap()), Some(crate::money::Rate::parse("0.86").unwrap()));
    assert_eq!(shop.words, WordSet::Us);
    assert_eq!(shop.quote.tax, Some(Percent::new(17.5)));
    assert_eq!(shop.quote.rate_per_hour.unwrap().text(2), "42.00");
    assert!(shop.quote.bench_fee_credited && shop.quote.deposit.is_none());
    assert!(matches!(shop.quote.labour["can"], LabourRate::Minutes(m) if near(m, 45.5)));
    assert!(matches!(shop.quote.labour["lead"], LabourRate::Flat(sum) if sum.text(2) == "15.00"));
    assert!(
        near(shop.margins.get("age.years").unwrap(), 30.0) && near(shop.margins.get("paper.year").unwrap(), 1970.0)
    );
    assert_eq!((shop.spares.film, shop.spares.resistor, shop.spares.over_ten), (1, 0, Percent::new(10.0)));
    assert_eq!((shop.choose.max_suppliers, shop.choose.snap_in, shop.choose.series_pairs), (Some(2), true, true));
    let tarrowby = shop.supplier("Tarrowby").unwrap();
    assert_eq!(
        (tarrowby.carriage.text(2).as_str(), tarrowby.lead_days, tarrowby.minimum_order),
        ("3.95", Some(3), None)
    );
    assert!(read.columns.of("catalog/main-2026.csv").is_some() && read.columns.of("x.csv").is_none());
}

#[test]
fn lists_are_read() {
    let shelf = "number,part,value,rated_v,quantity,price\nS1,film,0.1uF,630,12,0.15\nS2,film,0.22uF,400,3,\n";
    let rectifiers =
        "type,kind,max_first_uf,max_peak_ma,min_source_ohm,heater_v\nGZ34,valve-indirect,60,750,300:75;350:100,5\n";
    let mut files = files(SETTINGS, SUPPLIERS);
    files.shelf = Some(NamedBytes { name: "shelf.csv", bytes: shelf.as_bytes() });
    files.rectifiers = Some(NamedBytes { name: "rectifiers.csv", bytes: rectifiers.as_bytes() });
    files.equivalents =
        Some(NamedBytes { name: "equivalents.csv", bytes: b"designation,equivalent,note\nGZ34,5AR4,same\n" });
    let shop = read_shop(&files).unwrap_or_else(|faults| panic!("{faults}")).value.shop;
    assert_eq!((shop.shelf[0].quantity, shop.shelf[0].price.text(2).as_str()), (12, "0.15"));
    assert_eq!(shop.shelf[1].price, crate::money::Money::ZERO);
    assert_eq!(shop.equivalents[0].equivalent, "5AR4");
    let gz34 = shop.rectifier("gz34").unwrap();
    assert!(near(gz34.max_peak.unwrap().get(), 0.75) && near(gz34.max_first.unwrap().micro(), 60.0));
    let pairs: Vec<(f64, f64)> = gz34.min_source.iter().map(|(v, ohm)| (v.get(), ohm.get())).collect();
    assert!(near(pairs[0].0, 300.0) && near(pairs[1].1, 100.0));
}

#[test]
fn faults_have_their_place() {
    for (from, to, kind, line, column) in [
        ("\"GBP\"", "\"pounds\"", FaultKind::Money, 1, 12),
        ("currency = \"GBP\"\n", "", FaultKind::MissingField, 1, 1),
        ("EUR = \"0.86\"", "EUR = 0.86", FaultKind::Money, 9, 1),
        ("EUR = \"0.86\"", "euro = \"0.86\"", FaultKind::Money, 9, 1),
        ("can = 45.5", "cans = 45.5", FaultKind::UnknownKey, 14, 1),
        ("can = 45.5", "can = 1e9", FaultKind::OutOfBounds, 14, 1),
        ("lead = \"15.00\"", "can = \"15.00\"", FaultKind::Contradiction, 16, 1),
        ("esr = 2", "esrr = 2", FaultKind::UnknownKey, 18, 1),
        ("esr = 2", "esr = \"2\"", FaultKind::WrongType, 18, 1),
        ("film = 1", "film = -1", FaultKind::OutOfBounds, 23, 8),
        ("film = 1", "film = 1.5", FaultKind::NotAQuantity, 23, 8),
        ("snap_in = true", "snap_in = \"yes\"", FaultKind::WrongType, 27, 11),
        ("= \"rated_v\"", "= \"ratedv\"", FaultKind::UnknownName, 31, 1),
        ("words = \"us\"", "words = \"fr\"", FaultKind::UnknownWord, 7, 9),
    ] {
        let text = SETTINGS.replacen(from, to, 1);
        assert!(text != SETTINGS, "{from}");
        let faults = read_shop(&files(&text, SUPPLIERS)).map(|_| ()).unwrap_err();
        let found: Vec<_> = faults.iter().map(|fault| (fault.kind, fault.line, fault.column)).collect();
        assert_eq!(found, [(kind, line, column)], "{to}: {faults}");
    }
}

#[test]
fn supplier_faults() {
    for (cells, kind) in [
        ("Tarrowby,GBP,1,,,,", FaultKind::Duplicate),
        ("tarrowby,GBP,1,,,,", FaultKind::Duplicate),
        ("New,gbp,1,,,,", FaultKind::Money),
        ("New,GBP,,,,,", FaultKind::EmptyCell),
        ("New,GBP,-1,,,,", FaultKind::Money),
        ("New,GBP,1,,,,1.5", FaultKind::NotAQuantity),
    ] {
        let faults = read_shop(&files(SETTINGS, &format!("{SUPPLIERS}{cells}\n"))).map(|_| ()).unwrap_err();
        let found: Vec<_> = faults.iter().map(|fault| (fault.kind, fault.line)).collect();
        assert_eq!(found, [(kind, 4)], "{cells}: {faults}");
    }
}

proptest::proptest! {
    #[test]
    fn any_settings_end_without_a_panic(bytes in proptest::collection::vec(proptest::num::u8::ANY, 0..200), cut in 0_usize..700) {
        let half = SETTINGS.as_bytes().get(..cut).unwrap_or(SETTINGS.as_bytes());
        let text = [half, &bytes].concat();
        let mut files = files("", SUPPLIERS);
        files.settings = NamedBytes { name: "shop.toml", bytes: &text };
        files.rectifiers = Some(NamedBytes { name: "rectifiers.csv", bytes: &bytes });
        files.shelf = Some(NamedBytes { name: "shelf.xlsx", bytes: &bytes });
        if let Err(faults) = read_shop(&files) {
            let _ = faults.to_string();
        }
    }
}
