//! The table reader on any bytes, as each of the tables: faults point inside the text, and the
//! same table with other line ends, in UTF-16 or read a byte at a time gives the same; a catalog too
//! where it is skimmed by the reader of large ones.
#![no_main]

use std::io::Read;

use capjob::input::{Catalog, CatalogTerms, ColumnMap, Faults, NamedBytes, Taker, read_after, read_catalog, read_job};
use capjob::model::shop::{Glance, Offer, Supplier};
use capjob_fuzz::{Folder, check_faults, check_notes, read_shop_of};
use libfuzzer_sys::fuzz_target;

const CHASSIS: &[u8] = b"bare = \"uF\"\n[chassis]\nname = \"x\"\nyear = 1950\n";
const SHOP: &[u8] = b"currency = \"EUR\"\n[columns.\"catalog.csv\"]\n\"Order code\" = \"number\"\n\"Voltage (V)\" = \"rated_v\"\n\"Ripple (A)\" = \"ripple_ma\"\nCapacitance = \"value\"\n";

fuzz_target!(|input: &[u8]| {
    let Some((kind, bytes)) = input.split_first() else { return };
    if bytes.len() > 4096 {
        return;
    }
    match kind % 7 {
        0 => alike(bytes, |bytes| {
            let read = read_job("job", named("chassis.toml", CHASSIS), named("table.csv", bytes));
            checked(read.map(|n| (n.notes, n.value)), bytes)
        }),
        1 => alike(bytes, |bytes| {
            let read = read_after(named("table.csv", bytes));
            checked(read.map(|n| (n.notes, n.value)), bytes)
        }),
        2 => alike(bytes, catalog),
        kind => {
            let name = ["suppliers.csv", "shelf.csv", "equivalents.csv", "rectifiers.csv"][usize::from(kind - 3)];
            alike(bytes, |bytes| {
                let input = [format!("=== {name}\n").as_bytes(), bytes].concat();
                // A piece of the table that looks like the next file is not this table's matter.
                if bytes.windows(4).any(|w| w == b"=== ") {
                    return None;
                }
                read_shop_of(&Folder::new(&input)).map(|n| (n.notes, n.value)).map_err(|f| places(&f)).ok()
            });
        }
    }
});

fn named<'a>(name: &'a str, bytes: &'a [u8]) -> NamedBytes<'a> {
    NamedBytes { name, bytes }
}

/// What was read, or the places and kinds of its faults.
fn checked<T>(read: Result<(Vec<String>, T), Faults>, bytes: &[u8]) -> Result<(Vec<String>, T), Vec<String>> {
    let files: [(&str, &[u8]); 2] = [("chassis.toml", CHASSIS), ("table.csv", bytes)];
    match &read {
        Ok((notes, _)) => check_notes(notes, &files),
        Err(faults) => check_faults(faults, &files),
    }
    read.map_err(|faults| places(&faults))
}

fn places(faults: &Faults) -> Vec<String> {
    faults.iter().map(|f| format!("{}:{}:{} {} {:?}", f.file, f.line, f.column, f.message, f.field)).collect()
}

/// The same in other line ends and encodings.
fn alike<T: PartialEq + std::fmt::Debug>(bytes: &[u8], read: impl Fn(&[u8]) -> T) {
    let plain = read(bytes);
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    let magic = text.starts_with("PK") || text.starts_with("%PDF") || text.starts_with('\u{feff}');
    if magic || text.contains('\0') || text.is_empty() {
        return;
    }
    if !text.contains('\r') {
        assert_eq!(read(text.replace('\n', "\r\n").as_bytes()), plain, "CR LF");
        assert_eq!(read(text.replace('\n', "\r").as_bytes()), plain, "CR");
    }
    assert_eq!(read(&[b"\xef\xbb\xbf", bytes].concat()), plain, "with a mark");
    let wide: Vec<u8> =
        std::iter::once(0xfeff).chain(text.encode_utf16()).flat_map(|unit: u16| unit.to_le_bytes()).collect();
    assert_eq!(read(&wide), plain, "UTF-16");
}

/// A byte at a time.
struct Single<'a>(&'a [u8]);

impl Read for Single<'_> {
    fn read(&mut self, buffer: &mut [u8]) -> std::io::Result<usize> {
        let count = self.0.len().min(buffer.len()).min(1);
        buffer[..count].copy_from_slice(&self.0[..count]);
        self.0 = &self.0[count..];
        Ok(count)
    }
}

type CatalogRead = Result<(Vec<Offer>, Vec<String>, Vec<String>), Vec<String>>;

fn catalog(bytes: &[u8]) -> CatalogRead {
    let shop = read_shop_of(&Folder::new(&[b"=== shop.toml\n", SHOP].concat())).expect("a shop without faults").value;
    let map = shop.columns.of("catalog.csv");
    let whole = offers(bytes, &shop.shop.suppliers, map);
    let single = offers(Single(bytes), &shop.shop.suppliers, map);
    assert_eq!(whole, single, "a byte at a time");
    for readers in [1, 2] {
        assert_eq!(skimmed(bytes, &shop.shop.suppliers, map, readers), sorted(whole.clone()), "{readers} readers");
    }
    if let Err(faults) = &whole {
        check_faults(faults, &[("catalog.csv", bytes)]);
    }
    let (offers, aside, notes) = whole.map_err(|f| places(&f))?;
    if !aside.is_empty() {
        check_faults(&aside, &[("catalog.csv", bytes)]);
    }
    check_notes(&notes, &[("catalog.csv", bytes)]);
    Ok((offers, places(&aside), notes))
}

type Given<O> = Result<(Vec<O>, Faults, Vec<String>), Faults>;

/// The offers by their texts, since readers that share a file give them in no order.
fn sorted(given: Given<Offer>) -> Given<String> {
    let (offers, set_aside, notes) = given?;
    let mut offers: Vec<String> = offers.iter().map(|offer| format!("{offer:?}")).collect();
    offers.sort();
    Ok((offers, set_aside, notes))
}

/// Takes every offer.
#[derive(Default)]
struct All(Vec<Offer>);

impl Taker for All {
    fn wants(&mut self, _glance: &Glance<'_>) -> bool {
        true
    }

    fn take(&mut self, offer: &Offer) {
        self.0.push(offer.clone());
    }
}

/// The same by the reader of large catalogs.
fn skimmed(bytes: &[u8], suppliers: &[Supplier], map: Option<&ColumnMap>, readers: usize) -> Given<String> {
    let mut takers: Vec<All> = (0..readers).map(|_| All::default()).collect();
    let terms = CatalogTerms { suppliers, map };
    let read = read_catalog("catalog.csv", bytes, terms, &mut takers, &mut |_| {})?;
    let offers = takers.into_iter().flat_map(|taker| taker.0).collect();
    sorted(Ok((offers, read.set_aside, read.notes)))
}

fn offers<R: Read>(source: R, suppliers: &[Supplier], map: Option<&ColumnMap>) -> Given<Offer> {
    let mut catalog = Catalog::open("catalog.csv", source, suppliers, map)?;
    let offers: Vec<Offer> = catalog.by_ref().collect();
    for offer in &offers {
        assert!(!offer.tiers.is_empty() && offer.tiers.windows(2).all(|w| w[0].from < w[1].from), "{offer:?}");
    }
    Ok((offers, catalog.set_aside().clone(), catalog.notes()))
}
