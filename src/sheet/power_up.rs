//! First power: raised in steps, with what the HT should be at each.

use crate::model::chassis::{Job, RectifierKind};
use crate::model::part::NodeName;
use crate::model::plan::Inspection;
use crate::model::supply::SupplyFigures;
use crate::units::Volt;

/// What is in the set at a step.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PowerStage {
    /// No valves at all.
    NoValves,
    /// The rectifier valve alone.
    RectifierIn,
    /// Small valves too.
    SmallValvesIn,
    /// Everything, with the load on.
    AllIn,
}

/// What a node should show.
#[derive(Debug, Clone, PartialEq)]
pub enum Expect {
    /// Nothing: the rectifier is out.
    Nothing,
    /// About this.
    About(Volt),
    /// No more than this; a valve rectifier gives less while its heater is cool.
    AtMost(Volt),
    /// Not computed.
    Unknown,
}

/// One step.
#[derive(Debug, Clone, PartialEq)]
pub struct PowerStep {
    /// What is in the set.
    pub stage: PowerStage,
    /// Share of the full mains, percent.
    pub percent: u32,
    /// The mains at this step, where the full mains is known.
    pub mains: Option<Volt>,
    /// Each supply's nodes and what they should show; both names, for nodes may be alike.
    pub nodes: Vec<(NodeName, Expect)>,
}

/// First power as a whole.
#[derive(Debug, Clone, PartialEq)]
pub struct PowerUp {
    /// Steps, in order.
    pub steps: Vec<PowerStep>,
    /// Whether any rectifier is a valve that can be left out.
    pub valve_rectifier: bool,
    /// Whether there is a bias supply whose voltage must be there before the output valves.
    pub fixed_bias: bool,
}

/// The steps of raising the mains, percent of the full mains.
const RAISING: [u32; 4] = [30, 50, 70, 100];

/// Works out first power.
pub fn power_up(job: &Job, inspection: &Inspection) -> PowerUp {
    let valve_rectifier = job.chassis.supplies.iter().any(|s| s.rectifier.is_valve());
    // Without valves nothing but the heaters comes up where every rectifier is a valve: one look will do.
    let only_valves = job.chassis.supplies.iter().all(|s| s.rectifier.is_valve());
    let first: &[u32] = if only_valves && valve_rectifier { &[100] } else { &RAISING };
    let mut stages: Vec<(PowerStage, u32)> = first.iter().map(|p| (PowerStage::NoValves, *p)).collect();
    if valve_rectifier {
        stages.extend(RAISING.iter().skip(1).map(|p| (PowerStage::RectifierIn, *p)));
    }
    stages.extend([(PowerStage::SmallValvesIn, 100), (PowerStage::AllIn, 100)]);
    let step = |(stage, percent): (PowerStage, u32)| PowerStep {
        stage,
        percent,
        mains: job.chassis.mains.volts().map(|v| v * (f64::from(percent) / 100.0)),
        nodes: nodes(job, inspection, stage, percent),
    };
    PowerUp {
        steps: stages.into_iter().map(step).collect(),
        valve_rectifier,
        fixed_bias: job.parts.iter().any(|p| p.place == Some(crate::model::kind::Place::Bias)),
    }
}

/// What every node of every supply should show at a step.
fn nodes(job: &Job, inspection: &Inspection, stage: PowerStage, percent: u32) -> Vec<(NodeName, Expect)> {
    // The no-load figures hold for the head-room that was asked for; here the mains is as it is.
    let head_room = job.chassis.mains.high_factor() / job.chassis.mains.loaded_factor();
    let share = f64::from(percent) / 100.0 / head_room;
    let mut list = Vec::new();
    for supply in &job.chassis.supplies {
        let computed = inspection.supplies.iter().filter_map(|s| s.as_ref().ok()).find(|s| s.name == supply.name);
        for node in &supply.nodes {
            let expect = expect(computed, &node.name, supply.rectifier, (stage, share));
            list.push((node.name.clone(), expect));
        }
    }
    list
}

fn expect(
    computed: Option<&SupplyFigures>,
    name: &NodeName,
    rectifier: RectifierKind,
    (stage, share): (PowerStage, f64),
) -> Expect {
    if stage == PowerStage::NoValves && rectifier.is_valve() {
        return Expect::Nothing;
    }
    let Some(node) = computed.and_then(|s| s.nodes.iter().find(|n| n.name == *name)) else { return Expect::Unknown };
    let no_load = node.no_load.abs() * share;
    match stage {
        PowerStage::AllIn => Expect::About(node.volts.abs()),
        PowerStage::NoValves => Expect::About(no_load),
        PowerStage::RectifierIn | PowerStage::SmallValvesIn => Expect::AtMost(no_load),
    }
}
