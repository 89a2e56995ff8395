//! Skimmed or read line by line: the same offers, the same faults, the same notes.

use super::shop::shop;
use super::*;
use crate::model::shop::{Glance, Outline};
use proptest::prelude::*;

/// Takes everything.
#[derive(Default)]
struct All(Vec<Offer>);

impl Taker for All {
    fn wants(&mut self, glance: &Glance<'_>) -> bool {
        assert!(!glance.number.is_empty() && glance.article.description.is_none());
        true
    }

    fn take(&mut self, offer: &Offer) {
        self.0.push(offer.clone());
    }
}

/// Takes nothing that it is asked about: at once, or after the second look.
struct Nothing {
    heeds: bool,
    taken: usize,
}

impl Taker for Nothing {
    fn heeds(&mut self, outline: &Outline<'_>) -> bool {
        assert!(!outline.supplier.is_empty() && (outline.figure.is_none() || outline.name.is_none()));
        self.heeds
    }

    fn wants(&mut self, _glance: &Glance<'_>) -> bool {
        assert!(self.heeds);
        false
    }

    fn take(&mut self, _offer: &Offer) {
        self.taken += 1;
    }
}

/// Everything that a file gives: offers by their texts, faults, notes, lines.
type Given = (Vec<String>, Faults, Vec<String>, usize);

fn line_by_line(file: &str, bytes: &[u8]) -> Result<Given, Faults> {
    let read = shop();
    let mut catalog = Catalog::open(file, bytes, &read.shop.suppliers, read.columns.of(file))?;
    let mut offers: Vec<String> = catalog.by_ref().map(|offer| format!("{offer:?}")).collect();
    offers.sort();
    Ok((offers, catalog.set_aside().clone(), catalog.notes(), catalog.lines()))
}

fn skimmed(file: &str, bytes: &[u8], readers: usize) -> Result<Given, Faults> {
    let read = shop();
    let terms = CatalogTerms { suppliers: &read.shop.suppliers, map: read.columns.of(file) };
    let mut takers: Vec<All> = (0..readers).map(|_| All::default()).collect();
    let CatalogRead { set_aside, notes, lines } = read_catalog(file, bytes, terms, &mut takers, &mut |_| {})?;
    let mut offers: Vec<String> = takers.iter().flat_map(|t| &t.0).map(|offer| format!("{offer:?}")).collect();
    offers.sort();
    Ok((offers, set_aside, notes, lines))
}

fn assert_same(file: &str, bytes: &[u8]) {
    let expected = line_by_line(file, bytes);
    for readers in 1..4 {
        let found = skimmed(file, bytes, readers);
        assert_eq!(found, expected, "{readers} readers of {file}: {}", String::from_utf8_lossy(bytes));
    }
    // What nobody wants is looked through all the same.
    let read = shop();
    for heeds in [false, true] {
        let terms = CatalogTerms { suppliers: &read.shop.suppliers, map: read.columns.of(file) };
        let mut takers = [Nothing { heeds, taken: 0 }, Nothing { heeds, taken: 0 }];
        let found = read_catalog(file, bytes, terms, &mut takers, &mut |_| {});
        let found = found.map(|read| (read.set_aside, read.notes, read.lines));
        let expected = expected.as_ref().map(|(_, set_aside, notes, lines)| (set_aside.clone(), notes.clone(), *lines));
        assert_eq!(found, expected.map_err(Clone::clone), "{}", String::from_utf8_lossy(bytes));
        let all = line_by_line(file, bytes).map_or(0, |given| given.0.len());
        assert!(takers.iter().map(|t| t.taken).sum::<usize>() <= all);
    }
}

const HEAD: &str = "number,supplier,part,value,tolerance,rated_v,rated_vac,class,watts,temp_c,life_h,ripple_ma,ripple_hz,ripple_factors,loss_factor,leakage_ua,style,diameter_mm,polarised,flameproof,designation,sections,common,made,prices,pack,minimum,stock,lead_days,description";

