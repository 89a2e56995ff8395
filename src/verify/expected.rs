//! What each reading should be, and within which limits, at the mains as it is.

use std::borrow::Cow;

use super::bias::bias;
use super::grids::grids;
use super::limits;
use super::own::own_fit;
use super::row::{Unit, What};
use crate::model::chassis::{Chassis, Job, Polarity};
use crate::model::finding::{Decision, Judgement};
use crate::model::kind::PartKind;
use crate::model::part::{Part, Value};
use crate::model::plan::{ArrangementKind, Fitting, Inspection, Plan};
use crate::model::supply::{NodeFigures, SupplyFigures};
use crate::units::{Tolerance, Volt};

/// How the sign of a reading counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sign {
    /// It does not: the figures are sizes.
    Size,
    /// As read, against figures with their sign.
    AsRead,
    /// As read, and above the chassis: below it something is the wrong way round.
    Above,
    /// As read, and below the chassis: above it something is the wrong way round.
    Below,
}

impl Sign {
    /// The reading as it is compared.
    pub fn of(self, read: f64) -> f64 {
        if self == Self::Size { read.abs() } else { read }
    }

    /// Whether a reading is on the wrong side of the chassis.
    pub fn is_reversed(self, read: f64) -> bool {
        match self {
            Self::Size | Self::AsRead => false,
            Self::Above => read < 0.0,
            Self::Below => read > 0.0,
        }
    }
}

/// A reading to take.
#[derive(Debug, Clone, PartialEq)]
pub struct Expected {
    /// What.
    pub what: What,
    /// The figure expected, where there is one.
    pub figure: Option<f64>,
    /// Where there is no such figure, what it lies between.
    pub between: Option<(f64, f64)>,
    /// Least that passes.
    pub low: Option<f64>,
    /// Most that passes.
    pub high: Option<f64>,
    /// Unit of all three.
    pub unit: Unit,
    /// How the sign counts.
    pub sign: Sign,
    /// How the figure is known.
    pub basis: Cow<'static, str>,
    /// Where the limit comes from.
    pub source: &'static str,
    /// Whether it is asked for; the others are judged only when they were taken.
    pub due: bool,
    /// Whether the set is not shown to be ready without it.
    pub needed: bool,
}

impl Expected {
    /// A reading that nothing is held against yet, not asked for.
    pub(super) fn open(what: What, unit: Unit) -> Self {
        Self {
            what,
            figure: None,
            between: None,
            low: None,
            high: None,
            unit,
            sign: Sign::Size,
            basis: Cow::Borrowed(""),
            source: "",
            due: false,
            needed: false,
        }
    }
}

/// Everything that is read after the work of this job.
///
/// `mains` is the mains while the readings are taken, where it differs from the inspection's. Voltages of
/// negative supplies are below zero.
pub fn expected(job: &Job, inspection: &Inspection, plan: &Plan, mains: Option<Volt>) -> Vec<Expected> {
    let factors = Factors::new(&job.chassis, mains);
    let mut list = vec![cold()];
    list.extend(supplies(job, inspection, factors));
    list.extend(bias(job, inspection, factors.from_inspection));
    list.extend(grids(job, inspection, factors.from_inspection));
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
        low: Some(limits::COLD_OHM),
        source: limits::COLD_SOURCE,
        due: true,
        ..Expected::open(What::Cold, Unit::Ohm)
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
            let sign = if supply.polarity == Polarity::Negative { Sign::Below } else { Sign::Above };
            list.push(voltage(What::Node(node.name.clone()), known, sign));
            list.extend(computed.map(|n| ripple(n, factors)));
        }
    }
    list
}

/// A voltage with the usual tolerance to both sides, below zero where it should be below the chassis.
pub(super) fn voltage(what: What, known: Option<(Volt, &'static str)>, sign: Sign) -> Expected {
    let (nearer, farther) = (1.0 - limits::VOLTAGE_PERCENT / 100.0, 1.0 + limits::VOLTAGE_PERCENT / 100.0);
    let size = known.map(|(v, _)| v.abs().get());
    let (figure, low, high) = match sign {
        Sign::Below => (size.map(|v| -v), size.map(|v| -v * farther), size.map(|v| -v * nearer)),
        _ => (size, size.map(|v| v * nearer), size.map(|v| v * farther)),
    };
    Expected {
        figure,
        low,
        high,
        sign,
        basis: Cow::Borrowed(known.map_or("not known", |(_, basis)| basis)),
        source: limits::VOLTAGE_SOURCE,
        due: true,
        ..Expected::open(what, Unit::Volt)
    }
}

fn ripple(node: &NodeFigures, factors: Factors) -> Expected {
    let figure = node.ripple_rms.get() * factors.from_inspection;
    Expected {
        figure: Some(figure),
        high: Some((figure * limits::RIPPLE_TIMES).max(10.0 * limits::RIPPLE_LEAST_V)),
        basis: Cow::Borrowed("computed"),
        source: limits::RIPPLE_SOURCE,
        // Less than that no bench meter shows.
        due: limits::RIPPLE_LEAST_V <= figure,
        ..Expected::open(What::Ripple(node.name.clone()), Unit::Volt)
    }
}

/// Output and hum; their limits follow from the readings themselves.
fn power_and_hum() -> [Expected; 2] {
    let open = |what, unit, source| Expected { source, due: true, ..Expected::open(what, unit) };
    [
        open(What::Power, Unit::Watt, "the set's own rating, to be filled in"),
        open(What::Hum, Unit::Volt, limits::HUM_SOURCE),
    ]
}

/// Touch current, both plug ways.
pub(super) fn touch(unit: Unit) -> [Expected; 2] {
    let high = if unit == Unit::Volt { limits::TOUCH_V } else { limits::TOUCH_A };
    [1, 2].map(|way| Expected {
        high: Some(high),
        source: limits::TOUCH_SOURCE,
        due: true,
        needed: true,
        ..Expected::open(What::Touch(way), unit)
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
        figure: Some(figure),
        low: Some(figure * (1.0 - tolerance.minus_percent / 100.0)),
        high: Some(figure * (1.0 + tolerance.plus_percent / 100.0)),
        basis: Cow::Borrowed(basis),
        source: limits::VALUE_SOURCE,
        ..Expected::open(What::Reads(part.reference.clone()), unit)
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
