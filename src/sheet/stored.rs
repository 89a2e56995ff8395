//! Charge that stays in the capacitors after switching off, and how long it takes to draw it off.

use crate::model::chassis::Job;
use crate::model::part::Part;
use crate::model::plan::{ArrangementKind, Fitting, Inspection, Plan};
use crate::physics::discharge::{HazardTable, is_hazardous, rebound, time_to};
use crate::units::{Farad, Joule, Ohm, Second, Volt, Watt};
use crate::verify::own::own_fit;

/// The resistor to discharge through: about 100 k, insulated, clipped to the chassis (several workshop pages agree).
pub const DISCHARGE_OHM: Ohm = Ohm::new(100e3);
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
    /// Time through the stated resistor to the safe voltage.
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
    /// Capacitors whose voltage or value is not known.
    pub unknown: Vec<String>,
}

/// Works out the charge of every capacitor of the job.
pub fn stored(job: &Job, inspection: &Inspection, plan: &Plan) -> StoredCharge {
    let mut parts = Vec::new();
    let mut unknown = Vec::new();
    for part in job.parts.iter().filter(|p| p.kind.is_capacitor()) {
        let stress = inspection.judgements.iter().find(|j| j.reference == part.reference).map(|j| &j.stress);
        let volts = stress.and_then(|s| s.highest.or(s.working)).map(|k| k.value.abs());
        let fit = own_fit(plan, &inspection.job, &part.reference);
        match one(part, fit.as_ref(), volts) {
            Some(stored) => parts.push(stored),
            None => unknown.push(part.reference.clone()),
        }
    }
    // The sort is stable, so that equal energies stay in the order of references.
    parts.sort_by(|a, b| b.energy.get().total_cmp(&a.energy.get()));
    let highest = parts.iter().map(|s| s.volts).fold(Volt::ZERO, Volt::max);
    StoredCharge { resistor: DISCHARGE_OHM, heat: highest.heat_in(DISCHARGE_OHM), safe: SAFE, parts, unknown }
}

fn one(part: &Part, fit: Option<&Fitting>, volts: Option<Volt>) -> Option<Stored> {
    use crate::model::kind::PartKind;
    let volts = volts?;
    let farad = [part.farad(), fit.and_then(fitted)].into_iter().flatten().reduce(Farad::max)?;
    Some(Stored {
        reference: part.reference.clone(),
        farad,
        volts,
        energy: farad.energy_at(volts),
        discharge: time_to(SAFE, volts, farad, DISCHARGE_OHM)?,
        back: (part.kind == PartKind::Electrolytic).then(|| rebound(volts).value.1),
        hazardous: is_hazardous(HazardTable::Nfpa, farad, volts),
    })
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
