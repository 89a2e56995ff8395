//! First power: raised in steps, with what the HT should be at each.

use crate::model::chassis::{Job, Polarity, RectifierKind, SupplyKind};
use crate::model::kind::{PartKind, Place};
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
    /// Everything from the first volt on: heaters in one chain, of which none can be left out.
    AllInRising,
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

/// How the output stage gets its bias.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BiasKind {
    /// From a supply of its own: there before any current flows.
    Fixed,
    /// Across a resistor in the return of the HT: there only while current flows.
    Back,
    /// At the cathodes, or not known: there only while current flows.
    Cathode,
}

/// First power as a whole.
#[derive(Debug, Clone, PartialEq)]
pub struct PowerUp {
    /// Steps, in order.
    pub steps: Vec<PowerStep>,
    /// Whether any rectifier is a valve that can be left out.
    pub valve_rectifier: bool,
    /// How the output stage gets its bias.
    pub bias: BiasKind,
    /// Nodes of supplies that are negative against the chassis.
    pub negative: Vec<NodeName>,
    /// The mains is raised only so far before everything is in, percent: unloaded the HT would pass the
    /// highest voltage that its parts are chosen for. `None`: up to the full mains.
    pub held_at: Option<u32>,
}

/// The steps of raising the mains, percent of the full mains.
const RAISING: [u32; 4] = [30, 50, 70, 100];
/// The step in which the mains is held back, percent.
const HELD_STEP: u32 = 5;

/// Works out first power.
pub fn power_up(job: &Job, inspection: &Inspection) -> PowerUp {
    let supplies = &job.chassis.supplies;
    let valve_rectifier = supplies.iter().any(|s| s.rectifier.is_valve());
    let most = unloaded_percent(job, inspection);
    let stages = stages(job, most);
    let step = |(stage, percent): (PowerStage, u32)| PowerStep {
        stage,
        percent,
        mains: job.chassis.mains.volts().map(|v| v * (f64::from(percent) / 100.0)),
        nodes: nodes(job, inspection, stage, percent),
    };
    let negative = supplies.iter().filter(|s| s.polarity == Polarity::Negative);
    PowerUp {
        steps: stages.into_iter().map(step).collect(),
        valve_rectifier,
        bias: bias_kind(job),
        negative: negative.flat_map(|s| s.nodes.iter().map(|n| n.name.clone())).collect(),
        held_at: (most < 100 && !in_a_chain(job)).then_some(most),
    }
}

/// Heaters of a set without a mains transformer stand in one chain (common practice): no valve can be left out.
fn in_a_chain(job: &Job) -> bool {
    job.chassis.supply == SupplyKind::Live && job.parts.iter().any(|p| p.kind == PartKind::Valve)
}

/// What is in the set, and how far the mains is raised, at most so far before the load is there.
fn stages(job: &Job, most: u32) -> Vec<(PowerStage, u32)> {
    if in_a_chain(job) {
        return RAISING.iter().map(|p| (PowerStage::AllInRising, *p)).collect();
    }
    let mut raised: Vec<u32> = RAISING.iter().map(|p| (*p).min(most)).collect();
    raised.dedup();
    let supplies = &job.chassis.supplies;
    let only_valves = !supplies.is_empty() && supplies.iter().all(|s| s.rectifier.is_valve());
    // Without valves nothing but the heaters comes up where every rectifier is a valve: one look will do.
    let mut stages: Vec<(PowerStage, u32)> = if only_valves {
        vec![(PowerStage::NoValves, 100)]
    } else {
        raised.iter().map(|p| (PowerStage::NoValves, *p)).collect()
    };
    if supplies.iter().any(|s| s.rectifier.is_valve()) {
        // The heaters of the rectifier need more than the lowest step.
        let warm = raised.get(1..).filter(|rest| !rest.is_empty()).unwrap_or(&raised);
        stages.extend(warm.iter().map(|p| (PowerStage::RectifierIn, *p)));
    }
    stages.extend([(PowerStage::SmallValvesIn, most), (PowerStage::AllIn, 100)]);
    stages
}

/// The share of the mains up to which no node passes, unloaded, the highest voltage that its parts are chosen
/// for. It is below the whole only where the highest was measured with the load warming up.
fn unloaded_percent(job: &Job, inspection: &Inspection) -> u32 {
    let head_room = head_room(job);
    let node_share = |n: &crate::model::supply::NodeFigures| {
        let unloaded = n.no_load.abs() / head_room;
        if unloaded <= n.highest.abs() { 1.0 } else { n.highest.abs() / unloaded }
    };
    let computed = inspection.supplies.iter().filter_map(|s| s.as_ref().ok()).flat_map(|s| &s.nodes);
    let share = computed.map(node_share).fold(1.0, f64::min);
    (0..=100 / HELD_STEP).map(|n| n * HELD_STEP).filter(|p| f64::from(*p) <= share * 100.0).max().unwrap_or(0)
}

/// The no-load figures hold for the head-room that was asked for; here the mains is as it is.
fn head_room(job: &Job) -> f64 {
    job.chassis.mains.high_factor() / job.chassis.mains.loaded_factor()
}

fn bias_kind(job: &Job) -> BiasKind {
    let supplies = &job.chassis.supplies;
    let at_bias = |p: &crate::model::part::Part| p.place == Some(Place::Bias);
    if supplies.iter().any(|s| s.polarity == Polarity::Negative) {
        BiasKind::Fixed
    } else if supplies.iter().any(|s| !s.return_to.is_chassis()) {
        BiasKind::Back
    } else if job.parts.iter().any(at_bias) {
        // A bias supply that the chassis sheet does not describe: to be proved before the output valves go in.
        BiasKind::Fixed
    } else {
        BiasKind::Cathode
    }
}

/// What every node of every supply should show at a step.
fn nodes(job: &Job, inspection: &Inspection, stage: PowerStage, percent: u32) -> Vec<(NodeName, Expect)> {
    let share = f64::from(percent) / 100.0 / head_room(job);
    let mut list = Vec::new();
    for supply in &job.chassis.supplies {
        let computed = inspection.supplies.iter().filter_map(|s| s.as_ref().ok()).find(|s| s.name == supply.name);
        for node in &supply.nodes {
            let expect = expect(computed, &node.name, supply.rectifier, (stage, percent, share));
            list.push((node.name.clone(), expect));
        }
    }
    list
}

fn expect(
    computed: Option<&SupplyFigures>,
    name: &NodeName,
    rectifier: RectifierKind,
    (stage, percent, share): (PowerStage, u32, f64),
) -> Expect {
    if stage == PowerStage::NoValves && rectifier.is_valve() {
        return Expect::Nothing;
    }
    let Some(node) = computed.and_then(|s| s.nodes.iter().find(|n| n.name == *name)) else { return Expect::Unknown };
    let no_load = node.no_load.abs() * share;
    match stage {
        PowerStage::AllIn => Expect::About(node.volts.abs()),
        PowerStage::AllInRising if percent == 100 => Expect::About(node.volts.abs()),
        PowerStage::NoValves => Expect::About(no_load),
        PowerStage::RectifierIn | PowerStage::SmallValvesIn | PowerStage::AllInRising => Expect::AtMost(no_load),
    }
}