/// A cell of this column, mostly plain, sometimes as people and spreadsheets write it, sometimes wrong.
fn cell(column: &'static str) -> BoxedStrategy<String> {
    let (plain, odd): (&[&str], &[&str]) = match column {
        "number" => (&["A1", "B22", "C-3/4", "9", "x y"], &["", " A", "'=1", "-", "µ1", "n/a"]),
        "supplier" => (&["Tarrowby", "Tarrowby", "Tarrowby", "Sandvarp"], &["tarrowby", "Nobody", "", " Tarrowby"]),
        "part" => (&["film", "electrolytic", "metal-film", "valve", "fuse"], &["Film", "flim", "poly", ""]),
        "value" => (
            &["22uF", "0.047uF", "470pF", "470k", "4.7k", "220R", "1M"],
            &["22 uF", "0.1 µF", "4k7", "473", "9e9", "", "22uF 450V", "8uF+8uF", "2,2uF", "1.2.3k", "0.1uF X2"],
        ),
        "tolerance" => (&["", "10%", "-10/+50%"], &["K", "±5", "300%", "10"]),
        "class" => (&["", "", "X2", "Y1"], &["x2", "X1/Y2", "Z9"]),
        "ripple_factors" => (&["", "", "50:0.8;100:1;1k:1.3"], &["100:1;50:1", "50:99", "50Hz:1", "x"]),
        "style" => (&["", "axial", "radial", "snap-in"], &["Axial", "sideways"]),
        "polarised" | "flameproof" => (&["", "yes", "no"], &["Y", "maybe", "1"]),
        "designation" => (&["", "KT66", "T1A 20mm HBC"], &["?", "\"3\"\" x\"", " EF86"]),
        "sections" => {
            (&["", "", ""], &["32uF+32uF", "40uF 450V + 20uF 25V", "x", "8uF", "1.5uF+2.2uF", "16uF 10%+8uF"])
        }
        "common" => (&["", ""], &["negative", "none", "x"]),
        "made" => (&["", "2024"], &["1800", "2024.5", "now"]),
        "prices" => {
            (&["1:0.42;10:0.36", "0.42", "1:1;2:0.9"], &["10:1;1:2", "1:x", "", "1:1;1:2", "1:0.12345", "1:1;"])
        }
        "pack" | "minimum" | "stock" | "lead_days" => (&["", "5", "100"], &["0", "2.5", "-1", "99999999999", "5 pcs"]),
        "description" => {
            (&["", "film 22 uF", "µ of it"], &["\"a, b\"", "\"a\nb\"", "3\" reel", "\"a \"\"b\"\"\"", "\"a\"b"])
        }
        _ => (&["", "450", "0.5", "105"], &["450V", "1e3", "0,5", "999999999", " 7", "-", "½"]),
    };
    prop_oneof![24 => prop::sample::select(plain), 1 => prop::sample::select(odd)].prop_map(str::to_owned).boxed()
}

fn line() -> impl Strategy<Value = String> {
    let cells: Vec<BoxedStrategy<String>> = HEAD.split(',').map(cell).collect();
    let odd = prop::sample::select(vec!["", "# remark, \"with, quotes", ",,,", "A,b", "   ", "\u{1a}", "\"x"]);
    prop_oneof![
        12 => cells.prop_map(|cells| cells.join(",")),
        1 => odd.prop_map(str::to_owned),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(120))]

    #[test]
    fn catalogs_with_awkward_lines(
        lines in prop::collection::vec(line(), 0..40),
        end in prop::sample::select(vec!["\n", "\r\n", "\r"]),
        last in any::<bool>(),
        mark in any::<bool>(),
        cp1252 in any::<bool>(),
        quoted in any::<bool>(),
    ) {
        // Some programs write every cell within quotes.
        let quote = |line: &String| {
            let cells: Vec<String> = line.split(',').map(|cell| format!("\"{cell}\"")).collect();
            if quoted && !line.contains(['"', '#']) { cells.join(",") } else { line.clone() }
        };
        let lines: Vec<String> = lines.iter().map(quote).collect();
        let text = format!("{}# made up\n{HEAD}\n{}", if mark { "\u{feff}" } else { "" }, lines.join("\n"));
        let text = if last { format!("{text}\n") } else { text }.replace('\n', end);
        let bytes = if cp1252 {
            text.chars().map(|c| u8::try_from(u32::from(c)).unwrap_or(b'u')).collect()
        } else {
            text.into_bytes()
        };
        assert_same("x.csv", &bytes);
    }
}

