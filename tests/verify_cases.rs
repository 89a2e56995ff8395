//! Readings after the work against what is due.

#![expect(clippy::expect_used, reason = "a case that cannot be built has failed")]

use capjob::documents::machine::verify::VerifyDocument;
use capjob::export::json;
use capjob::model::chassis::Job;
use capjob::model::finding::{Call, Decision, Finding, Judgement};
use capjob::model::plan::Plan;
use capjob::sources::SourceId;
use capjob::verify::{AfterRow, Check, OpenKind, Verification, VerifyError, verify};

#[path = "support/plan_builder.rs"]
mod plan_builder;
#[path = "support/rows.rs"]
mod support_rows;
use plan_builder::{job, judgement, plan};
use support_rows::rows;

/// A set with a two-core lead, HT 250 V on the service sheet at the 240 V tapping, measured on 240 V.
fn set() -> (Job, Plan) {
    let chassis = "[chassis]\nname = \"Table set\"\nsupply = \"transformer\"\n[mains]\ntapping_v = 240\nmeasured_v = 240\n\
                   earth = \"two-core\"\n[[ht]]\nname = \"HT\"\ncircuit = \"bridge\"\nrectifier = \"silicon\"\n[[ht.node]]\nname = \"HT1\"\nsheet_v = 250\n";
    let parts = "ref,part,marked,place,plus,minus,bias_v\nC9,paper,.02/600,coupling,A1,G2,12\nR8,carbon-film,4K7 1W,dropper,HT1,HT2,\n";
    let job = job("lt-3", chassis, parts);
    let judgements = vec![judgement("C9", Decision::Keep), judgement("R8", Decision::Keep)];
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
    let good = "HT1,264,V,\nbias,12,V,\npower,7.6,V,into 15 ohm\nhum,3,mV,\ntouch:2,0.12,V,\n";
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
    let touch = "touch:1,0,mA,\ntouch:2,0,mA,\nbias,11.5,V,\n";
    assert!(checked(&format!("{touch}HT1,274.9,V,\n")).pass);
    assert!(!checked(&format!("{touch}HT1,275.2,V,\n")).pass);
    assert!(!checked(&format!("{touch}mains,216,V,\nHT1,250,V,\n")).pass);
    assert!(checked(&format!("{touch}mains,216,V,\nHT1,203,V,\n")).pass);
}

