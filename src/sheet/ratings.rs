//! Highest voltage against rating, of the old part and of the new.

use crate::model::chassis::Job;
use crate::model::finding::Decision;
use crate::model::part::NodeName;
use crate::model::plan::{ArrangementKind, Fitting, Inspection, Plan};
use crate::model::shop::Article;
use crate::physics::series_string::highest_bus;
use crate::units::Volt;
use crate::verify::limits::NEW_PERCENT;
use crate::verify::own::own_fit;

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
                new: own_fit(plan, &inspection.job, &part.reference).as_ref().and_then(rating),
                replaced: j.decision == Decision::Replace,
                node: part.plus.clone(),
            })
        })
        .collect();
    bars.sort_by(|a, b| b.highest.get().total_cmp(&a.highest.get()));
    bars
}

/// DC rating of an arrangement: the least of its parts; in series what the string bears at switch-on, when the
/// part at the low end of its tolerance takes the most.
pub fn rating(fit: &Fitting) -> Option<Volt> {
    let sections = fit.parts.iter().flat_map(|p| p.article.sections.iter().map(|s| s.volts));
    if fit.arrangement == ArrangementKind::Can {
        return sections
            .reduce(Volt::min)
            .or_else(|| fit.parts.iter().filter_map(|p| p.article.volts).reduce(Volt::min));
    }
    let least = fit.parts.iter().filter_map(|p| p.article.volts).reduce(Volt::min)?;
    // A matched group has a string for each of its references.
    let strings = u32::try_from(fit.refs.len()).unwrap_or(u32::MAX).max(1);
    let in_a_row = fit.parts.iter().map(|p| p.count).sum::<u32>() / strings;
    if fit.arrangement != ArrangementKind::Series {
        return Some(least);
    }
    let off = |a: &Article| a.tolerance.map_or(NEW_PERCENT.0, |t| t.minus_percent.max(t.plus_percent)) / 100.0;
    let off = fit.parts.iter().map(|p| off(&p.article)).fold(0.0, f64::max);
    highest_bus(in_a_row, least, off)
}
