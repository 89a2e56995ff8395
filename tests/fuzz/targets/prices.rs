//! Money and price tiers from any text: what is read is exact, rises by quantity, and comes back
//! when it is written again.
#![no_main]

use capjob::input::Catalog;
use capjob::model::shop::{Supplier, Tier};
use capjob::money::{Currency, Money, Rate};
use capjob_fuzz::{Folder, check_faults, read_shop_of};
use libfuzzer_sys::fuzz_target;

const HEAD: &str = "number;supplier;part;value;rated_v;";

fuzz_target!(|text: &str| {
    if text.len() > 300 {
        return;
    }
    amounts(text);
    let suppliers = read_shop_of(&Folder::new(b"")).expect("a shop without faults").value.shop.suppliers;
    let tiers = |names: &str, cells: &str, mark: char| {
        let file = format!("{HEAD}{names}\nN1;A;film;10nF;400;{cells}\n").replace(';', &mark.to_string());
        read(&file, &suppliers)
    };
    for mark in [';', ','] {
        // A cell in quotes may hold anything, also the delimiter that is replaced around it.
        let cell = format!("\"{}\"", text.replace('"', "\"\"").replace(';', "|"));
        if let Some(tiers) = tiers("prices", &cell, mark) {
            sound(&tiers);
            let again: Vec<String> =
                tiers.iter().rev().map(|t| format!("{}:{}", t.from, t.each.exact_text(2))).collect();
            let file = format!("{HEAD}prices\nN1;A;film;10nF;400;\"{}\"\n", again.join("|"));
            assert_eq!(read(&file.replace(';', ","), &suppliers), Some(tiers));
        }
    }
    let mut lines = text.lines();
    let mut cell = || format!("\"{}\"", lines.next().unwrap_or_default().replace('"', "\"\""));
    let cells = format!("{};{};{};{}", cell(), cell(), cell(), cell());
    if let Some(tiers) =
        read(&format!("{HEAD}price1;price10;qty10;price_250\nN1;A;film;10nF;400;{cells}\n"), &suppliers)
    {
        sound(&tiers);
    }
});

fn amounts(text: &str) {
    if let Ok(amount) = Money::parse(text) {
        assert_eq!(Money::parse(&amount.exact_text(2)), Ok(amount), "{text:?}");
        for digits in 0..=4 {
            let shown = amount.text(digits);
            let rounded = Money::parse(&shown).expect("what is printed is read");
            assert_eq!(rounded, amount.rounded(digits), "{text:?} {shown}");
            assert!((rounded - amount).ten_thousandths().abs() * 2 <= 10_i64.pow(4 - u32::from(digits)));
        }
        if let Ok(rate) = Rate::parse(text) {
            assert!(amount.at_rate(rate) >= Money::ZERO);
        }
    }
    if let Some(currency) = Currency::new(text) {
        assert!(currency.minor_digits() <= 3 && currency.to_string() == text);
    }
}

fn sound(tiers: &[Tier]) {
    assert!(!tiers.is_empty() && tiers.windows(2).all(|w| w[0].from < w[1].from), "{tiers:?}");
    assert!(tiers.iter().all(|t| t.from >= 1 && t.each >= Money::ZERO), "{tiers:?}");
}

fn read(file: &str, suppliers: &[Supplier]) -> Option<Vec<Tier>> {
    let mut catalog = match Catalog::open("prices.csv", file.as_bytes(), suppliers, None) {
        Ok(catalog) => catalog,
        Err(faults) => {
            check_faults(&faults, &[("prices.csv", file.as_bytes())]);
            return None;
        }
    };
    let offer = catalog.next_offer();
    if !catalog.set_aside().is_empty() {
        check_faults(catalog.set_aside(), &[("prices.csv", file.as_bytes())]);
    }
    offer.map(|offer| offer.tiers)
}