/// 1 % of 12 V of bias is 0.12 V; above 5 V of bias the 20 mV of small-signal stages do not count.
#[test]
fn grids_and_values_have_limits() {
    let touch = "touch:1,0,mA,\ntouch:2,0,mA,\nbias,12,V,\n";
    assert!(checked(&format!("{touch}grid:C9,0.119,V,\nreads:R8,5.5k,ohm,\n")).pass);
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

/// An amplifier with a bias supply of its own: 437 V on the service sheet, bias line -71 V, grids at -38 V by a
/// bias network on that line; a stage before it with a 10 M grid leak to the chassis.
fn fixed_bias(decision: Decision) -> (Job, Plan) {
    let chassis = "[chassis]\nname = \"Hall\"\nsupply = \"transformer\"\n[mains]\ntapping_v = 230\nmeasured_v = 230\n\
                   [[ht]]\nname = \"HT\"\ncircuit = \"bridge\"\nrectifier = \"silicon\"\n[[ht.node]]\nname = \"HT1\"\nsheet_v = 437\n\
                   [[ht]]\nname = \"Bias\"\ncircuit = \"half-wave\"\nrectifier = \"silicon\"\npolarity = \"negative\"\n[[ht.node]]\nname = \"NB1\"\nsheet_v = -71\n";
    let parts = "ref,part,marked,place,plus,minus,bias_v\nC7,film,0.22uF 400V,coupling,A3,G4,38\nC8,film,0.01uF 400V,coupling,A1,G2,1.1\n\
                 R11,carbon-film,220K 1/2W,grid-leak,G4,NG,\nR12,carbon-film,10M 1/2W,grid-leak,G2,CH,\nR19,carbon-film,22K 1/2W,bias,NB1,NG,\n";
    let job = job("hall", chassis, parts);
    let judgements = ["C7", "C8", "R11", "R12", "R19"];
    let judgements =
        judgements.iter().map(|r| judgement(r, if *r == "C7" { decision } else { Decision::Keep })).collect();
    let plan = plan(&job, judgements);
    (job, plan)
}

fn hall(text: &str) -> Verification {
    let (job, plan) = fixed_bias(Decision::Keep);
    verify(&job, &plan, &after(&format!("touch:1,0.1,mA,\ntouch:2,0.1,mA,\n{text}"))).expect("checks")
}

/// A bias supply the wrong way round lets the output valves draw without limit; HT below the chassis cannot be.
#[test]
fn the_wrong_polarity_fails_in_plain_words() {
    let right = hall("HT1,437,V,\nNB1,-70.8,V,\nbias,-37.8,V,\n");
    assert!(right.pass, "{:?}", right.open);
    for (key, text) in [
        ("HT1", "HT1,-437,V,\nNB1,-70.8,V,\nbias,-37.8,V,\n"),
        ("NB1", "HT1,437,V,\nNB1,70.8,V,\nbias,-37.8,V,\n"),
        ("bias", "HT1,437,V,\nNB1,-70.8,V,\nbias,37.8,V,\n"),
    ] {
        let wrong = hall(text);
        let check = one(&wrong, key);
        assert!(!wrong.pass && check.ok == Some(false) && check.says.contains("WRONG POLARITY"), "{key}: {check:?}");
        assert_eq!(wrong.checks.iter().filter(|c| c.ok == Some(false)).count(), 1, "{key}");
    }
    // -71 V with the usual tenth to both sides is -78.1 to -63.9 V.
    let node = one(&right, "NB1");
    assert!(node.expected.low.is_some_and(|v| (v + 78.1).abs() < 1e-9));
    assert!(node.expected.high.is_some_and(|v| (v + 63.9).abs() < 1e-9));
    assert_eq!(one(&hall("NB1,-63,V,\nbias,-37.8,V,\n"), "NB1").ok, Some(false));
}

/// 1 % of 38 V is 0.38 V: -37.8 V at the grid of a stage whose bias reads -37.8 V is healthy, -36 V is not; a bias
/// that was set to -36 V moves the limit along.
#[test]
fn a_grid_with_fixed_bias_is_held_against_its_bias() {
    let grid = |bias: &str, grid: &str| one(&hall(&format!("bias,{bias},V,\ngrid:C7,{grid},V,\n")), "grid:C7").ok;
    assert_eq!(grid("-37.8", "-37.8"), Some(true));
    assert_eq!(grid("-37.8", "-37.45"), Some(true));
    assert_eq!(grid("-37.8", "-37.4"), Some(false));
    assert_eq!(grid("-37.8", "-36"), Some(false));
    assert_eq!(grid("-36", "-36"), Some(true));
    assert_eq!(grid("-37.8", "0.1"), Some(false));
    // The node that the grid leak returns to tells more than the stage's bias.
    let own = hall("bias,-37.8,V,\nNG,-36.1,V,\ngrid:C7,-36,V,\n");
    assert_eq!(one(&own, "grid:C7").ok, Some(true));
}

/// A grid leak of 10 M lets the contact current hold the grid at about -0.7 V (common practice, no source); leakage
/// is positive, and 1 % of 1.1 V is 11 mV.
#[test]
fn contact_bias_is_no_leakage() {
    let contact = hall("bias,-37.8,V,\ngrid:C8,-0.7,V,\n");
    assert!(contact.pass, "{contact:?}");
    assert!(one(&contact, "grid:C8").says.contains("no leakage"));
    assert_eq!(one(&hall("bias,-37.8,V,\ngrid:C8,10,mV,\n"), "grid:C8").ok, Some(true));
    assert_eq!(one(&hall("bias,-37.8,V,\ngrid:C8,12,mV,\n"), "grid:C8").ok, Some(false));
}

/// With back bias the grid returns to a node that is below the chassis only while current flows: the reading is
/// from that node or with the valve out, so 1 % of 7.7 V, 77 mV, counts from there.
#[test]
fn a_grid_with_back_bias_is_read_from_its_return() {
    let chassis = "[chassis]\nname = \"Radio\"\nsupply = \"transformer\"\n[[ht]]\nname = \"HT\"\ncircuit = \"bridge\"\nrectifier = \"silicon\"\nreturn = \"BB\"\n[[ht.node]]\nname = \"HT1\"\nsheet_v = 280\n";
    let parts = "ref,part,marked,place,plus,minus,bias_v\nC10,film,.02uF 500V,coupling,A3,G4,7.7\nR8,carbon-film,470K 1/2W,grid-leak,G4,BB,\n";
    let job = job("radio", chassis, parts);
    let plan = plan(&job, vec![judgement("C10", Decision::Keep), judgement("R8", Decision::Keep)]);
    let grid = |read: &str| {
        let verification = verify(&job, &plan, &after(&format!("bias,7.7,V,\ngrid:C10,{read},V,\n"))).expect("checks");
        one(&verification, "grid:C10").ok
    };
    assert_eq!((grid("0.076"), grid("0.078")), (Some(true), Some(false)));
}

/// The set whose parts are judged so, with every reading that it needs.
fn left(change: impl Fn(&mut Judgement), text: &str) -> Verification {
    let (job, _) = set();
    let mut judgements = vec![judgement("C9", Decision::Keep), judgement("R8", Decision::Keep)];
    judgements.iter_mut().for_each(change);
    let plan = plan(&job, judgements);
    let readings = format!("bias,12,V,\ntouch:1,0,mA,\ntouch:2,0,mA,\n{text}");
    verify(&job, &plan, &after(&readings)).expect("checks")
}

fn open_of(verification: &Verification, kind: OpenKind) -> Vec<&str> {
    verification.open_of(kind)
}

#[test]
fn unfinished_work_never_passes() {
    let of = |reference: &'static str, decision: Decision, urgent: bool| {
        move |j: &mut Judgement| {
            if j.reference == reference {
                (j.decision, j.urgent) = (decision, urgent);
            }
        }
    };
    // Nothing was bought for R8: the plan does not meet it.
    let unmet = left(of("R8", Decision::Replace, false), "");
    assert!(!unmet.pass && open_of(&unmet, OpenKind::NotMet) == ["R8"]);
    assert!(left(of("R8", Decision::Replace, false), "done:R8,yes,,4k7 from the drawer\n").pass);
    assert!(!left(of("R8", Decision::Replace, false), "done:R8,no,,\n").pass);
    assert!(!left(of("R8", Decision::Replace, false), "done:R8,,,\n").pass);
    // The readings are of the time after the work, so planned work counts as done unless they say otherwise.
    let urgent = left(of("R8", Decision::Disconnect, true), "done:R8,no,,\n");
    assert!(!urgent.pass && open_of(&urgent, OpenKind::Urgent) == ["R8"]);
    assert!(left(of("R8", Decision::Disconnect, true), "done:R8,yes,,\n").pass);
    assert!(left(of("R8", Decision::Disconnect, true), "").ready());
    assert!(!left(of("R8", Decision::Disconnect, true), "done:R8,,,\n").pass);
    // To be tested: settled by its reading. Open alone it is no failure, but the set is not shown to be ready.
    let test = left(of("C9", Decision::Test, false), "");
    assert!(test.pass && !test.ready() && open_of(&test, OpenKind::Undecided) == ["C9"]);
    assert!(left(of("C9", Decision::Test, false), "grid:C9,5,mV,\n").ready());
    let failed = left(of("C9", Decision::Test, false), "grid:C9,0.5,V,\n");
    assert!(!failed.pass && failed.open.is_empty());
    assert!(!left(of("R8", Decision::FindOut, true), "").pass);
}

