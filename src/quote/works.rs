//! What there is to do, counted from the decisions, and what each kind of work is charged at.

use std::collections::BTreeMap;

use super::QuoteError;
use crate::model::chassis::Job;
use crate::model::finding::{Decision, How, Judgement};
use crate::model::kind::PartKind;
use crate::model::part::Part;
use crate::model::plan::Plan;
use crate::model::shop::{LabourRate, QuoteSettings};
use crate::model::words::words;
use crate::money::Money;

words!(
    /// A kind of work, as the shop sets its minutes or its price.
    WorkKind {
        /// An electrolytic or tantalum capacitor.
        Electrolytic = "electrolytic",
        /// Any other capacitor.
        Film = "film",
        /// A can, with all its sections.
        Can = "can",
        /// New parts inside an old can or sleeve.
        Restuff = "restuff",
        /// A resistor.
        Resistor = "resistor",
        /// The mains lead.
        Lead = "lead",
        /// A valve.
        Valve = "valve",
        /// Testing and running in, once for each job.
        Test = "test",
        /// Anything else: fuses, lamps, sockets, fittings, parts taken out, reforming.
        Other = "other",
    }
);

/// Works of one kind and what they are charged at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Work {
    /// Kind.
    pub kind: WorkKind,
    /// How many.
    pub count: u32,
    /// All of their time in hundredths of a minute, where it is charged by the hour.
    pub hundredths_of_minute: Option<i64>,
    /// All of their price, where it is a flat sum for each.
    pub flat: Option<Money>,
}

/// Counts the works of these jobs.
///
/// # Errors
/// [`QuoteError::NotPlanned`] for a job that the plan does not hold.
pub fn count(jobs: &[Job], plan: &Plan) -> Result<BTreeMap<WorkKind, u32>, QuoteError> {
    let mut counts = BTreeMap::new();
    for job in jobs {
        let inspection = plan
            .inspections
            .iter()
            .find(|i| i.job == job.name)
            .ok_or_else(|| QuoteError::NotPlanned { job: job.name.clone() })?;
        let mut cans: Vec<&str> = Vec::new();
        for judgement in &inspection.judgements {
            let Some(part) = job.part(&judgement.reference) else { continue };
            // The sections of a can are one work, whichever of them asked for it.
            if let (Some(can), Decision::Replace) = (part.can.as_deref(), judgement.decision) {
                if cans.contains(&can) {
                    continue;
                }
                cans.push(can);
            }
            if let Some(kind) = kind(part, judgement) {
                *counts.entry(kind).or_insert(0) += 1;
            }
        }
        *counts.entry(WorkKind::Test).or_insert(0) += 1;
    }
    Ok(counts)
}

/// The kind of work that a decision leads to; none where nothing is changed.
pub fn kind(part: &Part, judgement: &Judgement) -> Option<WorkKind> {
    match judgement.decision {
        Decision::Replace => Some(replacing(part, judgement.how)),
        Decision::Omit | Decision::Disconnect | Decision::Reform => Some(WorkKind::Other),
        // A reading that is still due belongs to the diagnosis.
        Decision::Keep | Decision::Test | Decision::FindOut => None,
    }
}

fn replacing(part: &Part, how: Option<How>) -> WorkKind {
    match part.kind {
        _ if how == Some(How::Restuff) => WorkKind::Restuff,
        _ if part.can.is_some() => WorkKind::Can,
        PartKind::Electrolytic | PartKind::Tantalum => WorkKind::Electrolytic,
        kind if kind.is_capacitor() => WorkKind::Film,
        kind if kind.is_resistor() => WorkKind::Resistor,
        PartKind::Lead => WorkKind::Lead,
        PartKind::Valve => WorkKind::Valve,
        _ => WorkKind::Other,
    }
}

/// Minutes of one piece where the shop has not said; planning figures, common practice, no source.
const fn usual_minutes(kind: WorkKind) -> f64 {
    match kind {
        WorkKind::Electrolytic => 12.0,
        WorkKind::Film => 8.0,
        WorkKind::Can | WorkKind::Test => 45.0,
        WorkKind::Restuff => 75.0,
        WorkKind::Resistor => 6.0,
        WorkKind::Lead => 30.0,
        WorkKind::Valve => 3.0,
        WorkKind::Other => 5.0,
    }
}

/// Puts the shop's minutes or prices to the works, usual minutes where it has none.
///
/// # Errors
/// Minutes without an hourly rate, or minutes that are no time; see [`QuoteError`].
pub fn price(counts: &BTreeMap<WorkKind, u32>, settings: &QuoteSettings) -> Result<Vec<Work>, QuoteError> {
    if settings.labour.is_empty() && settings.rate_per_hour.is_none() {
        return Err(QuoteError::NoLabour);
    }
    let works = counts.iter().map(|(kind, count)| work(*kind, *count, settings)).collect::<Result<Vec<_>, _>>()?;
    let by_hour: Vec<String> =
        works.iter().filter(|w| w.hundredths_of_minute.is_some()).map(|w| format!("'{}'", w.kind)).collect();
    if settings.rate_per_hour.is_none() && !by_hour.is_empty() {
        return Err(QuoteError::NoRate { kinds: by_hour.join(", ") });
    }
    Ok(works)
}

/// What was taken for works that the shop has set nothing for, as printed under "assumed".
pub fn assumed(works: &[Work], settings: &QuoteSettings) -> Vec<String> {
    works
        .iter()
        .filter(|w| !settings.labour.contains_key(w.kind.word()))
        .map(|w| format!("labour for '{}' not set: {} min each taken", w.kind, usual_minutes(w.kind)))
        .collect()
}

fn work(kind: WorkKind, count: u32, settings: &QuoteSettings) -> Result<Work, QuoteError> {
    let usual = LabourRate::Minutes(usual_minutes(kind));
    match settings.labour.get(kind.word()).copied().unwrap_or(usual) {
        LabourRate::Minutes(minutes) => {
            let each = hundredths(minutes).ok_or(QuoteError::BadMinutes { kind: kind.word() })?;
            Ok(Work { kind, count, hundredths_of_minute: Some(each * i64::from(count)), flat: None })
        }
        LabourRate::Flat(money) => Ok(Work { kind, count, hundredths_of_minute: None, flat: Some(money.times(count)) }),
    }
}

/// Hundredths of a minute; `None` for what is not a time within a year.
#[expect(clippy::cast_possible_truncation, reason = "bounded in the line before")]
fn hundredths(minutes: f64) -> Option<i64> {
    (0.0..=525_600.0).contains(&minutes).then(|| (minutes * 100.0).round() as i64)
}
