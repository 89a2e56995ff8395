//! Charge that stays in the capacitors after switching off, and how long it takes to draw it off.

use super::drained::{Drained, drained};
use crate::model::chassis::Job;
use crate::model::kind::PartKind;
use crate::model::part::{Part, Reading};
use crate::model::plan::{ArrangementKind, Fitting, Inspection, Plan};
use crate::physics::discharge::{HazardTable, at_most, is_hazardous, rebound, time_to};
use crate::units::{Farad, Joule, Ohm, Second, Volt, Watt};
use crate::verify::limits::{KEPT_CAPACITOR_PERCENT, NEW_PERCENT};
use crate::verify::own::own_fit;

/// The resistor to discharge through: about 100 k, insulated, clipped to the chassis (several workshop pages agree).
pub const DISCHARGE_OHM: Ohm = Ohm::new(100e3);
/// The resistor may be above its marking by so much, as the worked time of the handbook has it.
pub const DISCHARGE_PLUS: f64 = 0.05;
/// Voltage below which it may be touched (a workshop page; well below every standard's limit).
pub const SAFE: Volt = Volt::new(10.0);

/// One capacitor's charge.
#[derive(Debug, Clone, PartialEq)]
pub struct Stored {
    /// Reference.
    pub reference: String,
    /// The larger of the old and the new capacitance.
    pub farad: Farad,
    /// The most that can be across it.
    pub volts: Volt,
    /// Energy at that voltage.
    pub energy: Joule,
    /// Time through the stated resistor to the safe voltage, at the upper ends of the tolerances; with everything
    /// that drains with it.
    pub discharge: Second,
    /// The most that may creep back afterwards; electrolytics only.
    pub back: Option<Volt>,
    /// Whether its energy is counted hazardous.
    pub hazardous: bool,
}

/// The charge of the whole set.
#[derive(Debug, Clone, PartialEq)]
pub struct StoredCharge {
    /// The resistor.
    pub resistor: Ohm,
    /// What the resistor must stand at the first moment.
    pub heat: Watt,
    /// The voltage that counts as discharged.
    pub safe: Volt,
    /// Capacitors, the most energy first.
    pub parts: Vec<Stored>,
    /// Which of them drain together.
    pub together: Vec<Drained>,
    /// Capacitors whose voltage or value is not known.
    pub unknown: Vec<String>,
}

/// Works out the charge of every capacitor of the job.
pub fn stored(job: &Job, inspection: &Inspection, plan: &Plan) -> StoredCharge {
    let volts_of = |part: &Part| {
        let stress = inspection.judgements.iter().find(|j| j.reference == part.reference).map(|j| &j.stress);
        stress.and_then(|s| s.highest.or(s.working)).map(|k| k.value.abs())
    };
    let fit_of = |part: &Part| own_fit(plan, &inspection.job, &part.reference);
    let together = drained(job, |part| most(part, fit_of(part).as_ref()));
    let mut parts = Vec::new();
    let mut unknown = Vec::new();
    for part in job.parts.iter().filter(|p| p.kind.is_capacitor()) {
        match one(part, fit_of(part).as_ref(), volts_of(part)) {
            Some(stored) => parts.push(stored),
            None => unknown.push(part.reference.clone()),
        }
    }
    for group in &together {
        let own = |p: &Part| group.counts(&p.reference);
        // From the highest voltage of them all, for the charge of each ends in the one that is drained.
        let highest = job.parts.iter().filter(|p| own(p)).filter_map(volts_of).fold(Volt::ZERO, Volt::max);
        let Some(alone) = time_to(SAFE, highest, group.farad, at_most(DISCHARGE_OHM, DISCHARGE_PLUS)) else { continue };
        // No pole is slower than the sum of the time constants that each capacitor has by itself.
        let lag = group.lag * (highest.max(SAFE) / SAFE).ln();
        for stored in parts.iter_mut().filter(|s| group.counts(&s.reference)) {
            stored.discharge = stored.discharge.max(alone + lag);
        }
    }
    // The sort is stable, so that equal energies stay in the order of references.
    parts.sort_by(|a, b| b.energy.get().total_cmp(&a.energy.get()));
    let highest = parts.iter().map(|s| s.volts).fold(Volt::ZERO, Volt::max);
    StoredCharge { resistor: DISCHARGE_OHM, heat: highest.heat_in(DISCHARGE_OHM), safe: SAFE, parts, together, unknown }
}

fn one(part: &Part, fit: Option<&Fitting>, volts: Option<Volt>) -> Option<Stored> {
    let volts = volts?;
    let farad = [part.farad(), fit.and_then(fitted)].into_iter().flatten().reduce(Farad::max)?;
    let resistor = at_most(DISCHARGE_OHM, DISCHARGE_PLUS);
    Some(Stored {
        reference: part.reference.clone(),
        farad,
        volts,
        energy: farad.energy_at(volts),
        discharge: time_to(SAFE, volts, most(part, fit)?.max(farad), resistor)?,
        back: (part.kind == PartKind::Electrolytic).then(|| rebound(volts).value.1),
        hazardous: is_hazardous(HazardTable::Nfpa, farad, volts),
    })
}

/// The most capacitance there may be, before the work or after it: the old part as it read, else its marking at the
/// upper end of its tolerance; what is fitted, at the upper end of its own.
fn most(part: &Part, fit: Option<&Fitting>) -> Option<Farad> {
    let old = match (part.found.reads, part.farad()) {
        (Some(Reading::Farad(read)), marked) => Some(marked.map_or(read, |m| m.max(read))),
        (_, Some(marked)) => {
            let plus = part.rating.tolerance.map_or(KEPT_CAPACITOR_PERCENT.1, |t| t.plus_percent);
            Some(at_most(marked, plus / 100.0))
        }
        (_, None) => None,
    };
    let usual = if part.kind == PartKind::Electrolytic { NEW_PERCENT.0 } else { NEW_PERCENT.1 };
    let new = fit.and_then(|fit| {
        let plus = fit.parts.iter().map(|p| p.article.tolerance.map_or(usual, |t| t.plus_percent));
        Some(at_most(fitted(fit)?, plus.fold(0.0, f64::max) / 100.0))
    });
    [old, new].into_iter().flatten().reduce(Farad::max)
}

/// Capacitance of what is fitted; of a can its largest section.
fn fitted(fit: &Fitting) -> Option<Farad> {
    let pieces = fit.parts.iter().flat_map(|p| std::iter::repeat_n(&p.article, usize::try_from(p.count).unwrap_or(0)));
    let sections = fit.parts.iter().flat_map(|p| p.article.sections.iter().map(|s| s.farad));
    if fit.arrangement == ArrangementKind::Can {
        return sections.reduce(Farad::max);
    }
    let values: Vec<Farad> = pieces.map(crate::model::shop::Article::farad).collect::<Option<_>>()?;
    // A matched group has its pieces for each of its references.
    let places = f64::from(u32::try_from(fit.refs.len()).unwrap_or(u32::MAX).max(1));
    match fit.arrangement {
        ArrangementKind::Series => {
            let inverse: f64 = values.iter().map(|f| 1.0 / f.get()).sum();
            (inverse > 0.0).then(|| Farad::new(places / inverse))
        }
        ArrangementKind::Parallel => Some(values.into_iter().sum::<Farad>() / places),
        ArrangementKind::Single | ArrangementKind::Can => values.into_iter().reduce(Farad::max),
    }
}
