//! Readings after the work against what is due.

#![expect(clippy::expect_used, reason = "a case that cannot be built has failed")]

use capjob::documents::machine::verify::VerifyDocument;
use capjob::export::json;
use capjob::model::chassis::Job;
use capjob::model::finding::Decision;
use capjob::model::plan::Plan;
use capjob::verify::{AfterRow, Check, Verification, VerifyError, verify};

#[path = "support/plan_builder.rs"]
mod plan_builder;
#[path = "support/rows.rs"]
mod support_rows;
use plan_builder::{job, judgement_at, plan};
use support_rows::rows;

/// A set with a two-core lead, HT 250 V on the service sheet at the 240 V tapping, measured on 240 V.
fn set() -> (Job, Plan) {
    let chassis = "[chassis]\nname = \"Table set\"\nsupply = \"transformer\"\n[mains]\ntapping_v = 240\nmeasured_v = 240\n\
                   earth = \"two-core\"\n[[ht]]\nname = \"HT\"\ncircuit = \"bridge\"\nrectifier = \"silicon\"\n[[ht.node]]\nname = \"HT1\"\nsheet_v = 250\n";
    let parts = "ref,part,marked,place,plus,minus,bias_v\nC9,paper,.02/600,coupling,A1,G2,12\nR8,carbon-film,4K7 1W,dropper,HT1,HT2,\n";
    let job = job("lt-3", chassis, parts);
    let judgements = vec![judgement_at("C9", Decision::Keep, 250.0), judgement_at("R8", Decision::Keep, 250.0)];
    let plan = plan(&job, judgements);
    (job, plan)
}

fn checked(text: &str) -> Verification {
    let (job, plan) = set();
    verify(&job, &plan, &after(text)).expect("checks")
}

fn after(text: &str) -> Vec<AfterRow> {
    rows(format!("what,read,unit,note\n{text}").as_bytes())
}

fn one<'a>(verification: &'a Verification, key: &str) -> &'a Check {
    verification.checks.iter().find(|c| c.expected.what.key() == key).expect("a check")
}

/// HT within 6 %, 7.6 V rms into 15 ohm (3.9 W), hum 3 mV; touch 0.90 V one way, 0.12 V the other: 0.6 mA is over
/// 0.5 mA, so it fails (makers' service notes as read in public copies: 0.75 V across 1.5 k beside 0.15 µF).
#[test]
fn one_touch_reading_over_its_limit_fails_the_set() {
    let good = "HT1,264,V,\npower,7.6,V,into 15 ohm\nhum,3,mV,\ntouch:2,0.12,V,\n";
    let failed = checked(&format!("{good}touch:1,0.90,V,\n"));
    assert!(!failed.pass);
    let touch = one(&failed, "touch:1");
    assert_eq!(touch.ok, Some(false));
    assert!(touch.says.contains("not to be returned") && touch.says.contains("0.6 mA"), "{}", touch.says);
    assert!(failed.checks.iter().filter(|c| c.ok == Some(false)).count() == 1);
    assert_eq!(one(&failed, "hum").ok, Some(true));
    assert!(checked(&format!("{good}touch:1,0.75,V,\n")).pass);
    assert!(!checked(&format!("{good}touch:1,0.751,V,\n")).pass);
    assert!(checked(&format!("{good}touch:1,0.5,mA,\n")).pass);
    assert!(!checked(&format!("{good}touch:1,0.6,mA,\n")).pass);
    assert!(one(&checked(&format!("{good}touch:1,0.5,V,\n")), "touch:1").says.contains("0.35 V"));
}

#[test]
fn what_was_not_measured_never_passes() {
    let failed = checked("HT1,250,V,\ntouch:1,0.1,V,\n");
    assert!(!failed.pass);
    assert_eq!(one(&failed, "touch:2").ok, None);
    assert_eq!(one(&failed, "cold").ok, None);
}

/// 250 V at 240 V is 225 to 275 V; on a mains of 216 V it is 202.5 to 247.5 V.
#[test]
fn limits_follow_the_mains() {
    let touch = "touch:1,0,mA,\ntouch:2,0,mA,\n";
    assert!(checked(&format!("{touch}HT1,274.9,V,\n")).pass);
    assert!(!checked(&format!("{touch}HT1,275.2,V,\n")).pass);
    assert!(!checked(&format!("{touch}mains,216,V,\nHT1,250,V,\n")).pass);
    assert!(checked(&format!("{touch}mains,216,V,\nHT1,203,V,\n")).pass);
}

/// A small-signal stage: the lesser of 1 % of 12 V bias, 0.12 V; above 10 V of bias the 20 mV do not count.
#[test]
fn grids_and_values_have_limits() {
    let touch = "touch:1,0,mA,\ntouch:2,0,mA,\n";
    assert!(checked(&format!("{touch}bias,12,V,\ngrid:C9,0.119,V,\nreads:R8,5.5k,ohm,\n")).pass);
    assert!(!checked(&format!("{touch}grid:C9,0.121,V,\n")).pass);
    assert!(!checked(&format!("{touch}reads:R8,5.7k,ohm,\n")).pass);
    assert!(!checked(&format!("{touch}reads:R8,open,,\n")).pass);
    assert!(!checked(&format!("{touch}cold,0.9,Mohm,\n")).pass);
    assert!(checked(&format!("{touch}cold,1,Mohm,\n")).pass);
}

#[test]
fn readings_of_nothing_are_refused() {
    let (job, plan) = set();
    let refused = |text: &str| verify(&job, &plan, &after(text)).expect_err("a refusal");
    assert!(matches!(refused("HT9,250,V,\n"), VerifyError::Unknown { what } if what == "HT9"));
    assert!(matches!(refused("reads:C99,1,uF,\n"), VerifyError::Unknown { what } if what == "reads:C99"));
    assert!(matches!(refused("reads:R8,1,uF,\n"), VerifyError::Unit { .. }));
}

#[test]
fn the_machine_output_says_the_same() {
    let (job, plan) = set();
    let verification = checked("HT1,264,V,\ntouch:1,0.90,V,\ntouch:2,0.12,V,\n");
    let text = json::write(&VerifyDocument::new(&job, &plan, &verification)).expect("a document");
    let read: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    assert_eq!((read["schema"].as_str(), read["answer"].as_str()), (Some("capjob.verify/1"), Some("fail")));
    let checks = read["checks"].as_array().expect("checks");
    let touch = checks.iter().find(|c| c["what"] == "touch:1").expect("a check");
    assert_eq!(
        (touch["ok"].as_bool(), touch["read"].as_f64(), touch["limit"].as_f64()),
        (Some(false), Some(0.9), Some(0.75))
    );
    let ht = checks.iter().find(|c| c["what"] == "HT1").expect("a check");
    assert!((ht["expected"].as_f64().expect("a figure") - 250.0).abs() < 1e-9, "{ht}");
}
