//! A job and a shop from texts that stand in the test.

use capjob::input::{NamedBytes, ShopFiles, read_job, read_shop};
use capjob::model::chassis::Job;
use capjob::model::shop::Shop;

fn bytes<'a>(name: &'a str, text: &'a str) -> NamedBytes<'a> {
    NamedBytes { name, bytes: text.as_bytes() }
}

/// The job of these two files.
pub(crate) fn job(chassis: &str, parts: &str) -> Job {
    let read = read_job("case", bytes("chassis.toml", chassis), bytes("parts.csv", parts));
    read.unwrap_or_else(|faults| panic!("{faults}")).value
}

/// A shop with one supplier, HV, and nothing on the shelf.
pub(crate) fn shop() -> Shop {
    let files = ShopFiles {
        settings: bytes("shop.toml", "currency = \"EUR\"\n"),
        suppliers: bytes("suppliers.csv", "supplier,currency,carriage\nHV,EUR,4.00\n"),
        shelf: None,
        equivalents: None,
        rectifiers: None,
        margin_keys: &[],
    };
    read_shop(&files).unwrap_or_else(|faults| panic!("{faults}")).value.shop
}
