//! What each reading should be, and within which limits, at the mains as it is.

use super::limits;
use super::own::own_fit;
use super::row::{Unit, What};
use crate::model::chassis::{Chassis, Job};
use crate::model::finding::{Decision, Judgement};
use crate::model::kind::{PartKind, Place};
use crate::model::part::{Part, Value};
use crate::model::plan::{ArrangementKind, Fitting, Inspection, Plan};
use crate::model::supply::{NodeFigures, SupplyFigures};
use crate::units::{Tolerance, Volt};

/// A reading to take. Figures are sizes: signs are not compared.
#[derive(Debug, Clone, PartialEq)]
pub struct Expected {
    /// What.
    pub what: What,
    /// The figure expected, where there is one.
    pub figure: Option<f64>,
    /// Least that passes.
    pub low: Option<f64>,
    /// Most that passes.
    pub high: Option<f64>,
    /// Unit of all three.
    pub unit: Unit,
    /// How the figure is known.
    pub basis: &'static str,
    /// Where the limit comes from.
    pub source: &'static str,
    /// Whether it is asked for; the others are judged only when they were taken.
    pub due: bool,
}

/// Everything that is read after the work of this job.
///
/// `mains` is the mains while the readings are taken, where it differs from the inspection's.
pub fn expected(job: &Job, inspection: &Inspection, plan: &Plan, mains: Option<Volt>) -> Vec<Expected> {
    let factors = Factors::new(&job.chassis, mains);
    let mut list = vec![cold()];
    list.extend(supplies(job, inspection, factors));
    list.extend(bias(job, factors));
    list.extend(grids(job, inspection));
    list.extend(power_and_hum());
    list.extend(touch(Unit::Ampere));
    list.extend(values(job, inspection, plan));
    list
}

/// How voltages known at one mains are carried over to another.
#[derive(Debug, Clone, Copy)]
struct Factors {
    /// From the tapping (service sheet) to the mains now.
    from_tapping: f64,
    /// From the mains of the inspection to the mains now.
    from_inspection: f64,
}

impl Factors {
    fn new(chassis: &Chassis, mains: Option<Volt>) -> Self {
        let over = |base: Option<Volt>, otherwise: f64| match (mains, base) {
            (Some(now), Some(base)) if base > Volt::ZERO => now / base,
            _ => otherwise,
        };
        Self {
            from_tapping: over(chassis.mains.tapping, chassis.mains.loaded_factor()),
            from_inspection: over(chassis.mains.volts(), 1.0),
        }
    }
}

fn cold() -> Expected {
    Expected {
        what: What::Cold,
        figure: None,
        low: Some(limits::COLD_OHM),
        high: None,
        unit: Unit::Ohm,
        basis: "",
        source: limits::COLD_SOURCE,
        due: true,
    }
}

/// Voltage and ripple of every node, from the rectifier on.
fn supplies(job: &Job, inspection: &Inspection, factors: Factors) -> Vec<Expected> {
    let figures = |name: &str| -> Option<&SupplyFigures> {
        inspection.supplies.iter().filter_map(|s| s.as_ref().ok()).find(|s| s.name == name)
    };
    let mut list = Vec::new();
    for supply in &job.chassis.supplies {
        for node in &supply.nodes {
            let computed = figures(&supply.name).and_then(|s| s.nodes.iter().find(|n| n.name == node.name));
            let known = node
                .sheet
                .map(|v| (v * factors.from_tapping, "service sheet"))
                .or_else(|| computed.map(|n| (n.volts * factors.from_inspection, "computed")))
                .or_else(|| node.measured.map(|v| (v * factors.from_inspection, "as found")));
            list.push(voltage(What::Node(node.name.clone()), known));
            list.extend(computed.map(|n| ripple(n, factors)));
        }
    }
    list
}

