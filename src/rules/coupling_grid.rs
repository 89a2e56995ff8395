//! Coupling capacitors, judged by the DC that they let through to the next grid.

use super::draft::find;
use super::held::Held;
use super::held::is_over;
use super::say;
use super::{Rule, RuleMeta, Subject, Threshold};
use crate::model::finding::{Call, Finding, MeasureStage, OwnerCause};
use crate::model::grid::{GridBound, GridRest, GridShares, grid_limit};
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
    what: "DC on the next grid with its valve cold or removed, above the voltage that its grid leak returns to (the \
           chassis, or a bias line, whose sign counts), against that grid's working bias; worked out from a leakage \
           reading and the grid leak where the grid was not measured. Up to 5 V of bias the figure for small signals \
           holds where that is less. A coupling capacitor not tested at all.",
    why: "Leakage lifts the next grid. The valve draws too much current, and an output valve can take its transformer \
          with it.",
    not_where: "Other places. A grid below where it rests, such as -0.5 to -1 V behind 10 M, is the valve's own \
                contact bias (common practice, no source). Leaky paper is urgent from the first limit on, since it \
                leaks more as it warms.",
    remedy: "Replace by film rated for the whole no-load HT.",
    safety: "Do not run the set with the output valves in while a coupling capacitor leaks.",
    thresholds: &[SHARE, URGENT, SMALL, SMALL_BIAS, NEAR],
    sources: &[SourceId::CouplingShift, SourceId::NearVoltageRule, SourceId::CircuitLaw],
    owner: Some(OwnerCause::Passing),
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
        match part.found.grid {
            Some(read) => by_reading(subject, read, bias, findings),
            None => match by_leakage(subject, bias) {
                Some(shift) => judge(subject, &Shift { above: shift, bias, text: leakage_text(part, shift) }, findings),
                None => untested(part, findings),
            },
        }
    }
}

/// How far the grid is above the voltage that it returns to, and how that is told.
struct Shift {
    above: Volt,
    bias: Option<Volt>,
    text: String,
}

/// A grid that was read, counted from where its grid leak returns to.
fn by_reading(subject: &Subject<'_>, read: Volt, bias: Option<Volt>, findings: &mut Vec<Finding>) {
    let plain = format!("{read} on the next grid");
    let again = |says: String, what: &str| {
        find(&META, SourceId::CouplingShift, Call::Test, says).measure(MeasureStage::AtVoltage, what).done()
    };
    match subject.job.grid_rest(subject.part) {
        GridRest::Chassis => judge(subject, &Shift { above: read, bias, text: plain }, findings),
        GridRest::Bias { node, volts: Some(rest) } if read < Volt::ZERO => {
            let shift = read - rest;
            let text = format!("{plain}, {shift} above the {rest} of {node}");
            judge(subject, &Shift { above: shift, bias: bias.or(Some(rest.abs())), text }, findings);
        }
        // Without a sign it may be the grid's voltage either way round, or the shift alone: what fails in every
        // reading fails.
        GridRest::Bias { node, volts: Some(rest) } if condemned(subject, read, rest) => {
            let least = read.min((rest.abs() - read).abs());
            let text = format!("{plain}, at least {least} above the {rest} of {node} however it was read");
            judge(subject, &Shift { above: least, bias: bias.or(Some(rest.abs())), text }, findings);
        }
        GridRest::Bias { node, volts: Some(rest) } => findings.push(again(
            format!(
                "{plain}, and its grid leak returns to {node} at {rest}: far above it, or read without its sign or \
                     its bias"
            ),
            "read the DC on the next grid with its sign, bias on, its valve out",
        )),
        GridRest::Bias { node, volts: None } => {
            findings.push(again(
                format!("{plain}, and the voltage of {node} that it returns to not known"),
                "read the bias line behind the grid leak",
            ));
        }
        GridRest::Elsewhere(node) => {
            findings.push(again(
                format!("{plain}, and its grid leak returns to {node}"),
                "read the DC across the grid leak, its valve cold or removed",
            ));
        }
    }
}

/// Whether a reading without a sign is beyond the limit as a shift, and as the grid's voltage below the chassis.
fn condemned(subject: &Subject<'_>, read: Volt, rest: Volt) -> bool {
    let limit = grid_limit(Some(rest), grid_shares(subject.margins)).shift;
    let below = rest.abs() - read;
    is_over(read.get(), limit.get()) && is_over(below.abs().get(), limit.get())
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

/// The shift of the grid against its limit.
fn judge(subject: &Subject<'_>, seen: &Shift, findings: &mut Vec<Finding>) {
    let Shift { above: shift, bias, ref text } = *seen;
    let (held, urgent, small) = (subject.held(&SHARE), subject.held(&URGENT), subject.held(&SMALL));
    if shift < Volt::ZERO {
        // Many a first stage gets its bias so, and a leak can only lift the grid.
        let says = format!("{text}: below where it rests, which no leakage does");
        find(&META, held.source, Call::Keep, says).add_to(findings);
        return;
    }
    let Some(bias) = bias else {
        without_bias(subject, seen, findings);
        return;
    };
    let (limit, share) = (grid_limit(Some(bias), grid_shares(subject.margins)), shift / bias * 100.0);
    let over = is_over(shift.get(), limit.shift.get());
    let by_share = limit.by == GridBound::Share;
    let (words, source) = if by_share { (limit_text(&held), held.source) } else { (limit_text(&small), small.source) };
    let stage = if by_share { "" } else { ", small-signal stage" };
    let leak = if over { leak_text(subject, shift) } else { String::new() };
    let says = format!("{text}, {} of its {bias} bias{stage} ({words}){leak}", say::percent(share));
    let draft = find(&META, source, if over { Call::Replace } else { Call::Keep }, says);
    let draft = if by_share {
        draft.held(share, &held)
    } else {
        let from_shop = small.from_shop || subject.held(&SMALL_BIAS).from_shop;
        draft.held(shift.get() * 1e3, &small).shop(from_shop)
    };
    let hurry = over && (is_over(share, urgent.value) || subject.part.kind == PartKind::Paper);
    if hurry { draft.urgent() } else { draft }.add_to(findings);
}

/// A grid reading without the bias to hold it against.
fn without_bias(subject: &Subject<'_>, seen: &Shift, findings: &mut Vec<Finding>) {
    let small = subject.held(&SMALL);
    let (limit, text) = (limit_text(&small), &seen.text);
    if is_over(seen.above.get() * 1e3, small.value) {
        let says = format!("{text} and the bias not known ({limit} without it)");
        find(&META, small.source, Call::Test, says)
            .held(seen.above.get() * 1e3, &small)
            .measure(MeasureStage::AtVoltage, "read the working bias of the next grid")
            .add_to(findings);
    } else {
        let says = format!("{text}, bias not known ({limit})");
        find(&META, small.source, Call::Keep, says).held(seen.above.get() * 1e3, &small).add_to(findings);
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

/// The shift and what it was worked out from.
fn leakage_text(part: &Part, shift: Volt) -> String {
    let leakage = part.found.leakage.map_or_else(String::new, |reading| format!(" {} of", reading.current));
    format!("{shift} on the next grid, worked out from{leakage} leakage")
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
