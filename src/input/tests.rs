//! The room as a whole: a job and a shop in every dialect, every message by one pattern.

use super::*;
use crate::model::chassis::Job;
use crate::model::shop::Offer;

mod catalog;
mod chassis;
mod dialects;
mod messages;
mod shop;
mod skim;

const CHASSIS: &str = include_str!("tests/chassis.toml");
const PARTS: &str = include_str!("tests/parts.csv");

fn job_of(chassis: &str, parts_name: &str, parts: &[u8]) -> Result<Noted<Job>, Faults> {
    read_job(
        "hall",
        NamedBytes { name: "chassis.toml", bytes: chassis.as_bytes() },
        NamedBytes { name: parts_name, bytes: parts },
    )
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-9 * b.abs()
}
