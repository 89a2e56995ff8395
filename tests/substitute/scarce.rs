//! Pairs and matched groups come from one source, so one that has too few pieces serves none of them.

use capjob::model::finding::How;
use capjob::model::kind::{PartKind, Place};
use capjob::model::part::Part;
use capjob::model::plan::ArrangementKind;
use capjob::model::shop::{Offer, ShelfItem};
use capjob::money::Money;

use super::build::*;
use super::{arranged, numbers};

/// An offer of which there are so many.
fn in_stock(stock: u32, offer: Offer) -> Offer {
    Offer { stock: Some(stock), ..offer }
}

fn grid_leak() -> Part {
    res("R7", PartKind::CarbonComposition, 1e6, 0.5).at(Place::GridLeak)
}

// 1 M at 640 V: two of 510 k in series do, from the source that has two; where none has two that is said.
#[test]
fn two_in_series_come_from_one_source() {
    let job = job("GC-50", vec![grid_leak()]);
    let one = in_stock(1, offer("HV", "ONE", "0.04", metal(510_000.0, 0.5, 350.0)));
    let two = in_stock(2, offer("PM", "TWO", "0.09", metal(510_000.0, 0.5, 350.0)));
    let found = arranged(&job, How::New, &[stress(500.0, 640.0)], &[one.clone(), two], &shop());
    assert_eq!(found[0].alternatives[0].kind, ArrangementKind::Series);
    assert_eq!(numbers(&found[0], 0, 0), ["TWO"]);
    let none = arranged(&job, How::New, &[stress(500.0, 640.0)], &[one], &shop());
    assert!(none[0].alternatives.is_empty());
    assert_eq!(none[0].would_help[0], "2 × HV:ONE in series would do: no more than 1 to be had there");
}

// A line of the shelf with one piece, or none, neither makes a pair nor stands in the way of one.
#[test]
fn the_shelf_lends_no_second_piece() {
    let job = job("GC-50", vec![grid_leak()]);
    let item = |number: &str, quantity, article| ShelfItem {
        number: number.to_owned(),
        article,
        quantity,
        price: Money::ZERO,
    };
    let mut shop = shop();
    shop.shelf = vec![item("S510", 1, metal(510_000.0, 0.5, 350.0)), item("S1M", 0, metal(1e6, 0.5, 750.0))];
    let offers = [offer("HV", "R510K", "0.05", metal(510_000.0, 0.5, 350.0))];
    let found = arranged(&job, How::New, &[stress(500.0, 640.0)], &offers, &shop);
    assert_eq!(found[0].alternatives.len(), 1);
    assert_eq!(numbers(&found[0], 0, 0), ["R510K"]);
}

// What would do if the shop allowed pairs is named by a source that has two.
#[test]
fn what_allowing_pairs_would_bring_can_be_had() {
    let part = cap("C1", PartKind::Electrolytic, 32.0, 450.0).at(Place::Decoupling).nodes("HT2", "CH");
    let job = job("GC-50", vec![part]);
    let offers = [
        in_stock(1, offer("HV", "A-ONE", "0.80", elec(16.0, 450.0))),
        in_stock(2, offer("HV", "B-TWO", "0.90", elec(16.0, 450.0))),
    ];
    let mut strict = shop();
    strict.choose.parallel_pairs = false;
    let found = arranged(&job, How::New, &[stress(300.0, 440.0)], &offers, &strict);
    assert!(found[0].would_help.contains(&"parallel pair possible (2 × HV:B-TWO): allow parallel_pairs".to_owned()));
}

// Matched parts are selected from one lot: a lot of one serves no pair.
#[test]
fn a_matched_pair_comes_from_one_lot() {
    let of = |reference: &str| res(reference, PartKind::CarbonComposition, 100_000.0, 0.5).at(Place::Anode).pair("p");
    let job = job("PH-30", vec![of("R1"), of("R2")]);
    let offers = [
        in_stock(1, offer("HV", "ONE", "0.05", metal(100_000.0, 1.0, 500.0))),
        in_stock(9, offer("HV", "NINE", "0.07", metal(100_000.0, 1.0, 500.0))),
    ];
    let stresses = [stress(100.0, 300.0), stress(100.0, 300.0)];
    let found = arranged(&job, How::New, &stresses, &offers, &shop());
    assert_eq!(numbers(&found[0], 0, 0), ["NINE"]);
    let none = arranged(&job, How::New, &stresses, &offers[..1], &shop());
    assert_eq!(none[0].would_help, ["2 × HV:ONE would do: no more than 1 to be had there"]);
}
