//! A value that no single part has is made up of two in parallel, where the circuit asks for it.

use capjob::model::chassis::Job;
use capjob::model::finding::How;
use capjob::model::kind::{PartKind, Place};
use capjob::model::part::Part;
use capjob::model::plan::{ArrangementKind, Plan};
use capjob::model::shop::{Article, Offer, Shop};
use capjob::units::Tolerance;
use capjob::workflow::{self, Choices, PlanError};

use super::build::*;
use super::{arranged, numbers};

/// A film offer of so many nF and V, 5 %.
fn film_offer(number: &str, price: &str, nf: f64, volts: f64) -> Offer {
    let article = Article { tolerance: Some(Tolerance::symmetric(5.0)), ..film(nf / 1000.0, volts) };
    offer("HV", number, price, article)
}

fn mica_offer(number: &str, price: &str, pf: f64, percent: f64) -> Offer {
    let article =
        Article { kind: PartKind::Mica, tolerance: Some(Tolerance::symmetric(percent)), ..film(pf * 1e-6, 500.0) };
    offer("HV", number, price, article)
}

fn tone() -> Job {
    job("BG-2", vec![cap("C7", PartKind::Paper, 0.005, 400.0).at(Place::Tone)])
}

fn tuned() -> Part {
    cap("C9", PartKind::Mica, 0.0005, 350.0).at(Place::Tuned)
}

/// The pairs that are weighed, larger with smaller.
fn pairs(job: &Job, offers: &[Offer], shop: &Shop) -> Vec<Vec<Vec<String>>> {
    let found = arranged(job, How::New, &[stress(100.0, 300.0)], offers, shop);
    let all = found[0].alternatives.iter().enumerate();
    all.map(|(a, one)| (0..one.demands.len()).map(|d| numbers(&found[0], a, d)).collect()).collect()
}

/// Lists of numbers.
fn list(of: &[&[&[&str]]]) -> Vec<Vec<Vec<String>>> {
    let text = |s: &&str| (*s).to_owned();
    of.iter().map(|a| a.iter().map(|d| d.iter().map(text).collect()).collect()).collect()
}

// 5 nF within 10 %: 3.3 + 1.5 = 4.8 nF (-4 %) comes before 3.3 + 2.2 = 5.5 nF (+10 %, on the edge);
// 3.3 + 1.0 = 4.3 and 2.2 + 1.5 = 3.7 are outside. The 200 V part is too weak for 400 V.
#[test]
fn a_tone_value_of_two() {
    let offers = [
        film_offer("F33", "0.30", 3.3, 630.0),
        film_offer("F22", "0.30", 2.2, 630.0),
        film_offer("F15", "0.30", 1.5, 630.0),
        film_offer("F10", "0.30", 1.0, 630.0),
        film_offer("F18-200", "0.10", 1.8, 200.0),
    ];
    let due = list(&[&[&["F33"], &["F15"]], &[&["F33"], &["F22"]]]);
    assert_eq!(pairs(&tone(), &offers, &shop()), due);
    // A single part that fits ends the matter.
    let with_single: Vec<Offer> = offers.iter().cloned().chain([film_offer("F47", "0.90", 4.7, 630.0)]).collect();
    assert_eq!(pairs(&tone(), &with_single, &shop()), list(&[&[&["F47"]]]));
    let mut strict = shop();
    strict.choose.parallel_pairs = false;
    assert!(pairs(&tone(), &offers, &strict).is_empty());
    (strict.choose.parallel_pairs, strict.choose.max_parts_per_place) = (true, Some(1));
    assert!(pairs(&tone(), &offers, &strict).is_empty());
}

// 500 pF within 5 %: 470 + 33 = 503 pF. One part of 20 % would let the sum stray further than the place bears.
#[test]
fn a_tuned_value_of_two() {
    let job = job("CR-54", vec![tuned()]);
    let of = |percent| [mica_offer("M470", "0.80", 470.0, 1.0), mica_offer("M33", "0.40", 33.0, percent)];
    assert_eq!(pairs(&job, &of(2.0), &shop()), list(&[&[&["M470"], &["M33"]]]));
    assert!(pairs(&job, &of(20.0), &shop()).is_empty());
}

// A coupling capacitor has latitude enough for one part; on the mains nothing is put together.
#[test]
fn where_no_value_is_made_up() {
    let offers = [film_offer("F33", "0.30", 3.3, 630.0), film_offer("F15", "0.30", 1.5, 630.0)];
    for place in [Place::Coupling, Place::OutputAnode, Place::LineToLine] {
        let job = job("BG-2", vec![cap("C7", PartKind::Paper, 0.005, 400.0).at(place)]);
        assert!(pairs(&job, &offers, &shop()).is_empty(), "{place}");
    }
}

/// The plan for a tuned capacitor that is cracked.
fn plan(offers: &[Offer]) -> Plan {
    let mut part = tuned();
    part.found.sight = vec![capjob::model::kind::Sight::Cracked];
    part.found.highest = Some(capjob::units::Volt::new(300.0));
    let job = job("CR-54", vec![part]);
    let mut shop = shop();
    shop.suppliers = vec![supplier("HV")];
    let feed = |take: &mut dyn FnMut(&Offer)| -> Result<usize, PlanError> {
        offers.iter().for_each(take);
        Ok(0)
    };
    workflow::plan(std::slice::from_ref(&job), &shop, &Choices::default(), feed).unwrap()
}

// The cheaper pair within the window is bought: 390 + 100 = 490 pF for 0.50 + 0.30, and 4.00 of carriage, though
// 470 + 33 is nearer.
#[test]
fn the_cheaper_pair_is_bought() {
    let offers = [
        mica_offer("M470", "0.80", 470.0, 1.0),
        mica_offer("M390", "0.50", 390.0, 1.0),
        mica_offer("M100", "0.30", 100.0, 1.0),
        mica_offer("M33", "0.40", 33.0, 1.0),
    ];
    let plan = plan(&offers);
    let fit = &plan.fits[0];
    assert_eq!(fit.arrangement, ArrangementKind::Parallel);
    let pieces: Vec<(&str, u32)> = fit.parts.iter().map(|p| (p.number.as_str(), p.count)).collect();
    assert_eq!(pieces, [("M390", 1), ("M100", 1)]);
    assert!(fit.notes.iter().any(|n| n.starts_with("390 pF and 100 pF in parallel make 490 pF, -2.0 %")));
    assert_eq!(plan.totals.landed.text(2), "4.80");
    assert!(plan.totals.proven);
}
