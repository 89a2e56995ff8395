//! The rules of judging: one a file, each with what, why, where it does not apply, limit and source.
//!
//! [`RULES`] registers them; its order is the order of findings. `judge` runs all of
//! them over every part and weighs what they call for into one decision.

mod capacitor_damage;
mod capacitor_value;
pub mod cautions;
mod coupling_grid;
mod draft;
mod earlier_repair;
mod electrolytic_age;
mod electrolytic_capacitance;
mod electrolytic_esr;
mod electrolytic_high;
mod electrolytic_leakage;
mod electrolytic_readings;
mod electrolytic_reform;
mod electrolytic_shelf;
mod electrolytic_sight;
mod fitting;
mod fuse;
mod held;
mod highest_voltage;
pub mod hold;
pub mod judge;
mod leak;
mod leakage_shunt;
mod mains_class;
mod mains_cracked;
mod mains_lead;
mod mains_paper;
mod mains_resistor;
mod mains_touch;
mod mains_unknown;
pub mod measure;
mod mica_is_paper;
mod motor_run;
mod named_parts;
pub mod page;
mod paper;
pub mod priority;
mod reads_dead;
pub mod reform;
mod resistor_dissipation;
mod resistor_drift;
mod resistor_fusible;
mod resistor_low_in_circuit;
mod resistor_sight;
mod resistor_unmeasured;
mod resistor_voltage;
mod say;
mod selenium;
mod silver_migration;
mod stable_kinds;
mod state;
mod supply_doubt;
mod supply_limit;
mod supply_node;
mod tantalum;
mod value_unknown;
mod working_voltage;

pub use cautions::cautions;
pub use coupling_grid::grid_shares;
pub use fitting::FITTING;
pub use held::Held;
pub use hold::{TotalOf, holds, money_holds};
pub use judge::{ADDED, can_wait_finding, findings, judge};
pub use measure::what_to_measure;
pub use page::{index, page};
pub use priority::trouble;
pub use reform::{ReformPlan, ReformStep, reform_plans};

use crate::model::chassis::Job;
use crate::model::finding::{Finding, OwnerCause, Stress};
use crate::model::part::Part;
use crate::model::shop::Margins;
use crate::model::supply::SupplyOutcome;
use crate::sources::SourceId;

/// One threshold of a rule, which the shop may set under `[margins]`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Threshold {
    /// Key under `[margins]`: the rule's id, or `id.name` where a rule has several.
    pub key: &'static str,
    /// The default.
    pub default: f64,
    /// Unit.
    pub unit: &'static str,
    /// What it limits, in words.
    pub what: &'static str,
    /// Where the default comes from.
    pub source: SourceId,
}

/// The page of one rule.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RuleMeta {
    /// Lower-case id with hyphens; never changed in meaning, never reused.
    pub id: &'static str,
    /// Title.
    pub title: &'static str,
    /// What it finds.
    pub what: &'static str,
    /// Why it matters.
    pub why: &'static str,
    /// Where it does not apply.
    pub not_where: &'static str,
    /// What to do about a finding.
    pub remedy: &'static str,
    /// Caution for the work it leads to; empty when there is none.
    pub safety: &'static str,
    /// Thresholds with their defaults.
    pub thresholds: &'static [Threshold],
    /// Sources.
    pub sources: &'static [SourceId],
    /// What a finding that calls for work tells the owner on a quote; `None`: nothing, since it is about the
    /// bench's readings or is told elsewhere.
    pub owner: Option<OwnerCause>,
}

/// One part with everything a rule may look at.
#[derive(Debug, Clone, Copy)]
pub struct Subject<'a> {
    /// The part.
    pub part: &'a Part,
    /// Its job, for the chassis and the neighbours.
    pub job: &'a Job,
    /// What the part sees.
    pub stress: &'a Stress,
    /// The shop's thresholds.
    pub margins: &'a Margins,
    /// The supplies, computed.
    pub supplies: &'a [SupplyOutcome],
}

