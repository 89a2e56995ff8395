//! What is told of a want that nothing in the catalog meets, so that it can be looked for elsewhere, and what is to be
//! read before a want can be stated.

use capjob::documents::{inspect_screen, plan_screen};
use capjob::export::text::{self, Setting};
use capjob::input::{NamedBytes, read_job};
use capjob::model::chassis::Job;
use capjob::model::finding::MeasureStage;
use capjob::model::plan::{Plan, Unmet};
use capjob::model::shop::Offer;
use capjob::workflow::{self, Choices, PlanError};

use super::build::*;

/// A bridge on 200 V at the 240 V tapping, mains 252 V, 40 + 10 mA.
const BRIDGE: &str = "[chassis]\nname = \"Case\"\nyear = 1958\nsupply = \"transformer\"\ninspected = 2026-11-20\n\
    [mains]\ntapping_v = 240\nmeasured_v = 252\nhz = 50\n\
    [[ht]]\nname = \"HT\"\ncircuit = \"bridge\"\nwinding_v = 200\nsource_ohm = 150\nrectifier = \"selenium\"\n\
    [[ht.node]]\nname = \"HT1\"\nload_ma = 40\nsheet_v = 240\n\
    [[ht.node]]\nname = \"HT2\"\nohm = 1000\nload_ma = 10\n";

fn job(chassis: &str, parts: &str) -> Job {
    let bytes = |name, text: &'static str| NamedBytes { name, bytes: text.as_bytes() };
    let (chassis, parts) = (chassis.to_owned().leak(), parts.to_owned().leak());
    read_job("case", bytes("chassis.toml", chassis), bytes("parts.csv", parts)).unwrap().value
}

fn plan(job: &Job, offers: &[Offer]) -> Plan {
    let mut shop = shop();
    shop.suppliers = vec![supplier("HV")];
    let feed = |take: &mut dyn FnMut(&Offer)| -> Result<usize, PlanError> {
        offers.iter().for_each(take);
        Ok(0)
    };
    workflow::plan(std::slice::from_ref(job), &shop, &Choices::default(), feed).unwrap()
}

fn unmet<'p>(plan: &'p Plan, reference: &str) -> &'p Unmet {
    plan.unmet.iter().find(|u| u.reference == reference).unwrap()
}

const PARTS: &str = "ref,part,marked,place,plus,minus,wish\n\
    D1,rectifier,selenium stack,,,,replace\n\
    C1,electrolytic,50/350,reservoir,HT1,CH,\n\
    C2,electrolytic,50/350,smoothing,HT2,CH,\n";

// Cold the whole crest stands across each diode of a bridge: 200 V x 252/240 x 1.414 = 297 V. 40 + 10 = 50 mA.
// The resistor follows from what silicon brings at HT1, 240 V and 50 mA: Ohm's law on the printed figures.
#[test]
fn a_selenium_stack_is_told_by_what_it_bears() {
    let plan = plan(&job(BRIDGE, PARTS), &[]);
    let wanted = unmet(&plan, "D1").wanted.join("\n");
    for due in ["297 V of inverse voltage at each diode", "mains 252 V on the 240 V tapping", "50 mA of direct current"]
    {
        assert!(wanted.contains(due), "{due} in {wanted}");
    }
    assert!(wanted.contains("every rating on the HT is to be looked at again as for silicon"), "{wanted}");
    let silicon = plan.inspections[0].supplies[0].as_ref().unwrap().nodes[0].volts.get();
    let figure = |unit: &str| -> f64 {
        let before = wanted.split("50 mA = ").nth(1).unwrap().split(unit).next().unwrap();
        before.rsplit(' ').next().unwrap().parse().expect(&wanted)
    };
    let ohm = (silicon - 240.0) / 0.050;
    assert!((figure(" R in series") - ohm).abs() < 0.01 * ohm, "{ohm} in {wanted}");
    let watts = 2.0 * (silicon - 240.0) * 0.050;
    assert!((figure(" W or more") - watts).abs() < 0.02 * watts, "{watts} in {wanted}");
    let screen =
        text::write(&plan_screen::blocks(&[job(BRIDGE, PARTS)], &plan), Setting { width: None, colour: false });
    assert!(screen.contains("wanted: at least 297 V"), "{screen}");
}

// Without a winding nothing is computed, and that is what is said.
#[test]
fn an_uncomputed_supply_is_said_to_be_so() {
    let chassis = BRIDGE.replace("winding_v = 200\n", "");
    let plan = plan(&job(&chassis, PARTS), &[]);
    let wanted = unmet(&plan, "D1").wanted.join("\n");
    assert!(wanted.contains("supply HT is not computed"), "{wanted}");
    assert!(!wanted.contains("inverse voltage at each"), "{wanted}");
}

// Two supplies, and a rectifier that says of neither that it feeds it.
#[test]
fn a_rectifier_without_a_supply_is_asked_for_it() {
    let more = "[[ht]]\nname = \"BIAS\"\ncircuit = \"half-wave\"\nwinding_v = 50\nsource_ohm = 100\nrectifier = \
        \"selenium\"\npolarity = \"negative\"\n[[ht.node]]\nname = \"B1\"\nload_ohm = 22000\n";
    let job = job(&format!("{BRIDGE}{more}"), PARTS);
    assert!(unmet(&plan(&job, &[]), "D1").wanted[0].contains("which supply it feeds is not told"));
}

// What has to be read before a need can be stated stands in the list of readings, and with its part.
#[test]
fn what_keeps_a_need_from_being_stated_is_measured_next() {
    let parts = "ref,part,marked,place,wish\nC3,paper,.02,coupling,\nC7,motor-run,2uF,motor,replace\n\
        R1,carbon-composition,100k,anode,keep\n";
    let job = job("[chassis]\nname = \"Case\"\nyear = 1958\n", parts);
    let plan = plan(&job, &[]);
    let readings = &plan.inspections[0].measure_next;
    let due = |text: &str| readings.iter().find(|n| n.measure.what.contains(text)).unwrap();
    assert_eq!(due("highest voltage across it").refs, ["C3"]);
    assert_eq!(due("AC rating off the motor capacitor").refs, ["C7"]);
    assert_eq!(due("AC rating").measure.stage, MeasureStage::Look);
    let screen =
        text::write(&inspect_screen::blocks(&job, &plan.inspections[0], false), Setting { width: None, colour: false });
    assert!(screen.contains("next: find its rating on the service sheet"), "{screen}");
}
