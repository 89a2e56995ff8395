//! The catalog as a stream of offers.

use super::shop::shop;
use super::*;
use crate::model::kind::{MainsClass, PartKind, Style};
use crate::model::part::Value;

const HEAD: &str = "number,supplier,part,value,tolerance,rated_v,rated_vac,class,watts,temp_c,life_h,ripple_ma,ripple_hz,ripple_factors,style,diameter_mm,polarised,designation,sections,common,prices,pack,stock,lead_days";

fn offers(text: &str) -> (Vec<Offer>, Faults) {
    offers_in("x.csv", text.as_bytes())
}

fn offers_in(file: &str, bytes: &[u8]) -> (Vec<Offer>, Faults) {
    let read = shop();
    let map = read.columns.of(file);
    let mut catalog = Catalog::open(file, bytes, &read.shop.suppliers, map).unwrap_or_else(|faults| panic!("{faults}"));
    let offers: Vec<Offer> = catalog.by_ref().collect();
    (offers, catalog.set_aside().clone())
}

fn one(line: &str) -> Offer {
    let (mut offers, set_aside) = offers(&format!("{HEAD}\n{line}\n"));
    assert!(set_aside.is_empty(), "{set_aside}");
    offers.remove(0)
}

#[test]
fn an_offer_with_everything() {
    let offer = one(
        "TE22,tarrowby,electrolytic,22uF,20%,450,,,,105,5000,160,120,50:0.8;100:1;1k:1.3,axial,16,yes,,,,1:1.20;10:1.05,5,40,2",
    );
    assert_eq!(
        (offer.name().as_str(), offer.pack, offer.minimum, offer.stock, offer.lead_days),
        ("Tarrowby:TE22", 5, 1, Some(40), Some(2))
    );
    let article = &offer.article;
    assert!(near(article.farad().unwrap().micro(), 22.0) && near(article.volts.unwrap().get(), 450.0));
    let ripple = article.ripple.as_ref().unwrap();
    assert!(
        near(ripple.current.get(), 0.16)
            && near(ripple.at.unwrap().get(), 120.0)
            && near(ripple.factors[2].0.get(), 1000.0)
    );
    assert_eq!((article.style, article.polarised, article.flameproof), (Some(Style::Axial), Some(true), None));
    let tiers: Vec<(u32, String)> = offer.tiers.iter().map(|tier| (tier.from, tier.each.text(2))).collect();
    assert_eq!(tiers, [(1, "1.20".into()), (10, "1.05".into())]);
}

#[test]
fn cans_valves_and_classes() {
    let can = one("TC,Tarrowby,electrolytic,,,450,,,,85,,,,,can,35,yes,,32uF+32uF,negative,1:9.50,,,");
    assert!(can.article.value.is_none() && can.article.common_negative);
    assert_eq!(can.article.sections.len(), 2);
    assert!(near(can.article.sections[1].farad.micro(), 32.0) && near(can.article.sections[1].volts.get(), 450.0));
    let valve = one("TV,Tarrowby,valve,,,,,,,,,,,,,,,KT66,,,29.00,,,");
    assert_eq!((valve.article.value, valve.tiers[0].from), (Some(Value::Designation("KT66".into())), 1));
    let y = one("TY,Tarrowby,suppressor,4.7nF,,,250,X1/Y2,,,,,,,,,,,,,1:0.60,,,");
    assert_eq!(y.article.class, Some(MainsClass::Y2));
}

#[test]
fn a_value_cell_may_hold_more() {
    let (offers, set_aside) = offers(
        "number,supplier,part,value,prices\nA,Tarrowby,electrolytic,22 µF ±20% 450V 105C,1:1\nB,Tarrowby,metal-film,470k 2W 5%,1:0.1\n",
    );
    assert!(set_aside.is_empty(), "{set_aside}");
    assert!(
        near(offers[0].article.volts.unwrap().get(), 450.0)
            && near(offers[0].article.tolerance.unwrap().plus_percent, 20.0)
    );
    assert!(near(offers[1].article.watts.unwrap().get(), 2.0));
}

#[test]
fn prices_in_columns() {
    let (offers, set_aside) =
        offers("number,supplier,part,designation,price1,qty10,price_10,price 100\nA,Tarrowby,fuse,T1A,0.50,12,0.40,\n");
    assert!(set_aside.is_empty(), "{set_aside}");
    let tiers: Vec<(u32, String)> = offers[0].tiers.iter().map(|tier| (tier.from, tier.each.text(2))).collect();
    assert_eq!(tiers, [(1, "0.50".into()), (12, "0.40".into())]);
}

#[test]
fn a_suppliers_own_headings_with_units() {
    let text = "Order code;supplier;part;Capacitance (uF);Voltage [V];Ripple (A);prices\nM1;Sandvarp;electrolytic;2,2;450;0,16;\"1:1,25;10:1,10\"\n";
    let (offers, set_aside) = offers_in("catalog/Main-2026.csv", text.as_bytes());
    assert!(set_aside.is_empty(), "{set_aside}");
    let article = &offers[0].article;
    assert!(near(article.farad().unwrap().micro(), 2.2) && near(article.ripple.as_ref().unwrap().current.get(), 0.16));
    assert_eq!(offers[0].tiers[1].each.text(2), "1.10");
}

