//! Coupling capacitors, judged by the DC that they let through to the next grid.

use super::draft::find;
use super::held::Held;
use super::say;
use super::{Rule, RuleMeta, Subject, Threshold};
use crate::model::finding::{Call, Finding, MeasureStage};
use crate::model::grid::GridShares;
use crate::model::kind::{PartKind, Place};
use crate::model::part::Part;
use crate::model::shop::Margins;
use crate::physics::leakage::leakage_from_shift;
use crate::sources::SourceId;
use crate::units::{Ohm, Volt};

/// Leakage of coupling capacitors.
#[derive(Debug)]
pub(super) struct CouplingGrid;

static SHARE: Threshold = Threshold {
    key: "coupling-grid",
    default: 1.0,
    unit: "%",
    what: "DC on the next grid, valve cold or removed, share of the working bias",
    source: SourceId::CouplingShift,
};

static URGENT: Threshold = Threshold {
    key: "coupling-grid.urgent",
    default: 10.0,
    unit: "%",
    what: "share of the bias above which the set is not powered again with the valve in",
    source: SourceId::CouplingShift,
};

static SMALL: Threshold = Threshold {
    key: "coupling-grid.small-signal",
    default: 20.0,
    unit: "mV",
    what: "DC on the grid of a small-signal stage",
    source: SourceId::CouplingShift,
};

static NEAR: Threshold = Threshold {
    key: "coupling-grid.near",
    default: 80.0,
    unit: "%",
    what: "share of the rated or working voltage (the lower) from which a leakage reading counts for the part",
    source: SourceId::NearVoltageRule,
};

static SMALL_BIAS: Threshold = Threshold {
    key: "coupling-grid.small-bias",
    default: 5.0,
    unit: "V",
    what: "bias up to which a stage counts as small-signal",
    source: SourceId::CouplingShift,
};

static META: RuleMeta = RuleMeta {
    id: "coupling-grid",
    title: "DC on the grid behind a coupling capacitor",
    what: "DC on the next grid with its valve cold or removed, against that grid's working bias; worked out from a \
           leakage reading and the grid leak where the grid was not measured. A coupling capacitor not tested at all.",
    why: "Leakage lifts the next grid. The valve draws too much current, and an output valve can take its transformer \
          with it.",
    not_where: "Other places. Leaky paper is urgent from the first limit on, since it leaks more as it warms.",
    remedy: "Replace by film rated for the whole no-load HT.",
    safety: "Do not run the set with the output valves in while a coupling capacitor leaks.",
    thresholds: &[SHARE, URGENT, SMALL, SMALL_BIAS, NEAR],
    sources: &[SourceId::CouplingShift, SourceId::NearVoltageRule, SourceId::CircuitLaw],
};

/// The limits of the grid's DC as they are in force in a shop; [`grid_limit`](crate::model::grid::grid_limit)
/// makes one figure of them.
pub fn grid_shares(margins: &Margins) -> GridShares {
    GridShares {
        percent: SHARE.held(margins).value,
        small: Volt::new(SMALL.held(margins).value / 1e3),
        small_bias: Volt::new(SMALL_BIAS.held(margins).value),
    }
}

impl Rule for CouplingGrid {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn check(&self, subject: &Subject<'_>, findings: &mut Vec<Finding>) {
        let part = subject.part;
        if part.place != Some(Place::Coupling) || !part.kind.is_capacitor() {
            return;
        }
        let bias = part.found.bias.map(Volt::abs).filter(|bias| *bias > Volt::ZERO);
        match (part.found.grid.map(Volt::abs).or_else(|| by_leakage(subject, bias)), bias) {
            (Some(grid), Some(bias)) => judge(subject, grid, bias, findings),
            (Some(grid), None) => without_bias(subject, grid, findings),
            (None, _) => untested(part, findings),
        }
    }
}

/// The grid's DC worked out from a leakage reading and the grid leak.
///
/// A reading far below the working voltage counts only against the part: with the bias known and
/// beyond its limit already.
fn by_leakage(subject: &Subject<'_>, bias: Option<Volt>) -> Option<Volt> {
    let reading = subject.part.found.leakage?;
    let grid = reading.current.abs() * grid_leak(subject)?;
    let near = subject.held(&NEAR).value / 100.0;
    let counts =
        reading.at.zip(subject.leakage_reference()).is_some_and(|(at, reference)| reference * near <= at.abs());
    let condemns = bias.is_some_and(|bias| subject.held(&SHARE).value < grid / bias * 100.0);
    (counts || condemns).then_some(grid)
}

