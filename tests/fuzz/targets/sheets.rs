//! `chassis.toml` and `shop.toml` from any bytes: faults point inside the text, a sheet that reads
//! once reads the same with a mark before it and with other line ends.
#![no_main]

use capjob::input::{Faults, NamedBytes, Noted, ShopFiles, read_job, read_shop};
use capjob::workflow;
use capjob_fuzz::{check_faults, check_notes};
use libfuzzer_sys::fuzz_target;

const PARTS: &[u8] = b"ref,part,marked,place,plus,minus\nC1,electrolytic,16/450,reservoir,HT1,CH\nR1,carbon-composition,10k,dropper,HT1,HT2\nC9,paper,.05,coupling,A,B\n";
const SUPPLIERS: &[u8] = b"supplier,currency,carriage\nA,EUR,4.50\n";

fuzz_target!(|input: &[u8]| {
    let Some((kind, bytes)) = input.split_first() else { return };
    if bytes.len() > 4096 {
        return;
    }
    if kind % 2 == 0 { alike(bytes, chassis) } else { alike(bytes, shop) }
});

fn named<'a>(name: &'a str, bytes: &'a [u8]) -> NamedBytes<'a> {
    NamedBytes { name, bytes }
}

fn chassis(bytes: &[u8]) -> Result<String, Vec<String>> {
    let files: [(&str, &[u8]); 2] = [("chassis.toml", bytes), ("parts.csv", PARTS)];
    let read = read_job("job", named("chassis.toml", bytes), named("parts.csv", PARTS));
    checked(read, &files)
}

fn shop(bytes: &[u8]) -> Result<String, Vec<String>> {
    let files: [(&str, &[u8]); 2] = [("shop.toml", bytes), ("suppliers.csv", SUPPLIERS)];
    let keys = workflow::margin_keys();
    let read = read_shop(&ShopFiles {
        settings: named("shop.toml", bytes),
        suppliers: named("suppliers.csv", SUPPLIERS),
        shelf: None,
        equivalents: None,
        rectifiers: None,
        margin_keys: &keys,
    });
    checked(read, &files)
}

fn checked<T: std::fmt::Debug>(read: Result<Noted<T>, Faults>, files: &[(&str, &[u8])]) -> Result<String, Vec<String>> {
    match read {
        Ok(noted) => {
            check_notes(&noted.notes, files);
            Ok(format!("{:?}", noted.value))
        }
        Err(faults) => {
            check_faults(&faults, files);
            Err(faults.iter().map(|f| format!("{}:{} {:?} {}", f.line, f.column, f.kind, f.message)).collect())
        }
    }
}

fn alike(bytes: &[u8], read: impl Fn(&[u8]) -> Result<String, Vec<String>>) {
    let plain = read(bytes);
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    let magic = text.starts_with("PK") || text.starts_with("%PDF") || text.starts_with('\u{feff}');
    if magic || text.contains('\0') || text.is_empty() {
        return;
    }
    assert_eq!(read(&[b"\xef\xbb\xbf", bytes].concat()), plain, "with a mark");
    let wide: Vec<u8> =
        std::iter::once(0xfeff).chain(text.encode_utf16()).flat_map(|unit: u16| unit.to_be_bytes()).collect();
    assert_eq!(read(&wide), plain, "UTF-16");
    // A broken sheet may break elsewhere, and a text over several lines holds its line ends.
    if plain.is_ok() && !text.contains('\r') && !text.contains("\"\"\"") && !text.contains("'''") {
        assert_eq!(read(text.replace('\n', "\r\n").as_bytes()), plain, "CR LF");
    }
}