/// Each line cannot be used, for the reason given; the good line between them is.
#[test]
fn bad_lines_are_set_aside_and_counted() {
    let lines = [
        ("A,Nobody,film,0.1uF,,630,,,,,,,,,,,,,,,1:0.4,,,", FaultKind::UnknownName),
        ("B,Tarrowby,flim,0.1uF,,630,,,,,,,,,,,,,,,1:0.4,,,", FaultKind::UnknownWord),
        ("C,Tarrowby,film,,,630,,,,,,,,,,,,,,,1:0.4,,,", FaultKind::EmptyCell),
        ("D,Tarrowby,film,0.1uF,,,,,,,,,,,,,,,,,1:0.4,,,", FaultKind::EmptyCell),
        ("E,Tarrowby,metal-film,10k,,,,,,,,,,,,,,,,,1:0.4,,,", FaultKind::EmptyCell),
        ("F,Tarrowby,film,0.1uF,,630,,,,,,,,,,,,,,,,,,", FaultKind::EmptyCell),
        ("G,Tarrowby,film,0.1uF,,630,,,,,,,,,,,,,,,1:x,,,", FaultKind::Money),
        ("H,Tarrowby,film,0.1uF,,630,,,,,,,,,,,,,,,1:1;1:2,,,", FaultKind::Contradiction),
        (",Tarrowby,film,0.1uF,,630,,,,,,,,,,,,,,,1:0.4,,,", FaultKind::EmptyCell),
        ("J,Tarrowby,film,4.7 F,,630,,,,,,,,,,,,,,,1:0.4,,,", FaultKind::NotAQuantity),
        ("K,Tarrowby,valve,,,,,,,,,,,,,,,,,,1:0.4,,,", FaultKind::EmptyCell),
        ("L,Tarrowby,electrolytic,,,,,,,,,,,,,,,,32uF+32uF,,1:4,,,", FaultKind::EmptyCell),
    ];
    let good = "Z,Tarrowby,film,0.1uF,,630,,,,,,,,,,,,,,,1:0.4,,,";
    let text = lines.map(|(line, _)| line).join("\n");
    let (offers, set_aside) = offers(&format!("{HEAD}\n{text}\n{good}\n"));
    assert_eq!(offers.len(), 1);
    let found: Vec<(usize, FaultKind)> = set_aside.iter().map(|fault| (fault.line, fault.kind)).collect();
    let expected: Vec<(usize, FaultKind)> = (2..).zip(lines).map(|(line, (_, kind))| (line, kind)).collect();
    assert_eq!(found, expected, "{set_aside}");
    assert_eq!(set_aside.by_kind()[&FaultKind::EmptyCell], 7);
}

#[test]
fn lines_can_be_passed_by_unread() {
    let text =
        format!("{HEAD}\nA,Tarrowby,valve,,,,,,,,,,,,,,,KT66,,,1,,,\nB,Tarrowby,film,bad,,,,,,,,,,,,,,,,,1,,,\n");
    let read = shop();
    let mut catalog = Catalog::open("x.csv", text.as_bytes(), &read.shop.suppliers, None).unwrap();
    let part = catalog.column("part");
    let offer = catalog.next_where(|line| line.get(part) == Some(b"valve")).unwrap();
    assert_eq!(offer.article.kind, PartKind::Valve);
    assert!(catalog.next_where(|line| line.get(part) == Some(b"valve")).is_none());
    assert_eq!((catalog.lines(), catalog.set_aside().len()), (2, 0));
}

proptest::proptest! {
    #[test]
    fn any_line_is_an_offer_or_set_aside(cells in proptest::collection::vec("[ -~µ½Ω]{0,12}", 0..26)) {
        let line = cells.iter().map(|cell| format!("\"{}\"", cell.replace('"', "\"\""))).collect::<Vec<_>>().join(",");
        let text = format!("{HEAD}\n{line}\n");
        let (offers, set_aside) = offers(&text);
        proptest::prop_assert!(offers.len() + set_aside.len() <= 1);
        let _ = set_aside.to_string();
    }
}

#[test]
fn own_headings_are_mapped_in_the_settings() {
    let head = "SKU,Desc,Price\n1,film,0.30\n";
    let faults = Catalog::open("shop/catalog/own.csv", head.as_bytes(), &[], None).err().unwrap().to_string();
    assert!(faults.contains("[columns.\"own.csv\"]: \"THEIR HEADING\" = \"number\""), "{faults}");
    let page = "<!DOCTYPE html>\n<html><body>Price list</body></html>";
    let faults = Catalog::open("shop/catalog/own.csv", page.as_bytes(), &[], None).err().unwrap();
    assert_eq!(faults.len(), 1, "{faults}");
    assert!(faults.to_string().contains("web page"), "{faults}");
}
