//! What the output stage's bias should read after the work.

use std::borrow::Cow;

use super::expected::{Expected, Sign, voltage};
use super::limits;
use super::row::What;
use crate::model::bias::BiasDrift;
use crate::model::chassis::{Job, Polarity};
use crate::model::finding::{Call, Decision};
use crate::model::grid::GridRest;
use crate::model::part::Part;
use crate::model::plan::Inspection;
use crate::units::Volt;

/// The output stage's bias: the largest of those written down, carried over to the mains now by `factor`.
///
/// Bias from a negative supply must read below the chassis. Where a leaky coupling capacitor that is renewed had
/// lifted the grid, the bias as found is too large for the stage as left; without the leak it lies between that
/// and the same less the grid's shift, for the valve's slope makes up for part of it. A drifted resistor that makes
/// the bias and is renewed moves it in the same way.
pub(super) fn bias(job: &Job, inspection: &Inspection, factor: f64) -> Option<Expected> {
    let size = |p: &Part| p.found.bias.map(Volt::abs);
    let largest = job.parts.iter().filter_map(size).reduce(Volt::max)?;
    let of_stage: Vec<&Part> = job.parts.iter().filter(|p| size(p) == Some(largest)).collect();
    let below = of_stage.iter().any(|p| is_below(job, p));
    let sign = if below { Sign::Below } else { Sign::Size };
    let expected = voltage(What::Bias, Some((largest * factor, "as found")), sign);
    let expected = Expected { needed: true, ..expected };
    let drifted = drifted(job, inspection, |drift| below || is_of_stage(drift, largest));
    if below {
        return Some(if drifted.is_empty() { expected } else { no_target(expected, &drifted) });
    }
    let leaky: Vec<&Part> = of_stage.into_iter().filter(|p| was_leaky(inspection, p)).collect();
    let as_found = leaky.is_empty() && drifted.is_empty();
    Some(if as_found { expected } else { between(expected, largest, (&leaky, &drifted), factor) })
}

/// The renewed resistors that set bias and had drifted, where they count.
pub(super) fn drifted<'j>(
    job: &'j Job,
    inspection: &Inspection,
    counts: impl Fn(&BiasDrift) -> bool,
) -> Vec<(&'j Part, BiasDrift)> {
    let is_renewed = |part: &Part| {
        let judged = inspection.judgements.iter().find(|j| j.reference == part.reference);
        judged.is_some_and(|j| j.decision == Decision::Replace)
    };
    let renewed = job.parts.iter().filter(|p| is_renewed(p));
    let with_drift = renewed.filter_map(|p| Some((p, job.bias_drift(p, is_renewed)?)));
    with_drift.filter(|(_, drift)| counts(drift)).collect()
}

/// Whether the bias of the output stage stands across it: as found it was within a tenth of that.
fn is_of_stage(drift: &BiasDrift, largest: Volt) -> bool {
    let share = limits::VOLTAGE_PERCENT / 100.0;
    drift.volts.is_some_and(|v| (v - largest).abs() <= largest * share)
}

/// Nothing as found tells what a bias supply gives after its resistor is renewed: it is set by the service sheet.
fn no_target(expected: Expected, drifted: &[(&Part, BiasDrift)]) -> Expected {
    let names: Vec<&str> = drifted.iter().map(|(p, _)| p.reference.as_str()).collect();
    let basis = format!("found with {} drifted: no target; set it by the service sheet", names.join(" "));
    Expected { figure: None, low: None, high: None, basis: Cow::Owned(basis), ..expected }
}

/// Whether the bias of this part's grid comes from a negative supply.
fn is_below(job: &Job, part: &Part) -> bool {
    let has_negative = job.chassis.supplies.iter().any(|s| s.polarity == Polarity::Negative);
    has_negative
        && match job.grid_rest(part) {
            GridRest::Bias { .. } => true,
            // No grid leak in the parts list: a set with a bias supply has it for its output stage.
            GridRest::Chassis => job.grid_leak(part).is_none(),
            GridRest::Elsewhere(_) => false,
        }
}

/// Whether this coupling capacitor is renewed because it lifted its grid.
fn was_leaky(inspection: &Inspection, part: &Part) -> bool {
    let judged = inspection.judgements.iter().find(|j| j.reference == part.reference);
    judged.is_some_and(|j| {
        let leak = j.findings.iter().any(|f| f.rule == "coupling-grid" && f.call == Call::Replace);
        leak && matches!(j.decision, Decision::Replace | Decision::Omit)
    })
}

/// The bias as found is no target: without the largest shift of a leak, and with the resistors as they are renewed,
/// it settles in between, each end with the usual tolerance.
fn between(
    expected: Expected,
    found: Volt,
    (leaky, drifted): (&[&Part], &[(&Part, BiasDrift)]),
    factor: f64,
) -> Expected {
    let names = |parts: &mut dyn Iterator<Item = &str>| parts.collect::<Vec<_>>().join(" ");
    let leaks = names(&mut leaky.iter().map(|p| p.reference.as_str()));
    let drifts = names(&mut drifted.iter().map(|(p, _)| p.reference.as_str()));
    let with = match (leaky.is_empty(), drifted.is_empty()) {
        (false, false) => format!("{leaks} leaking and {drifts} drifted"),
        (false, true) => format!("{leaks} leaking"),
        _ => format!("{drifts} drifted"),
    };
    let basis = Cow::Owned(format!("as found, but with {with}: no target"));
    let shift = leaky.iter().filter_map(|p| p.found.grid).map(Volt::abs).reduce(Volt::max);
    let leaked = if leaky.is_empty() { Some(Volt::ZERO) } else { shift.filter(|shift| *shift < found) };
    let ends = drifted.iter().map(|(_, drift)| drift.ratio());
    let (down, up) = ends.fold((1.0, 1.0), |(down, up): (f64, f64), ratio| (down.min(ratio), up.max(ratio)));
    let most = found * up * factor;
    let tolerance = limits::VOLTAGE_PERCENT / 100.0;
    let high = expected.high.map(|_| most.get() * (1.0 + tolerance));
    let Some(leaked) = leaked else {
        return Expected { figure: None, low: None, high, basis, ..expected };
    };
    let least = (found - leaked) * down * factor;
    let low = Some(least.get() * (1.0 - tolerance));
    Expected { figure: None, between: Some((least.get(), most.get())), low, high, basis, ..expected }
}