/// A rule of judging.
pub trait Rule: Sync {
    /// Its page.
    fn meta(&self) -> &'static RuleMeta;
    /// Adds what it finds on this part; silent where it does not apply.
    fn check(&self, subject: &Subject<'_>, findings: &mut Vec<Finding>);
}

/// Every rule, in the order of reports.
pub static RULES: &[&dyn Rule] = &[
    &mains_paper::MainsPaper,
    &mains_class::MainsClassRule,
    &mains_cracked::MainsCracked,
    &mains_touch::MainsTouch,
    &mains_resistor::MainsResistor,
    &mains_unknown::MainsUnknown,
    &motor_run::MotorRun,
    &highest_voltage::HighestVoltage,
    &working_voltage::WorkingVoltage,
    &supply_limit::SupplyLimit,
    &supply_doubt::SupplyDoubt,
    &supply_node::SupplyNode,
    &reads_dead::ReadsDead,
    &value_unknown::ValueUnknown,
    &paper::Paper,
    &mica_is_paper::MicaIsPaper,
    &silver_migration::SilverMigration,
    &coupling_grid::CouplingGrid,
    &leakage_shunt::LeakageShunt,
    &electrolytic_sight::ElectrolyticSight,
    &electrolytic_leakage::ElectrolyticLeakage,
    &electrolytic_capacitance::ElectrolyticCapacitance,
    &electrolytic_high::ElectrolyticHigh,
    &electrolytic_esr::ElectrolyticEsr,
    &electrolytic_age::ElectrolyticAge,
    &electrolytic_shelf::ElectrolyticShelf,
    &electrolytic_readings::ElectrolyticReadings,
    &electrolytic_reform::ElectrolyticReform,
    &capacitor_damage::CapacitorDamage,
    &capacitor_value::CapacitorValue,
    &stable_kinds::StableKinds,
    &tantalum::Tantalum,
    &resistor_sight::ResistorSight,
    &resistor_drift::ResistorDrift,
    &resistor_low_in_circuit::ResistorLowInCircuit,
    &resistor_dissipation::ResistorDissipation,
    &resistor_voltage::ResistorVoltage,
    &resistor_unmeasured::ResistorUnmeasured,
    &resistor_fusible::ResistorFusible,
    &selenium::Selenium,
    &mains_lead::MainsLead,
    &fuse::Fuse,
    &named_parts::NamedParts,
    &earlier_repair::EarlierRepair,
];

/// The pages of every rule and of every finding that the weighing adds, in the order of reports.
pub fn pages() -> impl Iterator<Item = &'static RuleMeta> {
    RULES.iter().map(|rule| rule.meta()).chain(ADDED.iter().copied())
}

/// Every threshold that the shop may set under `[margins]`.
pub fn thresholds() -> impl Iterator<Item = &'static Threshold> {
    pages().flat_map(|meta| meta.thresholds)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::limits::electrolytic::{CAPACITANCE_DOUBTFUL, CAPACITANCE_FLAG, LOSS_REPLACE};
    use crate::limits::judging::{
        COUPLING_CONDEMNS, COUPLING_KEEPS, COUPLING_KEEPS_SMALL_SIGNAL, DRIFT_CRITICAL, DRIFT_GENERAL, DRIFT_PAIR,
        PAPER_KEPT, SHELF_YEARS, SUSPECT_AGE_YEARS,
    };
    use crate::limits::leakage::PAPER_RATIO;
    use crate::limits::mains::{CHASSIS_CAPACITANCE, ES1_CURRENT_AC};

    // The handbook states these once; the rules' defaults repeat them in the unit of the shop's settings.
    #[test]
    fn defaults_are_the_handbooks() {
        for (key, due) in [
            ("resistor-drift", DRIFT_GENERAL.value * 100.0),
            ("resistor-drift.critical", DRIFT_CRITICAL.value * 100.0),
            ("resistor-drift.pair", DRIFT_PAIR.value * 100.0),
            ("coupling-grid", COUPLING_KEEPS.value * 100.0),
            ("coupling-grid.urgent", COUPLING_CONDEMNS.value * 100.0),
            ("coupling-grid.small-signal", COUPLING_KEEPS_SMALL_SIGNAL.value.get() * 1e3),
            ("paper", PAPER_KEPT.value.get() * 1e6),
            ("electrolytic-age", f64::from(SUSPECT_AGE_YEARS.value)),
            ("electrolytic-shelf", f64::from(SHELF_YEARS.value)),
            ("electrolytic-capacitance", CAPACITANCE_FLAG.value * 100.0),
            ("electrolytic-high", CAPACITANCE_DOUBTFUL.value * 100.0),
            ("electrolytic-esr", LOSS_REPLACE.value),
            ("leakage-shunt", PAPER_RATIO.value),
            ("mains-touch", ES1_CURRENT_AC.value.milli()),
            ("mains-touch.capacitance", CHASSIS_CAPACITANCE.value.get() * 1e9),
        ] {
            let default = thresholds().find(|t| t.key == key).expect("a threshold of this key").default;
            assert!((default - due).abs() < 1e-9, "{key}: {default}, the handbook says {due}");
        }
    }
}