/// The grid's DC against its bias.
fn judge(subject: &Subject<'_>, grid: Volt, bias: Volt, findings: &mut Vec<Finding>) {
    let share = grid / bias * 100.0;
    let (held, urgent, small) = (subject.held(&SHARE), subject.held(&URGENT), subject.held(&SMALL));
    let small_bias = subject.held(&SMALL_BIAS);
    let figure = format!("{}, {} of its {bias} bias", grid_text(subject, grid), say::percent(share));
    if held.value < share {
        let says = format!("{figure} ({}){}", limit_text(&held), leak_text(subject, grid));
        let draft = find(&META, held.source, Call::Replace, says).held(share, &held);
        let hurry = urgent.value < share || subject.part.kind == PartKind::Paper;
        if hurry { draft.urgent() } else { draft }.add_to(findings);
    } else if bias.get() <= small_bias.value && small.value < grid.get() * 1e3 {
        let says = format!("{figure}, small-signal stage ({})", limit_text(&small));
        find(&META, small.source, Call::Replace, says)
            .held(grid.get() * 1e3, &small)
            .shop(small.from_shop || small_bias.from_shop)
            .add_to(findings);
    } else {
        let says = format!("{figure} ({})", limit_text(&held));
        find(&META, held.source, Call::Keep, says).held(share, &held).add_to(findings);
    }
}

/// A grid reading without the bias to hold it against.
fn without_bias(subject: &Subject<'_>, grid: Volt, findings: &mut Vec<Finding>) {
    let small = subject.held(&SMALL);
    let limit = limit_text(&small);
    if grid.get() * 1e3 <= small.value {
        let says = format!("{}, bias not known ({limit})", grid_text(subject, grid));
        find(&META, small.source, Call::Keep, says).held(grid.get() * 1e3, &small).add_to(findings);
    } else {
        let says = format!("{} and the bias not known ({limit} without it)", grid_text(subject, grid));
        find(&META, small.source, Call::Test, says)
            .held(grid.get() * 1e3, &small)
            .measure(MeasureStage::AtVoltage, "read the working bias of the next grid")
            .add_to(findings);
    }
}

/// A coupling capacitor that nobody tested; paper is changed anyway.
fn untested(part: &Part, findings: &mut Vec<Finding>) {
    if part.kind == PartKind::Paper {
        return;
    }
    let says = match part.found.leakage {
        Some(_) => {
            "coupling capacitor: its leakage was read too low or its grid leak is not known, so nothing is shown"
        }
        None => "coupling capacitor not tested: leakage shows on the next grid",
    };
    find(&META, SourceId::MissingIsNotGood, Call::Test, says)
        .measure(MeasureStage::AtVoltage, "read the DC on the next grid, its valve cold or removed")
        .add_to(findings);
}

/// The grid leak of the parts list that shares a node with the capacitor.
fn grid_leak(subject: &Subject<'_>) -> Option<Ohm> {
    let part = subject.part;
    let nodes = [part.plus.as_ref(), part.minus.as_ref()];
    let shares = |p: &&Part| nodes.iter().flatten().any(|node| !node.is_chassis() && p.touches(node));
    subject.job.parts.iter().filter(|p| p.place == Some(Place::GridLeak)).find(shares).and_then(Part::ohm)
}

/// The figure and, where it was not measured, what it was worked out from.
fn grid_text(subject: &Subject<'_>, grid: Volt) -> String {
    match subject.part.found.leakage {
        Some(reading) if subject.part.found.grid.is_none() => {
            format!("{grid} on the next grid, worked out from {} of leakage", reading.current)
        }
        _ => format!("{grid} on the next grid"),
    }
}

/// The leak itself, where grid leak and voltage are known, such as `: 1.9 µA, 94 M`.
fn leak_text(subject: &Subject<'_>, grid: Volt) -> String {
    let across = subject.stress.working.map(|known| known.value.abs());
    let Some((leak, volts)) = grid_leak(subject).zip(across) else { return String::new() };
    // The voltage at the anode is what is across the capacitor and what it lets through.
    match leakage_from_shift(volts + grid, leak, grid) {
        Some(resistance) => format!(": it passes {}, as {resistance} would", grid / leak),
        None => String::new(),
    }
}

fn limit_text(held: &Held) -> String {
    say::limit(&format!("{} {}", held.value, held.unit), held.from_shop)
}
