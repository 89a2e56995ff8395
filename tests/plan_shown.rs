//! The plan's screen: parts of which the same is said stand together, and nothing of them is lost.

#![expect(clippy::panic, clippy::unwrap_used, reason = "a case that cannot be read has failed")]

#[path = "support/typed.rs"]
mod typed;

use capjob::documents::plan_screen;
use capjob::export::text::{self, Setting};
use capjob::model::kind::PartKind;
use capjob::model::part::Value;
use capjob::model::shop::{Article, Offer, Tier};
use capjob::money::Money;
use capjob::workflow::{self, Choices, PlanError};

/// The lines of the screen that name a lamp.
fn lamps(parts: &str) -> Vec<String> {
    let designation = Value::Designation("6.3V 0.3A MES".to_owned());
    let lamp = Offer {
        supplier: "HV".to_owned(),
        number: "L1".to_owned(),
        article: Article { value: Some(designation), ..Article::of_kind(PartKind::Lamp) },
        tiers: vec![Tier { from: 1, each: Money::parse("0.50").unwrap() }],
        pack: 1,
        minimum: 1,
        stock: None,
        lead_days: None,
    };
    let feed = |take: &mut dyn FnMut(&Offer)| -> Result<usize, PlanError> {
        take(&lamp);
        Ok(0)
    };
    let chassis = "[chassis]\nname = \"Case\"\nyear = 1958\nsupply = \"transformer\"\ninspected = 2026-11-20\n";
    let job = typed::job(chassis, parts);
    let plan = workflow::plan(std::slice::from_ref(&job), &typed::shop(), &Choices::default(), feed).unwrap();
    let screen = text::write(&plan_screen::blocks(&[job], &plan), Setting { width: None, colour: false });
    screen.lines().filter(|l| l.contains("  lamp  ")).map(|l| l.trim().to_owned()).collect()
}

const HEAD: &str = "ref,part,marked,wish,sight\n";

// Three lamps alike in a row are one entry; the fourth, of which something else is seen, is its own, and so is the
// fifth, since the list goes on with it.
#[test]
fn what_is_said_alike_stands_together() {
    let parts = format!(
        "{HEAD}LP1,lamp,6.3V 0.3A MES,replace,\nLP2,lamp,6.3V 0.3A MES,replace,\nLP3,lamp,6.3V 0.3A MES,replace,\n\
         LP4,lamp,6.3V 0.3A MES,replace,burnt\nLP5,lamp,6.3V 0.3A MES,replace,\n"
    );
    let lines = lamps(&parts);
    let heads: Vec<&str> = lines.iter().filter_map(|l| l.split("  ").next()).collect();
    assert_eq!(heads, ["LP1 LP2 LP3", "LP4", "LP5"]);
}

// No more than stands before a text without pushing the columns aside: every reference is there all the same.
#[test]
fn every_reference_stays() {
    let parts: Vec<String> = (1..=9).map(|n| format!("LP{n},lamp,6.3V 0.3A MES,replace,")).collect();
    let lines = lamps(&format!("{HEAD}{}\n", parts.join("\n")));
    let refs: Vec<&str> = lines.iter().filter_map(|l| l.split("  ").next()).flat_map(|r| r.split(' ')).collect();
    assert_eq!(refs, ["LP1", "LP2", "LP3", "LP4", "LP5", "LP6", "LP7", "LP8", "LP9"]);
    assert!(lines.len() < 9);
}
