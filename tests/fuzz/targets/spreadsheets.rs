//! Spreadsheets: any bytes as `.xlsx` and `.ods`, and archives made of an input's pieces, so that
//! what is varied lies behind compression and checksums. A hostile file is a fault, never a panic.
#![no_main]

use std::sync::Once;

use capjob::input::{NamedBytes, panics_are_caught, read_job};
use capjob_fuzz::{check_faults, check_notes, pieces, stored};
use libfuzzer_sys::fuzz_target;

const CHASSIS: &[u8] = b"[chassis]\nname = \"x\"\n";

fuzz_target!(|input: &[u8]| {
    keep_our_hook();
    if input.len() > 16_384 {
        return;
    }
    let pieces = pieces(input);
    if pieces.is_empty() {
        read("parts.xlsx", input);
        read("parts.ods", input);
    } else {
        let name = if pieces.iter().any(|(name, _)| *name == "content.xml") { "parts.ods" } else { "parts.xlsx" };
        read(name, &stored(&pieces));
    }
});

/// A panic that the reader catches is no finding, one that it lets through is.
fn keep_our_hook() {
    static ONCE: Once = Once::new();
    ONCE.call_once(|| {
        std::panic::set_hook(Box::new(|panic| {
            if !panics_are_caught() {
                eprintln!("{panic}");
            }
        }));
    });
}

fn read(name: &str, bytes: &[u8]) {
    let files: [(&str, &[u8]); 2] = [("chassis.toml", CHASSIS), (name, bytes)];
    let named = |at: usize| NamedBytes { name: files[at].0, bytes: files[at].1 };
    let read = read_job("job", named(0), named(1));
    match &read {
        Ok(noted) => check_notes(&noted.notes, &files),
        Err(faults) => check_faults(faults, &files),
    }
    assert_eq!(read, read_job("job", named(0), named(1)), "the same bytes read the same");
}