fn renew_c9(judged: &mut Judgement) {
    if judged.reference == "C9" {
        judged.decision = Decision::Replace;
    }
}

/// The bias and the grid of the output stage behind a renewed capacitor are needed.
#[test]
fn the_output_stage_is_read() {
    let (job, plan) = set();
    let bare = verify(&job, &plan, &after("touch:1,0,mA,\ntouch:2,0,mA,\n")).expect("checks");
    assert!(bare.pass && !bare.ready() && open_of(&bare, OpenKind::NotRead) == ["bias"]);
    let untouched = verify(&job, &plan, &after("touch:1,0,mA,\n")).expect("checks");
    assert!(!untouched.pass && open_of(&untouched, OpenKind::NotRead).contains(&"touch:2"));
    let renewed = left(renew_c9, "done:C9,yes,,\n");
    assert!(!renewed.ready() && open_of(&renewed, OpenKind::NotRead) == ["grid:C9"]);
    let read = left(renew_c9, "done:C9,yes,,\ngrid:C9,3,mV,\n");
    assert!(read.pass, "{:?}", read.open);
}

/// 9.9 V was read with 1.4 V of leakage on the grid: without it the cathode settles between 8.5 and 9.9 V, with a
/// tenth to either side 7.65 to 10.89 V. 8.6 V is good, though 13 % under what was found.
#[test]
fn bias_found_with_a_leaky_coupling_capacitor_is_no_target() {
    let chassis = "[chassis]\nname = \"Radio\"\nsupply = \"transformer\"\n[mains]\ntapping_v = 230\nmeasured_v = 230\n";
    let parts = "ref,part,marked,place,plus,minus,grid_v,bias_v\nC9,paper,.01/500,coupling,A3,G4,1.4,9.9\n";
    let job = job("radio", chassis, parts);
    let leak = Finding {
        rule: "coupling-grid",
        says: String::new(),
        value: Some(14.1),
        limit: Some(1.0),
        unit: "%",
        source: SourceId::CouplingShift,
        limit_from_shop: false,
        call: Call::Replace,
        urgent: true,
        safety: false,
        owner: None,
        measure: None,
    };
    let judged = Judgement { findings: vec![leak], ..judgement("C9", Decision::Replace) };
    let planned = plan(&job, vec![judged]);
    let bias = |read: &str| {
        let rows = after(&format!("bias,{read},V,\n"));
        let verification = verify(&job, &planned, &rows).expect("checks");
        let check = one(&verification, "bias");
        let between = check.expected.between.expect("a range");
        assert!((between.0 - 8.5).abs() < 1e-9 && (between.1 - 9.9).abs() < 1e-9 && check.expected.figure.is_none());
        check.ok
    };
    assert_eq!((bias("7.6"), bias("7.7"), bias("8.6")), (Some(false), Some(true), Some(true)));
    assert_eq!((bias("10.8"), bias("11")), (Some(true), Some(false)));
}
