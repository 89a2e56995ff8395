//! Highest voltage against rating, of the old part and of the new.

use crate::model::chassis::Job;
use crate::model::finding::Decision;
use crate::model::part::NodeName;
use crate::model::plan::{ArrangementKind, Fitting, Inspection, Plan};
use crate::units::Volt;
use crate::verify::expected::fit_of;

/// One capacitor's voltages.
#[derive(Debug, Clone, PartialEq)]
pub struct Bar {
    /// Reference.
    pub reference: String,
    /// The most that can be across it.
    pub highest: Volt,
    /// Rating of the old part, where it is marked.
    pub old: Option<Volt>,
    /// Rating of what is fitted; `None` where the old part stays.
    pub new: Option<Volt>,
    /// Whether the old part goes.
    pub replaced: bool,
    /// Its positive node.
    pub node: Option<NodeName>,
}

/// Every capacitor with a known highest voltage, the highest first.
pub fn bars(job: &Job, inspection: &Inspection, plan: &Plan) -> Vec<Bar> {
    let mut bars: Vec<Bar> = inspection
        .judgements
        .iter()
        .filter_map(|j| {
            let part = job.part(&j.reference).filter(|p| p.kind.is_capacitor())?;
            Some(Bar {
                reference: part.reference.clone(),
                highest: j.stress.highest?.value.abs(),
                old: part.rating.volts,
                new: fit_of(plan, &inspection.job, &part.reference).and_then(rating),
                replaced: j.decision == Decision::Replace,
                node: part.plus.clone(),
            })
        })
        .collect();
    bars.sort_by(|a, b| b.highest.get().total_cmp(&a.highest.get()));
    bars
}

/// DC rating of an arrangement: the least of its parts, their sum in series.
pub fn rating(fit: &Fitting) -> Option<Volt> {
    let sections = fit.parts.iter().flat_map(|p| p.article.sections.iter().map(|s| s.volts));
    if fit.arrangement == ArrangementKind::Can {
        return sections
            .reduce(Volt::min)
            .or_else(|| fit.parts.iter().filter_map(|p| p.article.volts).reduce(Volt::min));
    }
    let least = fit.parts.iter().filter_map(|p| p.article.volts).reduce(Volt::min)?;
    let pieces: u32 = fit.parts.iter().map(|p| p.count).sum();
    let in_a_row = if fit.arrangement == ArrangementKind::Series { f64::from(pieces) } else { 1.0 };
    Some(least * in_a_row)
}
