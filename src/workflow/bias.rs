//! What a drifted resistor that sets bias does when it is renewed: told before the set is on for good.

use crate::model::bias::BiasDrift;
use crate::model::chassis::{HtSupply, Job};
use crate::model::finding::{Caution, Decision, Judgement};
use crate::model::kind::Place;
use crate::model::part::{NodeName, Part, Value};
use crate::model::shop::Shop;
use crate::model::supply::SupplyOutcome;
use crate::sources::SourceId;
use crate::stress;
use crate::units::Volt;

/// A caution for each renewed resistor that sets bias and read off its marking.
pub(super) fn cautions(job: &Job, shop: &Shop, judgements: &[Judgement], supplies: &[SupplyOutcome]) -> Vec<Caution> {
    let is_renewed = |part: &Part| {
        let own = judgements.iter().find(|j| j.reference == part.reference);
        own.is_some_and(|j| j.decision == Decision::Replace)
    };
    let drifted = job.parts.iter().filter(|p| is_renewed(p));
    let drifted = drifted.filter_map(|part| Some((part, job.bias_drift(part, is_renewed)?)));
    let told = |(part, drift): (&Part, BiasDrift)| {
        let BiasDrift { read, nominal, .. } = drift;
        let whose = if part.place == Some(Place::Cathode) { " of its valve" } else { "" };
        let figures = figures(job, shop, (part, &drift), supplies);
        let says = format!(
            "{} reads {read}, is marked {nominal} and is renewed: the BIAS{whose} CHANGES{figures}; read it again, and set \
             it where it can be set, before the HT is left on",
            part.reference
        );
        Caution { says, source: Some(SourceId::WorkshopHabit) }
    };
    drifted.map(told).collect()
}

/// The bias as found and as it will be, where both can be told; else nothing.
fn figures(job: &Job, shop: &Shop, (part, drift): (&Part, &BiasDrift), supplies: &[SupplyOutcome]) -> String {
    if let Some(supply) = job.bias_supply_through(part) {
        return of_supply(job, shop, (part, drift), (supply, supplies));
    }
    let (Some(volts), Some((was, most))) = (drift.volts, drift.currents()) else { return String::new() };
    let (least, largest) = drift.settles(volts);
    let to = if was < most { "up to" } else { "down to" };
    format!(
        ": {volts} across {} as found, {was}; across {} it comes to between {least} and {largest}, {to} {most} (Ohm's law)",
        drift.old, drift.new
    )
}

/// The last node of the bias supply, computed with the resistor as it reads and as it is renewed.
fn of_supply(
    job: &Job,
    shop: &Shop,
    (part, drift): (&Part, &BiasDrift),
    (supply, supplies): (&HtSupply, &[SupplyOutcome]),
) -> String {
    let mut as_found = job.clone();
    for own in as_found.parts.iter_mut().filter(|p| p.reference == part.reference) {
        own.value = Some(Value::Ohm(drift.read));
    }
    let before = stress::supplies(&as_found, shop);
    let ends = last(&before, supply).zip(last(supplies, supply));
    ends.map_or_else(String::new, |((node, was), (_, will))| {
        let (was, will) = (Volt::ZERO - was.abs(), Volt::ZERO - will.abs());
        format!(": {node} {was} with it as it reads, {will} with the new one (computed)")
    })
}

/// The last node of a supply with its voltage under load.
fn last<'s>(supplies: &'s [SupplyOutcome], supply: &HtSupply) -> Option<(&'s NodeName, Volt)> {
    let own = supplies.iter().flatten().find(|s| s.name == supply.name)?;
    own.nodes.last().map(|n| (&n.name, n.volts))
}