#[test]
fn other_dialects() {
    let comma = "number;supplier;part;value;rated_v;prices\nA;Tarrowby;film;0,047uF;630;\"1:0,42;10:0,36\"\nB;Tarrowby;film;0.1uF;630;0,5\nC;Tarrowby;film;0,1uF;1.000;0,5\n";
    let text = comma.to_owned() + &"A;Tarrowby;film;2,2uF;63,5;0,5\n".repeat(60);
    assert_same("x.csv", text.as_bytes());
    assert_same("x.csv", format!("sep=;\n{text}").as_bytes());
    assert_same("x.tsv", text.replace(';', "\t").as_bytes());
    let utf16: Vec<u8> = std::iter::once(0xfeff).chain(text.encode_utf16()).flat_map(u16::to_le_bytes).collect();
    assert_same("x.csv", &utf16);
    let own = "Order code;supplier;part;Capacitance (uF);Voltage [V];Ripple (A);prices\n".to_owned()
        + &"M1;Sandvarp;electrolytic;2,2;450;0,16;\"1:1,25;10:1,10\"\n".repeat(30);
    assert_same("catalog/Main-2026.csv", own.as_bytes());
    let columns = "number,supplier,part,designation,price1,qty10,price_10,price 100\nA,Tarrowby,fuse,T1A,0.50,12,0.40,\nB,Tarrowby,fuse,T2A,,,,\nC,Tarrowby,fuse,T2A,0.5,1,0.4,0.3\n";
    assert_same("x.csv", columns.as_bytes());
}

#[test]
fn files_that_are_no_catalogs() {
    for text in
        ["", "\n", "number\n", "number,part\n1,2\n", "\"number,supplier", "number,number,supplier,part,prices\n"]
    {
        assert_same("x.csv", text.as_bytes());
    }
    assert_same("x.csv", b"PK\x03\x04");
}

#[test]
fn a_quote_that_is_not_closed_ends_the_reading_where_it_stands() {
    let good = "A,Tarrowby,film,0.1uF,,630,,,,,,,,,,,,,,,,,,,1:0.4,,,,,\n";
    for bad in ["B,\"Tarrowby,film\n", &format!("B,\"{}\",x\n", "y\n".repeat(60))] {
        let text = format!("{HEAD}\n{}{bad}{}", good.repeat(40), good.repeat(40));
        let (offers, set_aside, ..) = skimmed("x.csv", text.as_bytes(), 2).unwrap();
        assert!(offers.len() == 40 && set_aside.len() == 1, "{set_aside}");
        assert_same("x.csv", text.as_bytes());
    }
}

#[test]
fn what_only_looks_like_another_kind_of_file_behind_its_mark() {
    let line = "n1,Harbour Parts,film,22nF,10%,400";
    for first in ["", "\n", "%PDF,supplier", "PK\x03\x04,supplier", "<html>", "\u{feff}number"] {
        assert_same("catalog.csv", format!("\u{feff}{first}").as_bytes());
        let text = format!("\u{feff}{first},part,value,tolerance,rated_v\n{line}\n");
        assert_same("catalog.csv", text.as_bytes());
    }
}