/// A voltage with the usual tolerance to both sides.
fn voltage(what: What, known: Option<(Volt, &'static str)>) -> Expected {
    let figure = known.map(|(v, _)| v.abs().get());
    let away = limits::VOLTAGE_PERCENT / 100.0;
    Expected {
        what,
        figure,
        low: figure.map(|v| v * (1.0 - away)),
        high: figure.map(|v| v * (1.0 + away)),
        unit: Unit::Volt,
        basis: known.map_or("not known", |(_, basis)| basis),
        source: limits::VOLTAGE_SOURCE,
        due: true,
    }
}

fn ripple(node: &NodeFigures, factors: Factors) -> Expected {
    let figure = node.ripple_rms.get() * factors.from_inspection;
    Expected {
        what: What::Ripple(node.name.clone()),
        figure: Some(figure),
        low: None,
        high: Some((figure * limits::RIPPLE_TIMES).max(10.0 * limits::RIPPLE_LEAST_V)),
        unit: Unit::Volt,
        basis: "computed",
        source: limits::RIPPLE_SOURCE,
        // Less than that no bench meter shows.
        due: limits::RIPPLE_LEAST_V <= figure,
    }
}

/// The output stage's bias: the largest of those written down.
fn bias(job: &Job, factors: Factors) -> Option<Expected> {
    let largest = job.parts.iter().filter_map(|p| p.found.bias).map(Volt::abs).reduce(Volt::max)?;
    Some(voltage(What::Bias, Some((largest * factors.from_inspection, "as found"))))
}

/// DC on the grids behind the coupling capacitors; due where one is fitted anew, or was tested.
fn grids(job: &Job, inspection: &Inspection) -> Vec<Expected> {
    let judged = |p: &Part| inspection.judgements.iter().find(|j| j.reference == p.reference);
    let due = |p: &Part| p.found.grid.is_some() || judged(p).is_some_and(|j| j.decision == Decision::Replace);
    let couplings = job.parts.iter().filter(|p| p.kind.is_capacitor() && p.place == Some(Place::Coupling));
    couplings.map(|p| grid(p, due(p))).collect()
}

fn grid(part: &Part, due: bool) -> Expected {
    let share = part.found.bias.map(|b| b.abs().get() * limits::GRID_PERCENT / 100.0);
    let small = part.found.bias.is_none_or(|b| b.abs().get() < limits::SMALL_STAGE_V);
    let high = share.map_or(limits::GRID_SMALL_V, |s| if small { s.min(limits::GRID_SMALL_V) } else { s });
    Expected {
        what: What::Grid(part.reference.clone()),
        figure: None,
        low: None,
        high: Some(high),
        unit: Unit::Volt,
        basis: "",
        source: limits::GRID_SOURCE,
        due,
    }
}

/// Output and hum; their limits follow from the readings themselves.
fn power_and_hum() -> [Expected; 2] {
    let open =
        |what, unit, source| Expected { what, figure: None, low: None, high: None, unit, basis: "", source, due: true };
    [
        open(What::Power, Unit::Watt, "the set's own rating, to be filled in"),
        open(What::Hum, Unit::Volt, limits::HUM_SOURCE),
    ]
}

/// Touch current, both plug ways.
pub(super) fn touch(unit: Unit) -> [Expected; 2] {
    let high = if unit == Unit::Volt { limits::TOUCH_V } else { limits::TOUCH_A };
    [1, 2].map(|way| Expected {
        what: What::Touch(way),
        figure: None,
        low: None,
        high: Some(high),
        unit,
        basis: "",
        source: limits::TOUCH_SOURCE,
        due: true,
    })
}

/// The own values of capacitors and resistors: as fitted, or as kept.
fn values(job: &Job, inspection: &Inspection, plan: &Plan) -> Vec<Expected> {
    let one = |judgement: &Judgement| {
        let part = job.part(&judgement.reference)?;
        let fit = own_fit(plan, &inspection.job, &part.reference);
        match (judgement.decision, fit) {
            (Decision::Replace, Some(fit)) => fitted(part, &fit),
            (Decision::Keep | Decision::Reform | Decision::Test, _) => kept(part),
            _ => None,
        }
    };
    inspection.judgements.iter().filter_map(one).collect()
}

fn kept(part: &Part) -> Option<Expected> {
    let (figure, unit, usual) = match part.value.as_ref()? {
        Value::Ohm(ohm) => (ohm.get(), Unit::Ohm, both(limits::KEPT_RESISTOR_PERCENT)),
        Value::Farad(farad) => {
            let (minus_percent, plus_percent) = limits::KEPT_CAPACITOR_PERCENT;
            (farad.get(), Unit::Farad, Tolerance { minus_percent, plus_percent })
        }
        Value::Designation(_) => return None,
    };
    let marked = part.rating.tolerance.unwrap_or(usual);
    let tolerance = Tolerance {
        minus_percent: marked.minus_percent.max(usual.minus_percent),
        plus_percent: marked.plus_percent.max(usual.plus_percent),
    };
    Some(value(part, (figure, unit), tolerance, "as marked, kept"))
}

/// The same to both sides.
const fn both(percent: f64) -> Tolerance {
    Tolerance { minus_percent: percent, plus_percent: percent }
}

fn value(part: &Part, (figure, unit): (f64, Unit), tolerance: Tolerance, basis: &'static str) -> Expected {
    Expected {
        what: What::Reads(part.reference.clone()),
        figure: Some(figure),
        low: Some(figure * (1.0 - tolerance.minus_percent / 100.0)),
        high: Some(figure * (1.0 + tolerance.plus_percent / 100.0)),
        unit,
        basis,
        source: limits::VALUE_SOURCE,
        due: false,
    }
}

/// The value that the fitting amounts to; none for cans, whose sections are not told apart here.
fn fitted(part: &Part, fit: &Fitting) -> Option<Expected> {
    if fit.arrangement == ArrangementKind::Can {
        return None;
    }
    let pieces =
        || fit.parts.iter().flat_map(|p| std::iter::repeat_n(&p.article, usize::try_from(p.count).unwrap_or(0)));
    let parts_here = u32::try_from(fit.refs.len()).unwrap_or(1).max(1);
    let each = |select: fn(&crate::model::shop::Article) -> Option<f64>| -> Option<Vec<f64>> {
        pieces().map(select).collect()
    };
    let (values, unit, adds) = if part.kind.is_resistor() {
        (each(|a| a.ohm().map(crate::units::Ohm::get))?, Unit::Ohm, fit.arrangement == ArrangementKind::Series)
    } else if part.kind.is_capacitor() {
        (each(|a| a.farad().map(crate::units::Farad::get))?, Unit::Farad, fit.arrangement == ArrangementKind::Parallel)
    } else {
        return None;
    };
    let first = *values.first()?;
    let total = match fit.arrangement {
        // A matched group is one fitting with a piece for each of its parts.
        ArrangementKind::Single | ArrangementKind::Can => first,
        _ if adds => values.iter().sum::<f64>() / f64::from(parts_here),
        _ => f64::from(parts_here) / values.iter().map(|v| 1.0 / v).sum::<f64>(),
    };
    let usual = if part.kind == PartKind::Electrolytic { limits::NEW_PERCENT.0 } else { limits::NEW_PERCENT.1 };
    let widest = |select: fn(Tolerance) -> f64| {
        pieces().map(|a| a.tolerance.map_or(usual, select)).reduce(f64::max).unwrap_or(usual)
    };
    let tolerance = Tolerance { minus_percent: widest(|t| t.minus_percent), plus_percent: widest(|t| t.plus_percent) };
    Some(value(part, (total, unit), tolerance, "as fitted"))
}
